"""The one integration rule: scan and weighting function are piecewise linear, their product is integrated exactly.

Every linear quantity is then one column of a matrix built once per wavelength grid, and `values @ matrix` serves one
scan or a hundred thousand. Nothing is resampled: band edges and the knots of a table fall where they fall.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from spectui.core.units import UMOL_PER_JOULE_NM

Array = NDArray[np.float64]

# A quantity is not available when more than this share of its weight's area lies outside the scan.
LARGEST_MISSING = 1e-3
EXACT, SUM = "exact", "sum"
# A matrix of more cells than this is built a few columns at a time and not kept.
_LARGEST_MATRIX = 1_000_000


@dataclass(frozen=True, slots=True, eq=False)
class Weight:
    """A weighting function: linear between its knots, zero outside them.

    wavelength: (k,) [nm], not decreasing; a knot that stands twice is a jump. weight: (k,), or (k, c) for c functions
    on the same knots (the integral is then (..., c)), in the unit of the quantity per (W m-2 nm-1 · nm).
    seen: True where what the scan sees of it counts (the scan's whole range, say) and coverage is no reason.
    held: True where a scan that ends inside the weight is continued with its end value (CIE 13.3 asks for it).
    photon: True where `weight` counts photons: the function is then weight(λ) · λ/(h·c·N_A), in umol.
    """

    key: str
    wavelength: Array
    weight: Array
    seen: bool = False
    photon: bool = False
    held: bool = False

    @property
    def range_nm(self) -> tuple[float, float]:
        """First and last wavelength with weight [nm]."""
        return float(self.wavelength[0]), float(self.wavelength[-1])


def weight(
    key: str, wavelength: ArrayLike, values: ArrayLike, *, seen: bool = False, photon: bool = False, held: bool = False
) -> Weight:
    """Return a Weight of these knots (copied, read-only)."""
    nm, w = np.array(wavelength, dtype=np.float64), np.array(values, dtype=np.float64)
    nm.flags.writeable = w.flags.writeable = False
    return Weight(key, nm, w, seen, photon, held)


def photon_band(key: str, lo: float, hi: float) -> Weight:
    """Return the weight of the photon flux from lo to hi [nm]; the integral is in umol m-2 s-1."""
    return weight(key, (lo, hi), (1.0, 1.0), photon=True)


def energy_band(key: str, lo: float, hi: float, *, seen: bool = False) -> Weight:
    """Return the weight of the irradiance from lo to hi [nm]; the integral is in W m-2."""
    return weight(key, (lo, hi), (1.0, 1.0), seen=seen)


def columns(grid: Array, w: Weight, *, rule: str = EXACT) -> Array:
    """Return (n, c) such that `values @ columns` is the integral of the scan times each function of the weight.

    grid: (n,) [nm], strictly increasing. Outside the overlap of grid and weight nothing is counted.
    rule: "exact", or "sum": the plain sum at the grid's own even step, which published tables were made with.
    """
    lo, hi = max(grid[0], w.wavelength[0]), min(grid[-1], w.wavelength[-1])
    table = w.weight if w.weight.ndim == 2 else w.weight[:, np.newaxis]
    if lo >= hi:
        return np.zeros((grid.size, table.shape[1]))
    if w.held and (grid[0] > w.wavelength[0] or grid[-1] < w.wavelength[-1]):
        return _held(grid, w, rule)
    if rule == SUM:
        return _sampled(grid, w, table)
    edges = np.concatenate((grid, w.wavelength, (lo, hi)))
    edges = np.sort(edges[(edges >= lo) & (edges <= hi)])
    edges = edges[np.concatenate(([True], edges[1:] > edges[:-1]))]  # np.unique would import numpy.ma
    left, right = edges[:-1], edges[1:]
    middle = 0.5 * (left + right)
    i = np.clip(np.searchsorted(grid, middle) - 1, 0, grid.size - 2)
    j = np.clip(np.searchsorted(w.wavelength, middle) - 1, 0, w.wavelength.size - 2)
    # Between two edges spectrum, weight and photon factor are each linear. Simpson's rule is exact for their product, a
    # cubic at most; each of its three values is split over the two samples that span the interval.
    low = high = np.zeros((1, 1))
    for at, share in ((left, 1 / 6), (middle, 4 / 6), (right, 1 / 6)):
        t = (at - w.wavelength[j]) / (w.wavelength[j + 1] - w.wavelength[j])
        part = table[j] + t[:, np.newaxis] * (table[j + 1] - table[j])
        factor = (right - left) * share
        if w.photon:
            factor = factor * at * UMOL_PER_JOULE_NM
        t = (at - grid[i]) / (grid[i + 1] - grid[i])
        low = low + (factor * (1.0 - t))[:, np.newaxis] * part
        high = high + (factor * t)[:, np.newaxis] * part
    # The intervals of one sample stand together: one sum a run.
    starts = np.concatenate(([0], np.flatnonzero(i[1:] > i[:-1]) + 1))
    found = np.zeros((grid.size, table.shape[1]))
    found[i[starts]] += np.add.reduceat(low, starts, axis=0)
    found[i[starts] + 1] += np.add.reduceat(high, starts, axis=0)
    return found


def _held(grid: Array, w: Weight, rule: str) -> Array:
    """Return the columns of a grid that is continued to the ends of the weight; the rest counts for the end samples."""
    first, last = w.range_nm
    step = grid[1] - grid[0]
    if rule == SUM:
        before = grid[0] - step * np.arange(round((grid[0] - first) / step), 0, -1) if grid[0] > first else grid[:0]
        after = grid[-1] + step * np.arange(1, 1 + round((last - grid[-1]) / step)) if grid[-1] < last else grid[:0]
    else:
        before, after = np.full(int(grid[0] > first), first), np.full(int(grid[-1] < last), last)
    whole = columns(
        np.concatenate((before, grid, after)), Weight(w.key, w.wavelength, w.weight, photon=w.photon), rule=rule
    )
    found = whole[before.size : before.size + grid.size].copy()
    found[0] += whole[: before.size].sum(axis=0)
    found[-1] += whole[before.size + grid.size :].sum(axis=0)
    return found


def is_even(grid: Array) -> bool:
    """Return whether every step of a grid is the same: what the plain sum needs."""
    steps = grid[1:] - grid[:-1]
    return bool(np.ptp(steps) <= 1e-9 * steps[0])


def _sampled(grid: Array, w: Weight, table: Array) -> Array:
    step = (grid[-1] - grid[0]) / (grid.size - 1)
    inside = (grid >= w.wavelength[0]) & (grid <= w.wavelength[-1])
    found = np.stack([np.interp(grid, w.wavelength, column) for column in table.T], axis=1)
    factor = step * inside * (grid * UMOL_PER_JOULE_NM if w.photon else 1.0)
    return np.asarray(factor[:, np.newaxis] * found)


def column(grid: Array, w: Weight) -> Array:
    """Return (n,), the one column of a weight with one function."""
    return columns(grid, w)[:, 0]


@lru_cache(maxsize=16)
def _matrix(grid: bytes, weights: tuple[Weight, ...], rule: str) -> Array:
    nm = np.frombuffer(grid)
    found = np.concatenate([columns(nm, w, rule=rule) for w in weights], axis=1) if weights else np.empty((nm.size, 0))
    found.flags.writeable = False
    return found


def matrix(grid: Array, weights: tuple[Weight, ...], *, rule: str = EXACT) -> Array:
    """Return the weights matrix (n, m) of a grid (n,) [nm]; built once for each grid and kept."""
    return _matrix(np.ascontiguousarray(grid, dtype=np.float64).tobytes(), weights, rule)


def integrals(grid: Array, values: Array, weights: tuple[Weight, ...], *, rule: str = EXACT) -> dict[str, Array]:
    """Return weight key → integrals (N,), or (N, c) for a weight of c functions, of values (N, n) on grid (n,)."""
    sizes = [1 if w.weight.ndim == 1 else w.weight.shape[1] for w in weights]
    if grid.size * sum(sizes) > _LARGEST_MATRIX:
        parts = [_few_at_a_time(grid, values, w, rule) for w in weights]
    else:
        product = values @ matrix(grid, weights, rule=rule)
        ends = np.cumsum(sizes)
        parts = [product[:, end - size : end] for size, end in zip(sizes, ends, strict=True)]
    return {w.key: part[:, 0] if w.weight.ndim == 1 else part for w, part in zip(weights, parts, strict=True)}


def _few_at_a_time(grid: Array, values: Array, w: Weight, rule: str) -> Array:
    """Return the integrals (N, c) of one weight on a grid whose columns, all at once, would fill the memory."""
    if w.weight.ndim == 1:
        return np.asarray(values @ columns(grid, w, rule=rule))
    few = max(1, _LARGEST_MATRIX // grid.size)
    slices = [replace(w, weight=w.weight[:, start : start + few]) for start in range(0, w.weight.shape[1], few)]
    return np.concatenate([values @ columns(grid, part, rule=rule) for part in slices], axis=1)


def coverage(w: Weight, lo: float, hi: float) -> float:
    """Return the share (0-1) of the weight's equal-energy area that lies within lo-hi [nm]; of several the least."""
    area = _area(w, *w.range_nm)
    part = _area(w, lo, hi)
    return float(np.min(np.where(area > 0, part / np.where(area > 0, area, 1.0), 1.0 if area.size > 1 else 0.0)))


def _area(w: Weight, lo: float, hi: float) -> Array:
    both = np.array((max(lo, w.wavelength[0]), min(hi, w.wavelength[-1])))
    if both[0] >= both[1]:
        return np.zeros(1 if w.weight.ndim == 1 else w.weight.shape[1])
    return np.asarray(columns(both, Weight(w.key, w.wavelength, np.abs(w.weight), photon=w.photon)).sum(axis=0))


def missing(w: Weight, lo: float, hi: float) -> str | None:
    """Return why a scan of lo-hi [nm] cannot carry this weight, None where it can."""
    first, last = w.range_nm
    if w.held or (lo <= first and last <= hi):
        return None
    if w.seen:
        return None if min(hi, last) > max(lo, first) else f"needs some of {first:g}-{last:g} nm, {_covers(lo, hi)}"
    if 1.0 - coverage(w, lo, hi) <= LARGEST_MISSING:
        return None
    return f"needs {first:g}-{last:g} nm, {_covers(lo, hi)}"


def _covers(lo: float, hi: float) -> str:
    return f"the scan covers {lo:g}-{hi:g} nm"
