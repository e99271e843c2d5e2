"""The catalogue, and the one path that computes it for one scan and for N on a grid."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache, lru_cache

import numpy as np
from numpy.typing import ArrayLike

from spectui.core import colour, cri, fidelity, hazards, melanopic, photometry, photons, quality, radiometry
from spectui.core.errors import ScanError, UsageError
from spectui.core.metric import Array, Metric, Spectra
from spectui.core.results import Result, Value
from spectui.core.scan import LARGEST_VALUE, Scan
from spectui.core.units import COUNTS, IRRADIANCE, TRANSMITTANCE
from spectui.core.weights import EXACT, SUM, Weight, integrals, is_even, missing

# Short cards of a new user, in order of decision.
FIRST_CARDS = ("ppfd", "dli", "share_blue", "share_red", "share_far_red", "r_fr")
# Spectra that are computed at once: their tristimulus values under every sample still fit the processor's cache.
_CHUNK = 512
_NO_LIGHT = {
    COUNTS: "raw counts: calibrate them first",
    TRANSMITTANCE: "a transmittance is no light",
}


@cache
def catalogue() -> dict[str, Metric]:
    """Return every built-in metric by key, in the order in which they are shown."""
    subjects = (photons, radiometry, photometry, colour, cri, fidelity, melanopic, hazards)
    return {m.key: m for subject in subjects for m in subject.METRICS}


@cache
def later() -> frozenset[str]:
    """Return the keys of colour and rendition: their tables take long to read, so a screen shows the rest first."""
    return frozenset(m.key for subject in (colour, cri, fidelity) for m in subject.METRICS)


def chosen(keys: Iterable[str] | None, more: Sequence[Metric] = ()) -> tuple[Metric, ...]:
    """Return the metrics of these keys (None: all); `more` are the user's own. Raises UsageError on an unknown one."""
    known = catalogue() | {m.key: m for m in more}
    if keys is None:
        return tuple(known.values())
    wanted = []
    for key in keys:
        if key not in known:
            from difflib import get_close_matches

            near = get_close_matches(key, known, 1)
            raise UsageError(f"unknown metric {key!r}" + (f": did you mean {near[0]!r}?" if near else ""))
        wanted.append(known[key])
    return tuple(dict.fromkeys(wanted))


@lru_cache(maxsize=64)
def _weights(metrics: tuple[Metric, ...]) -> tuple[Weight, ...]:
    """Each weight once: metrics of several subjects share keys such as ppfd."""
    return tuple({w.key: w for m in metrics for w in m.weights}.values())


def _spectra(nm: Array, values: Array, metrics: tuple[Metric, ...], hours: Array, rule: str = EXACT) -> Spectra:
    return Spectra(nm, values, integrals(nm, values, _weights(metrics), rule=rule), hours)


def evaluate(
    wavelength: ArrayLike,
    values: ArrayLike,
    keys: Iterable[str] | None = None,
    *,
    hours: float | None = None,
    rule: str = EXACT,
) -> dict[str, Array]:
    """Compute metrics of many spectra on one grid at once.

    wavelength: (n,) [nm], strictly increasing. values: (..., n) [W m-2 nm-1]. hours: photoperiod [h] for `dli`.
    rule: "exact", or "sum", the plain sum at the grid's own even step that published tables were made with.
    Returns key → (...), NaN where a number is not available (a spectrum with a NaN sample has none at all).
    Raises ScanError on a grid that is no grid, UsageError on an unknown key.
    """
    nm, stack = np.asarray(wavelength, dtype=np.float64), np.asarray(values, dtype=np.float64)
    if nm.ndim != 1 or nm.size < 2 or not (nm[1:] > nm[:-1]).all() or not np.isfinite(nm).all():
        raise ScanError("expected a grid of 2 or more strictly increasing wavelengths [nm]")
    if rule not in (EXACT, SUM):
        raise UsageError(f"unknown rule {rule!r}: expected {EXACT} or {SUM}")
    if rule == SUM and not is_even(nm):
        raise ScanError("the plain sum needs an even grid")
    if stack.shape[-1:] != nm.shape:
        raise ScanError(f"expected values of shape (..., {nm.size}) as the grid has, got {stack.shape}")
    wanted = chosen(keys)
    flat = stack.reshape(-1, nm.size)
    reasons = _range_reasons(wanted, float(nm[0]), float(nm[-1]))
    possible = tuple(m for m in wanted if not reasons[m.key])
    found = {m.key: np.full(flat.shape[0], np.nan) for m in wanted}
    day = np.nan if hours is None else hours
    for start in range(0, flat.shape[0], _CHUNK):
        part = flat[start : start + _CHUNK]
        sound = np.all(np.abs(part) <= LARGEST_VALUE, axis=1)
        if not sound.all():
            part = np.where(sound[:, np.newaxis], part, np.nan)  # infinity would warn on its way to NaN
        spectra = _spectra(nm, part, possible, np.full(part.shape[0], day), rule)
        for m in possible:
            found[m.key][start : start + _CHUNK] = m.compute(spectra)
    return {key: column.reshape(stack.shape[:-1]) for key, column in found.items()}


@lru_cache(maxsize=64)
def _range_reasons(metrics: tuple[Metric, ...], lo: float, hi: float) -> dict[str, str | None]:
    """For each metric why a scan of lo-hi [nm] cannot have it; the widest need is named."""
    told = {w: missing(w, lo, hi) for w in dict.fromkeys(w for m in metrics for w in m.weights)}
    found = {}
    for m in metrics:
        misses = [(w.range_nm, text) for w in m.weights if (text := told[w])]
        found[m.key] = min(misses, key=lambda miss: (miss[0][0], -miss[0][1]))[1] if misses else None
    return found


def metrics(
    scans: Scan | Sequence[Scan],
    keys: Iterable[str] | None = None,
    *,
    hours: float | None = None,
    more: Sequence[Metric] = (),
    limits: quality.Limits = quality.DEFAULTS,
) -> list[Result]:
    """Compute metrics of scans; those that share a grid are computed together.

    keys: metric keys, all where None. hours: photoperiod [h] for `dli`, before the file's own photoperiod_h.
    more: metrics beyond the catalogue (a user's action spectra). limits: what counts as a doubt.
    Returns one Result for each scan, in their order; every missing number has its reason.
    """
    scans = [scans] if isinstance(scans, Scan) else list(scans)
    wanted = chosen(keys, more)
    needed = tuple(dict.fromkeys((*wanted, *(catalogue()[key] for key in quality.NEEDS))))
    groups: dict[tuple[bytes, str], list[int]] = {}
    for place, scan in enumerate(scans):
        groups.setdefault((scan.wavelength.tobytes(), scan.unit), []).append(place)
    results: list[Result | None] = [None] * len(scans)
    for places in groups.values():
        group = [scans[p] for p in places]
        for p, result in zip(places, _of_group(group, wanted, needed, hours, limits), strict=True):
            results[p] = result
    return [r for r in results if r is not None]


def _of_group(
    scans: list[Scan],
    wanted: tuple[Metric, ...],
    needed: tuple[Metric, ...],
    hours: float | None,
    limits: quality.Limits,
) -> list[Result]:
    """Compute scans of one grid and one unit."""
    results = []
    for start in range(0, len(scans), _CHUNK):
        part = scans[start : start + _CHUNK]
        columns = _columns(part, needed, hours)
        rows = zip(*(columns[m.key] for m in wanted), strict=True) if wanted else [()] * len(part)
        judged = zip(*(columns[key] for key in quality.NEEDS), strict=True)
        keys = [m.key for m in wanted]
        for scan, row, values in zip(part, rows, judged, strict=True):
            flags = quality.flags(scan, dict(zip(quality.NEEDS, values, strict=True)), limits)
            results.append(Result(scan, dict(zip(keys, row, strict=True)), flags))
    return results


def _columns(scans: list[Scan], metrics: tuple[Metric, ...], hours: float | None) -> dict[str, list[Value]]:
    """Compute key → a value for each of the scans, of one grid and one unit."""
    unit = scans[0].unit
    no_light = _NO_LIGHT.get(unit)
    if no_light:
        return {m.key: [Value(None, m.unit, None, no_light)] * len(scans) for m in metrics}
    reasons = _range_reasons(metrics, *scans[0].range_nm)
    if unit != IRRADIANCE:
        reasons = reasons | {m.key: "relative scan: it has no absolute unit" for m in metrics if m.absolute}
    possible = tuple(m for m in metrics if not reasons[m.key])
    day = np.array([_hours(s) if hours is None else hours for s in scans], dtype=np.float64)
    spectra = _spectra(scans[0].wavelength, np.stack([s.values for s in scans]), possible, day)
    columns = {m.key: [Value(None, m.unit, None, reasons[m.key])] * len(scans) for m in metrics if reasons[m.key]}
    return columns | {m.key: _values(m, scans, spectra) for m in possible}


def _values(m: Metric, scans: list[Scan], spectra: Spectra) -> list[Value]:
    numbers = m.compute(spectra).tolist()
    note = m.note
    return [
        Value(x, m.unit, None, None, note(scans[row], x) if note else None)
        if x == x
        else Value(None, m.unit, None, m.reason(spectra, row))
        for row, x in enumerate(numbers)
    ]


def _hours(scan: Scan) -> float:
    stated = scan.number("photoperiod_h")
    return np.nan if stated is None or not 0 <= stated <= 24 else stated
