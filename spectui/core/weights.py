"""The one integration rule: scan and weighting function are piecewise linear, their product is integrated exactly.

Every linear quantity is then one column of a matrix built once per wavelength grid, and `values @ matrix` serves one
scan or a hundred thousand. Nothing is resampled: band edges and the knots of a table fall where they fall.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from spectui.core.units import UMOL_PER_JOULE_NM

Array = NDArray[np.float64]

# A quantity is not available when more than this share of its weight's area lies outside the scan.
LARGEST_MISSING = 1e-3
# Grids beyond this many matrix cells are integrated one column at a time and not kept.
_LARGEST_MATRIX = 4_000_000


@dataclass(frozen=True, slots=True, eq=False)
class Weight:
    """A weighting function: linear between its knots, zero outside them.

    wavelength: (k,) [nm], not decreasing; a knot that stands twice is a jump. weight: (k,), unit of the quantity per
    (W m-2 nm-1 · nm). seen: True where what the scan sees of it counts (the scan's whole range, say) and coverage is
    no reason.
    photon: True where `weight` counts photons: the function is then weight(λ) · λ/(h·c·N_A), in umol.
    """

    key: str
    wavelength: Array
    weight: Array
    seen: bool = False
    photon: bool = False

    @property
    def range_nm(self) -> tuple[float, float]:
        """First and last wavelength with weight [nm]."""
        return float(self.wavelength[0]), float(self.wavelength[-1])


def weight(key: str, wavelength: ArrayLike, values: ArrayLike, *, seen: bool = False, photon: bool = False) -> Weight:
    """Return a Weight of these knots (copied, read-only)."""
    nm, w = np.array(wavelength, dtype=np.float64), np.array(values, dtype=np.float64)
    nm.flags.writeable = w.flags.writeable = False
    return Weight(key, nm, w, seen, photon)


def photon_band(key: str, lo: float, hi: float) -> Weight:
    """Return the weight of the photon flux from lo to hi [nm]; the integral is in umol m-2 s-1."""
    return weight(key, (lo, hi), (1.0, 1.0), photon=True)


def energy_band(key: str, lo: float, hi: float, *, seen: bool = False) -> Weight:
    """Return the weight of the irradiance from lo to hi [nm]; the integral is in W m-2."""
    return weight(key, (lo, hi), (1.0, 1.0), seen=seen)


def column(grid: Array, w: Weight) -> Array:
    """Return (n,) such that `values @ column` is the exact integral of the scan times the weight.

    grid: (n,) [nm], strictly increasing. Outside the overlap of grid and weight nothing is counted.
    """
    lo, hi = max(grid[0], w.wavelength[0]), min(grid[-1], w.wavelength[-1])
    if lo >= hi:
        return np.zeros(grid.size)
    edges = np.concatenate((grid, w.wavelength, (lo, hi)))
    edges = np.sort(edges[(edges >= lo) & (edges <= hi)])
    edges = edges[np.concatenate(([True], edges[1:] > edges[:-1]))]  # np.unique would import numpy.ma
    left, right = edges[:-1], edges[1:]
    middle = 0.5 * (left + right)
    i = np.clip(np.searchsorted(grid, middle) - 1, 0, grid.size - 2)
    j = np.clip(np.searchsorted(w.wavelength, middle) - 1, 0, w.wavelength.size - 2)
    slope = (w.weight[j + 1] - w.weight[j]) / (w.wavelength[j + 1] - w.wavelength[j])
    step = grid[i + 1] - grid[i]
    low, high = np.zeros(grid.size), np.zeros(grid.size)
    # Between two edges spectrum, weight and photon factor are each linear. Simpson's rule is exact for their product, a
    # cubic at most; each of its three values is split over the two samples that span the interval.
    for at, share in ((left, 1 / 6), (middle, 4 / 6), (right, 1 / 6)):
        part = (w.weight[j] + slope * (at - w.wavelength[j])) * (right - left) * share
        if w.photon:
            part *= at * UMOL_PER_JOULE_NM
        t = (at - grid[i]) / step
        low += np.bincount(i, (1.0 - t) * part, grid.size)
        high += np.bincount(i + 1, t * part, grid.size)
    return low + high


@lru_cache(maxsize=32)
def _matrix(grid: bytes, weights: tuple[Weight, ...]) -> Array:
    nm = np.frombuffer(grid)
    columns = np.empty((nm.size, len(weights)))
    for k, w in enumerate(weights):
        columns[:, k] = column(nm, w)
    columns.flags.writeable = False
    return columns


def matrix(grid: Array, weights: tuple[Weight, ...]) -> Array:
    """Return the weights matrix (n, m) of a grid (n,) [nm]; built once for each grid and kept."""
    return _matrix(np.ascontiguousarray(grid, dtype=np.float64).tobytes(), weights)


def integrate(grid: Array, values: Array, weights: tuple[Weight, ...]) -> Array:
    """Return the integrals (..., m) of values (..., n) on grid (n,), one column for each weight."""
    if grid.size * len(weights) > _LARGEST_MATRIX:
        return np.stack([values @ column(grid, w) for w in weights], axis=-1)
    return np.asarray(values @ matrix(grid, weights))


def coverage(w: Weight, lo: float, hi: float) -> float:
    """Return the share (0-1) of the weight's equal-energy area that lies within lo-hi [nm]."""
    area = _area(w, *w.range_nm)
    return _area(w, lo, hi) / area if area > 0 else 0.0


def _area(w: Weight, lo: float, hi: float) -> float:
    both = np.array((max(lo, w.wavelength[0]), min(hi, w.wavelength[-1])))
    if both[0] >= both[1]:
        return 0.0
    return float(column(both, Weight(w.key, w.wavelength, np.abs(w.weight), photon=w.photon)).sum())


def missing(w: Weight, lo: float, hi: float) -> str | None:
    """Return why a scan of lo-hi [nm] cannot carry this weight, None where it can."""
    first, last = w.range_nm
    if w.seen:
        return None if min(hi, last) > max(lo, first) else f"needs some of {first:g}-{last:g} nm, {_covers(lo, hi)}"
    if 1.0 - coverage(w, lo, hi) <= LARGEST_MISSING:
        return None
    return f"needs {first:g}-{last:g} nm, {_covers(lo, hi)}"


def _covers(lo: float, hi: float) -> str:
    return f"the scan covers {lo:g}-{hi:g} nm"
