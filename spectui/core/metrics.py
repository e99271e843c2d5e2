"""The catalogue, and the one path that computes it for one scan and for N on a grid."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache, lru_cache

import numpy as np
from numpy.typing import ArrayLike

from spectui.core import photometry, photons, quality, radiometry
from spectui.core.errors import ScanError, UsageError
from spectui.core.metric import Array, Metric, Spectra
from spectui.core.results import Result, Value
from spectui.core.scan import LARGEST_VALUE, Scan
from spectui.core.units import COUNTS, IRRADIANCE, TRANSMITTANCE
from spectui.core.weights import EXACT, Weight, integrals, missing

# Short cards of a new user, in order of decision.
FIRST_CARDS = ("ppfd", "dli", "share_blue", "share_red", "share_far_red", "r_fr")
_NO_LIGHT = {
    COUNTS: "raw counts: calibrate them first",
    TRANSMITTANCE: "a transmittance is no light",
}


@cache
def catalogue() -> dict[str, Metric]:
    """Return every built-in metric by key, in the order in which they are shown."""
    return {m.key: m for m in (*photons.METRICS, *radiometry.METRICS, *photometry.metrics())}


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


def _weights(metrics: Sequence[Metric]) -> tuple[Weight, ...]:
    """Each weight once: metrics of several subjects share keys such as ppfd."""
    return tuple({w.key: w for m in metrics for w in m.weights}.values())


def _spectra(nm: Array, values: Array, metrics: Sequence[Metric], hours: Array, rule: str = EXACT) -> Spectra:
    return Spectra(nm, values, integrals(nm, values, _weights(metrics), rule=rule), hours)


def evaluate(
    wavelength: ArrayLike, values: ArrayLike, keys: Iterable[str] | None = None, *, hours: float | None = None
) -> dict[str, Array]:
    """Compute metrics of many spectra on one grid at once.

    wavelength: (n,) [nm], strictly increasing. values: (..., n) [W m-2 nm-1]. hours: photoperiod [h] for `dli`.
    Returns key → (...), NaN where a number is not available (a spectrum with a NaN sample has none at all).
    Raises ScanError on a grid that is no grid, UsageError on an unknown key.
    """
    nm, stack = np.asarray(wavelength, dtype=np.float64), np.asarray(values, dtype=np.float64)
    if nm.ndim != 1 or nm.size < 2 or not (nm[1:] > nm[:-1]).all() or not np.isfinite(nm).all():
        raise ScanError("expected a grid of 2 or more strictly increasing wavelengths [nm]")
    if stack.shape[-1:] != nm.shape:
        raise ScanError(f"expected values of shape (..., {nm.size}) as the grid has, got {stack.shape}")
    metrics = chosen(keys)
    flat = stack.reshape(-1, nm.size)
    sound = np.all(np.abs(flat) <= LARGEST_VALUE, axis=1)
    if not sound.all():
        flat = np.where(sound[:, np.newaxis], flat, np.nan)  # infinity would warn on its way to NaN
    spectra = _spectra(nm, flat, metrics, np.full(flat.shape[0], np.nan if hours is None else hours))
    reasons = _range_reasons(tuple(metrics), float(nm[0]), float(nm[-1]))
    found = {}
    for m in metrics:
        column = np.full(flat.shape[0], np.nan) if reasons[m.key] else np.where(sound, m.compute(spectra), np.nan)
        found[m.key] = column.reshape(stack.shape[:-1])
    return found


@lru_cache(maxsize=64)
def _range_reasons(metrics: tuple[Metric, ...], lo: float, hi: float) -> dict[str, str | None]:
    """For each metric why a scan of lo-hi [nm] cannot have it; the widest need is named."""
    found = {}
    for m in metrics:
        misses = [(w.range_nm, text) for w in m.weights if (text := missing(w, lo, hi))]
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
    nm, unit = scans[0].wavelength, scans[0].unit
    stack = np.stack([s.values for s in scans])
    day = np.array([_hours(s) if hours is None else hours for s in scans], dtype=np.float64)
    reasons = _range_reasons(needed, *scans[0].range_nm)
    no_light = _NO_LIGHT.get(unit)
    spectra = None if no_light else _spectra(nm, stack, needed, day)
    columns: dict[str, list[Value]] = {}
    for m in needed:
        reason = no_light or (
            "relative scan: it has no absolute unit" if m.absolute and unit != IRRADIANCE else reasons[m.key]
        )
        if reason or spectra is None:
            columns[m.key] = [Value(None, m.unit, None, reason)] * len(scans)
        else:
            columns[m.key] = _values(m, scans, m.compute(spectra).tolist())
    keys = [m.key for m in wanted]
    results = []
    for k, scan in enumerate(scans):
        row = {key: columns[key][k] for key in keys}
        judged = {key: columns[key][k] for key in quality.NEEDS}
        results.append(Result(scan, row, quality.flags(scan, judged, limits)))
    return results


def _values(m: Metric, scans: list[Scan], numbers: list[float]) -> list[Value]:
    none = Value(None, m.unit, None, m.undefined)
    if m.note is None:
        return [Value(x, m.unit) if x == x else none for x in numbers]
    return [
        Value(x, m.unit, None, None, m.note(scan, x)) if x == x else none
        for scan, x in zip(scans, numbers, strict=True)
    ]


def _hours(scan: Scan) -> float:
    stated = scan.number("photoperiod_h")
    return np.nan if stated is None or not 0 <= stated <= 24 else stated
