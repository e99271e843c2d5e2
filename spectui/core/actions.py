"""Action spectra that the user supplies: how much light of each wavelength counts, from a named source.

None is built in: a table belongs to its publication, and the user who brings one names it. One weight column gives a
weighted flux (a yield photon flux, say), two give the fraction first / (first + second) (a phytochrome
photoequilibrium from the two forms' cross-sections, say).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from spectui.core.errors import ScanError
from spectui.core.scan import LONGEST_NM, SHORTEST_NM
from spectui.core.units import UMOL_PER_JOULE_NM

PHOTON, ENERGY = "photon", "energy"
_NAME = re.compile(r"[a-z][a-z0-9_]{0,30}")


@dataclass(frozen=True, slots=True, eq=False)
class Action:
    """One action spectrum, linear between its rows and zero outside them.

    wavelength: (k,) [nm], increasing, read-only. weights: (k, m), m = 1 or 2, not negative, read-only.
    per: `photon` (a weight counts photons) or `energy` (a weight counts joules).
    unit: of the result: µmol m-2 s-1 per photon, W m-2 per energy, or the one the table names; 1 for a fraction.
    """

    name: str
    title: str
    source: str
    per: str
    unit: str
    wavelength: NDArray[np.float64]
    weights: NDArray[np.float64]

    @classmethod
    def build(
        cls,
        name: str,
        wavelength: ArrayLike,
        weights: ArrayLike,
        *,
        source: str,
        per: str,
        title: str = "",
        unit: str = "",
    ) -> Action:
        """Check an action spectrum; weights (k,) or (k, m), m = 1 or 2, for wavelength (k,) [nm].

        Raises ScanError: no source, another `per`, fewer than 2 rows, wavelengths not increasing or outside
        100-5000 nm, a weight that is negative or no number, a column of zeros, more than two columns, and a unit
        stated for a fraction.
        """
        nm = np.array(wavelength, dtype=np.float64)
        table = np.array(weights, dtype=np.float64)
        table = table[:, np.newaxis] if table.ndim == 1 else table
        if not _NAME.fullmatch(name):
            raise ScanError(f"name {name[:40]!r}: expected a short word of a-z, 0-9 and _, such as yield")
        if not source.strip():
            raise ScanError("no source: say which publication the weights are from (# source: …)")
        if per not in (PHOTON, ENERGY):
            raise ScanError(f"per {per[:40]!r}: expected photon or energy (what the weights count)")
        if nm.ndim != 1 or table.ndim != 2 or len(table) != nm.size or table.shape[1] not in (1, 2):
            raise ScanError(f"expected one or two weights for each wavelength, got {table.shape} for {nm.shape}")
        if nm.size < 2:
            raise ScanError(f"expected at least 2 rows, got {nm.size}")
        if not np.isfinite(nm).all() or nm.min() < SHORTEST_NM or nm.max() > LONGEST_NM:
            raise ScanError(f"expected wavelengths in nm within {SHORTEST_NM:g}-{LONGEST_NM:g}")
        if not (nm[1:] > nm[:-1]).all():
            row = int(np.argmin(nm[1:] > nm[:-1])) + 1
            raise ScanError(f"expected increasing wavelengths, got {nm[row]:g} nm after {nm[row - 1]:g} nm")
        sound = (np.isfinite(table) & (table >= 0)).all(axis=1)
        if not sound.all():
            at = nm[int(np.argmin(sound))]
            raise ScanError(f"the weight at {at:g} nm is negative or no number: an action spectrum has no such weight")
        if not table.any(axis=0).all():
            raise ScanError("a weight column holds zeros only")
        fraction = table.shape[1] == 2
        if fraction and unit.strip() not in ("", "1"):
            raise ScanError(f"unit {unit[:40]!r}: two weight columns give a fraction, which has no unit")
        given = "1" if fraction else unit.strip() or ("µmol m⁻² s⁻¹" if per == PHOTON else "W m⁻²")
        nm.flags.writeable = False
        table.flags.writeable = False
        return cls(name, title.strip() or name, source.strip(), per, given, nm, table)

    @property
    def key(self) -> str:
        """The metric's key, `action_<name>`."""
        return f"action_{self.name}"

    @property
    def fraction(self) -> bool:
        """True where two columns give first / (first + second)."""
        return self.weights.shape[1] == 2

    @property
    def range_nm(self) -> tuple[float, float]:
        """The range [nm] outside which every weight is zero."""
        counts = np.flatnonzero(self.weights.any(axis=1))
        last = self.wavelength.size - 1
        return float(self.wavelength[max(counts[0] - 1, 0)]), float(self.wavelength[min(counts[-1] + 1, last)])

    def at(self, wavelength: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return what 1 W m-2 at wavelength (j,) [nm] gives, (j, m), in µmol m-2 s-1 or W m-2 before the fraction."""
        columns = [np.interp(wavelength, self.wavelength, column, 0.0, 0.0) for column in self.weights.T]
        weight = np.stack(columns, axis=-1)
        return weight * (wavelength * UMOL_PER_JOULE_NM)[:, np.newaxis] if self.per == PHOTON else weight

    def columns(self, grid: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the weights matrix (n, m) of a grid (n,) [nm]: values (…, n) in W m-2 nm-1 @ columns = the integrals.

        Between two neighbouring wavelengths of grid and table together the spectrum, the weight and the photon
        factor are each linear, so their product is a cubic at most, which Simpson's rule integrates exactly: no
        finer grid is needed, and the only error is rounding.
        """
        matrix = np.zeros((grid.size, self.weights.shape[1]))
        knots = self._knots(grid)
        if knots.size < 2:
            return matrix
        left, right = knots[:-1], knots[1:]
        middle, width = (left + right) / 2, right - left
        below = np.searchsorted(grid, middle) - 1
        start, step = grid[below], grid[below + 1] - grid[below]
        for point, share in ((left, 1 / 6), (middle, 4 / 6), (right, 1 / 6)):
            weighted = self.at(point) * (width * share)[:, np.newaxis]
            upper = ((point - start) / step)[:, np.newaxis]
            np.add.at(matrix, below, weighted * (1 - upper))
            np.add.at(matrix, below + 1, weighted * upper)
        return matrix

    def coverage(self, lo: float, hi: float) -> float:
        """Return the share of the equal-energy area that lies within lo-hi [nm], 0-1; of two columns the smaller."""
        return float((self._area(lo, hi) / self._area(*self.range_nm)).min())

    def _area(self, lo: float, hi: float) -> NDArray[np.float64]:
        """Integrate the weighting function itself from lo to hi, (m,): quadratic between knots, so Simpson is exact."""
        knots = self._knots(np.array([lo, hi]))
        left, right = knots[:-1], knots[1:]
        inner = self.at(left) + 4 * self.at((left + right) / 2) + self.at(right)
        area: NDArray[np.float64] = ((right - left)[:, np.newaxis] / 6 * inner).sum(axis=0)
        return area

    def _knots(self, grid: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return where grid or table bend, within both."""
        knots = np.union1d(grid, self.wavelength)
        return knots[(knots >= max(grid[0], self.wavelength[0])) & (knots <= min(grid[-1], self.wavelength[-1]))]

    def combine(self, integrals: NDArray[np.float64]) -> NDArray[np.float64]:
        """Turn integrals (…, m) into the metric (…): the flux itself, or the fraction, NaN without light."""
        if not self.fraction:
            flux: NDArray[np.float64] = integrals[..., 0]
            return flux
        total = integrals.sum(axis=-1)
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.where(total > 0, integrals[..., 0] / total, np.nan)
