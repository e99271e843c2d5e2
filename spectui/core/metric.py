"""What a metric is: a key, a definition printed beside its value, a function of integrals of the spectrum."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from spectui.core.scan import Scan
from spectui.core.weights import Weight

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spectra:
    """N spectra on one grid with their integrals, as a metric's `compute` receives them.

    wavelength: (n,) [nm]; values: (N, n); integrals: weight key → (N,) or (N, c); hours: (N,) photoperiod [h], NaN
    where unsaid. shared: what metrics of one subject compute once for all of them, by the subject's name.
    """

    wavelength: Array
    values: Array
    integrals: Mapping[str, Array]
    hours: Array
    shared: dict[str, Any] = field(default_factory=dict)

    def __getitem__(self, key: str) -> Array:
        """Return the integral (N,) of a weight key."""
        return self.integrals[key]


@dataclass(frozen=True, slots=True, eq=False)
class Metric:
    """One row of the catalogue.

    name: the short label of its card. needs: the weights of the integrals it needs, or functions that give them, so
    that a table is read only when its metric is wanted. compute: Spectra → (N,), NaN where undefined.
    undefined: the reason that goes with such a NaN, or a function of the spectra and the row that tells it.
    absolute: True where a relative scan cannot have it.
    note: says what must stand beside a value of a scan, None where nothing. part: True for one of a long row of numbers
    (a hue bin), which a table shows only when it is asked for.
    """

    key: str
    unit: str
    name: str
    definition: str
    formula: str
    source: str
    needs: tuple[Weight | Callable[[], Weight], ...]
    compute: Callable[[Spectra], Array]
    absolute: bool = False
    undefined: str | Callable[[Spectra, int], str] = "not defined for this spectrum"
    note: Callable[[Scan, float], str | None] | None = field(default=None, repr=False)
    part: bool = False

    @property
    def weights(self) -> tuple[Weight, ...]:
        """The weights of the integrals it needs."""
        return tuple(need() if callable(need) else need for need in self.needs)

    def reason(self, spectra: Spectra, row: int) -> str:
        """Return why the value of one spectrum is NaN."""
        return self.undefined if isinstance(self.undefined, str) else self.undefined(spectra, row)


def ratio(above: Array, below: Array, factor: float = 1.0) -> Array:
    """Return factor · above / below, NaN where `below` is not above zero, or too near to it (no light to refer to)."""
    good = below > 0
    with np.errstate(over="ignore"):
        found = factor * above / np.where(good, below, 1.0)
    return np.where(good & np.isfinite(found), found, np.nan)
