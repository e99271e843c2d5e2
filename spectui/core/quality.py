"""How far to trust a scan: faults in the data, doubts from known facts out of bounds, facts that are unsaid."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from spectui.core.results import Value
from spectui.core.scan import DOUBT, FAULT, UNSAID, Flag, Scan
from spectui.core.units import COUNTS, RELATIVE

if TYPE_CHECKING:
    from datetime import datetime


class Limits(NamedTuple):
    """Where a fact becomes a doubt or a fault; our defaults, for the user to set."""

    dark_age_min: float = 30.0
    temperature_c: float = 3.0
    stated_percent: float = 1.0
    uv_percent: float = 0.5
    saturation_percent: float = 95.0
    low_signal_percent: float = 5.0
    step_nm: float = 5.0


DEFAULTS = Limits()
# The metrics that flags are made from.
NEEDS = ("ppfd", "illuminance", "irradiance", "uv_irradiance")
_STATED = {"stated_ppfd": ("ppfd", "PPFD", "umol/m2/s"), "stated_lux": ("illuminance", "illuminance", "lx")}
_NUMBERS: tuple[str, ...] = (
    "distance_m",
    "dim_percent",
    "lit_minutes",
    "integration_ms",
    "temperature_c",
    "dark_temperature_c",
)
_NUMBERS += ("dark_integration_ms", "full_scale_counts", "stated_ppfd", "stated_lux", "photoperiod_h", "input_power_w")
_TIMES = ("taken_at", "dark_taken_at", "calibrated_on", "calibration_due")
_UNSAID = {"place": "place", "taken_at": "time", "dark_taken_at": "dark"}
_ORDER = {FAULT: 0, DOUBT: 1, UNSAID: 2}
# S642 asks for steps of 5 nm or finer over this range.
_STEP_RANGE_NM = (280.0, 800.0)
# UV below this share of the total is as good as none: nothing is doubted that is not there.
_UV_NOTHING_PERCENT = 0.01
# Scans that begin here or above see the end of the visible range, not ultraviolet.
_UV_BEGINS_NM = 380.0


def flags(scan: Scan, values: Mapping[str, Value] | None = None, limits: Limits = DEFAULTS) -> tuple[Flag, ...]:
    """Return every flag of a scan, faults first, then doubts, then what is unsaid.

    values: the metrics of NEEDS where they are at hand; without them stated values and ultraviolet are not judged.
    A message's part before `;` is short enough for a head line.
    """
    met = [*scan.flags, *_data(scan, limits), *_dark(scan, limits), *_calibration(scan), *_malformed(scan)]
    if values is not None:
        met += _stated(scan, values, limits)
        met += _stray(scan, values, limits)
    if scan.given_unit is None and scan.unit == RELATIVE:
        met.append(Flag("unit_unsaid", UNSAID, "unit unsaid; a relative scan has shares, ratios and colour, no fluxes"))
    meta = scan.meta
    met += [Flag(f"{word}_unsaid", UNSAID, f"{word} unsaid") for key, word in _UNSAID.items() if not meta.get(key)]
    met.sort(key=_rank)
    return tuple(met)


def _rank(flag: Flag) -> int:
    return _ORDER.get(flag.rank, 1)


def trust(found: tuple[Flag, ...]) -> str:
    """Return the words for a head line: "trust ok", or the first fault or doubt and how many more there are."""
    marked = [f for f in found if f.rank in (FAULT, DOUBT)]
    if not marked:
        return "trust ok"
    more = f" +{len(marked) - 1}" if len(marked) > 1 else ""
    return f"{marked[0].rank}: {marked[0].message.split(';')[0]}{more}"


def worst(found: tuple[Flag, ...]) -> str | None:
    """Return "fault" or "doubt" for a shelf row, None where there is neither."""
    ranks = {f.rank for f in found}
    return FAULT if FAULT in ranks else DOUBT if DOUBT in ranks else None


def _data(scan: Scan, limits: Limits) -> list[Flag]:
    met = []
    nm, values = scan.wavelength, scan.values
    peak = float(values.max())
    full = scan.number("full_scale_counts") if scan.unit == COUNTS else None
    if full is not None and full > 0:
        percent = 100.0 * peak / full
        if percent >= limits.saturation_percent:
            met.append(
                Flag("near_saturation", FAULT, f"peak at {percent:.0f} % of full scale; shorten the integration time")
            )
        elif percent < limits.low_signal_percent:
            met.append(
                Flag("low_signal", FAULT, f"peak at {percent:.1f} % of full scale; lengthen the integration time")
            )
    lowest = float(values.min())
    if peak <= 0:
        met.append(Flag("no_light", DOUBT, "no sample above zero; is the cap off, the lamp lit?"))
    if lowest < 0 and lowest < -max(4.0 * noise(scan), 0.002 * abs(peak)):
        at = nm[int(np.argmin(values))]
        met.append(Flag("negative", FAULT, f"negative at {at:g} nm beyond noise; check the dark"))
    steps = nm[1:] - nm[:-1]
    coarse = steps > limits.step_nm * (1 + 1e-9)
    if coarse.any():
        coarse &= (nm[1:] > _STEP_RANGE_NM[0]) & (nm[:-1] < _STEP_RANGE_NM[1])
        if coarse.any():
            widest = float(steps[coarse].max())
            met.append(
                Flag("coarse_step", FAULT, f"steps up to {widest:g} nm; {limits.step_nm:g} nm or finer is asked for")
            )
    return met


def noise(scan: Scan) -> float:
    """Return the noise of a sample in the scan's unit: stated (`noise_percent`, of the peak), else seen in the scan."""
    stated = scan.number("noise_percent")
    if stated is not None:
        return abs(stated) / 100.0 * float(scan.values.max())
    if scan.values.size < 8:
        return 0.0
    curvature = scan.values[:-2] - 2.0 * scan.values[1:-1] + scan.values[2:]
    # The median leaves the lines of a lamp out; 1.4826 and sqrt(6) turn it into a standard deviation of one sample.
    return float(1.4826 / np.sqrt(6.0) * np.median(np.abs(curvature)))


def _dark(scan: Scan, limits: Limits) -> list[Flag]:
    met = []
    meta = scan.meta
    taken, dark = moment(meta.get("taken_at")), moment(meta.get("dark_taken_at"))
    age = _minutes(dark, taken)
    if age is not None and abs(age) > limits.dark_age_min:
        words = f"dark {_span(age)} old" if age > 0 else f"dark taken {_span(-age)} after"
        met.append(Flag("dark_old", DOUBT, f"{words}; {limits.dark_age_min:g} min or less is our limit"))
    time, dark_time = scan.number("integration_ms"), scan.number("dark_integration_ms")
    if time is not None and dark_time is not None and time != dark_time:
        met.append(
            Flag("dark_integration", DOUBT, f"dark at {dark_time:g} ms, scan at {time:g} ms; take both at one time")
        )
    warm, dark_warm = scan.number("temperature_c"), scan.number("dark_temperature_c")
    if warm is not None and dark_warm is not None and abs(warm - dark_warm) > limits.temperature_c:
        moved = warm - dark_warm
        met.append(
            Flag("temperature_moved", DOUBT, f"{abs(moved):.1f} °C {'warmer' if moved > 0 else 'cooler'} than dark")
        )
    return met


def _calibration(scan: Scan) -> list[Flag]:
    taken, due = moment(scan.meta.get("taken_at")), moment(scan.meta.get("calibration_due"))
    if taken is None or due is None or taken.date() <= due.date():
        return []
    days = (taken.date() - due.date()).days
    return [Flag("calibration_due", DOUBT, f"calibration {days} d past due")]


def _malformed(scan: Scan) -> list[Flag]:
    """Tell a number or date of the file that cannot be read: it would otherwise count as unsaid."""
    meta = scan.meta
    met = []
    for key in _NUMBERS:
        if meta.get(key) and scan.number(key) is None:
            met.append(Flag("not_a_number", DOUBT, f"{key} is no number: {meta[key]!r}"))
    hours = scan.number("photoperiod_h")
    if hours is not None and not 0 <= hours <= 24:
        met.append(Flag("photoperiod", DOUBT, f"photoperiod {hours:g} h is no part of a day; not used"))
    for key in _TIMES:
        if meta.get(key) and moment(meta[key]) is None:
            met.append(Flag("not_a_date", DOUBT, f"{key} is no ISO date: {meta[key]!r}"))
    return met


def _stated(scan: Scan, values: Mapping[str, Value], limits: Limits) -> list[Flag]:
    met = []
    for key, (metric, word, unit) in _STATED.items():
        stated, ours = scan.number(key), values[metric].value
        if stated is None or ours is None:
            continue
        if abs(ours - stated) > limits.stated_percent / 100.0 * abs(stated):
            told = f"{word} stated {stated:.4g}, ours {ours:.4g} {unit}"
            met.append(Flag("stated_differs", DOUBT, f"{told}; more than {limits.stated_percent:g} % apart"))
    return met


def _stray(scan: Scan, values: Mapping[str, Value], limits: Limits) -> list[Flag]:
    uv, total = values["uv_irradiance"].value, values["irradiance"].value
    first = scan.range_nm[0]
    if uv is None or total is None or total <= 0 or first >= _UV_BEGINS_NM:
        return []
    percent = 100.0 * uv / total
    if not _UV_NOTHING_PERCENT < percent < limits.uv_percent:
        return []
    return [Flag("uv_stray", DOUBT, f"UV {percent:.2g} % of the light; may be stray light in the instrument")]


def moment(text: str | None) -> datetime | None:
    """Return an ISO 8601 date or time, None where there is none or it cannot be read."""
    if not text:
        return None
    from datetime import datetime

    try:
        return datetime.fromisoformat(text.strip())
    except ValueError:
        return None


def _minutes(earlier: datetime | None, later: datetime | None) -> float | None:
    """Minutes between two times; None where one is unsaid, or only one of them tells its offset."""
    if earlier is None or later is None:
        return None
    if (earlier.tzinfo is None) != (later.tzinfo is None):
        earlier, later = earlier.replace(tzinfo=None), later.replace(tzinfo=None)
    return (later - earlier).total_seconds() / 60.0


def _span(minutes: float) -> str:
    if minutes < 120:
        return f"{minutes:.0f} min"
    return f"{minutes / 60:.0f} h" if minutes < 48 * 60 else f"{minutes / 1440:.0f} d"
