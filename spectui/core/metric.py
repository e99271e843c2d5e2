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


@dataclass(frozen=True, slots=True)
class Metric:
    """One row of the catalogue.

    name: the short label of its card. weights: the integrals it needs. compute: Spectra → (N,), NaN where undefined.
    undefined: the reason that goes with such a NaN, or a function of the spectra and the row that tells it. absolute: True where a relative scan cannot have it.
    note: says what must stand beside a value of a scan, None where nothing.
    """

    key: str
    unit: str
    name: str
    definition: str
    formula: str
    source: str
    weights: tuple[Weight, ...]
    compute: Callable[[Spectra], Array]
    absolute: bool = False
    undefined: str | Callable[[Spectra, int], str] = "not defined for this spectrum"
    note: Callable[[Scan, float], str | None] | None = field(default=None, repr=False)


def ratio(above: Array, below: Array, factor: float = 1.0) -> Array:
    """Return factor · above / below, NaN where `below` is not above zero, or too near to it (no light to refer to)."""
    good = below > 0
    with np.errstate(over="ignore"):
        found = factor * above / np.where(good, below, 1.0)
    return np.where(good & np.isfinite(found), found, np.nan)
