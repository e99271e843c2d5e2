"""Action spectra that the user supplies: how much light of each wavelength counts, from a named source.

None is built in: a table belongs to its publication, and the user who brings one names it. One weight column gives a
weighted flux (a yield photon flux, say), two give the fraction first / (first + second) (a phytochrome
photoequilibrium from the two forms' cross-sections, say).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import ArrayLike

from spectui.core.errors import ScanError
from spectui.core.metric import Array, Metric, Spectra, ratio
from spectui.core.photons import FLUX
from spectui.core.scan import LONGEST_NM, SHORTEST_NM
from spectui.core.weights import Weight, weight

PHOTON, ENERGY = "photon", "energy"
_NAME = re.compile(r"[a-z][a-z0-9_]{0,30}")


@dataclass(frozen=True, slots=True, eq=False)
class Action:
    """One action spectrum, linear between its rows and zero outside them.

    wavelength: (k,) [nm], increasing, read-only. weights: (k, m), m = 1 or 2, not negative, read-only.
    per: `photon` (a weight counts photons) or `energy` (a weight counts joules).
    unit: of the result: umol/m2/s per photon, W/m2 per energy, or the one the table names; 1 for a fraction.
    """

    name: str
    title: str
    source: str
    per: str
    unit: str
    wavelength: Array
    weights: Array

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
        given = "1" if fraction else unit.strip() or (FLUX if per == PHOTON else "W/m2")
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
        return bool(self.weights.shape[1] == 2)

    def metric(self) -> Metric:
        """Return the metric of this action spectrum, for `metrics(scans, more=…)`.

        Its weights keep the photon factor apart from the table's weight, so the integrals are exact between the
        table's own rows. A fraction needs no absolute unit; without light it is not available.
        """
        weights = tuple(self._weight(k) for k in range(self.weights.shape[1]))
        what = "photons" if self.per == PHOTON else "energy"
        first, last = min(w.range_nm[0] for w in weights), max(w.range_nm[1] for w in weights)
        amount = "E(λ)·λ/(h·c·N_A)" if self.per == PHOTON else "E(λ)"
        if self.fraction:
            definition = f"{self.title}: share of the first weight in both, {what} of {first:g}-{last:g} nm"
            formula = f"a / (a + b), a = ∫ {amount}·w₁(λ) dλ, b = ∫ {amount}·w₂(λ) dλ"
        else:
            definition = f"{self.title}: weighted {what} of {first:g}-{last:g} nm"
            formula = f"∫ {amount}·w(λ) dλ"
        return Metric(
            self.key,
            self.unit,
            self.title,
            definition,
            formula,
            self.source,
            weights,
            partial(_share if self.fraction else _flux, tuple(w.key for w in weights)),
            absolute=not self.fraction,
            undefined=f"no weighted light above zero in {first:g}-{last:g} nm to refer to",
        )

    def _weight(self, k: int) -> Weight:
        """Leave out the outer rows of zero: a scan that ends there misses nothing."""
        counts = np.flatnonzero(self.weights[:, k])
        rows = slice(max(int(counts[0]) - 1, 0), int(counts[-1]) + 2)
        return weight(f"{self.key}_{k + 1}", self.wavelength[rows], self.weights[rows, k], photon=self.per == PHOTON)


def _flux(keys: tuple[str, ...], spectra: Spectra) -> Array:
    return spectra[keys[0]]


def _share(keys: tuple[str, ...], spectra: Spectra) -> Array:
    return ratio(spectra[keys[0]], spectra[keys[0]] + spectra[keys[1]])
