"""Reference light by correlated colour temperature, Planck's law or CIE daylight, and what is seen under it.

Tristimulus values of all samples under Planck's law are a smooth function of the temperature, so they are kept as
Chebyshev polynomials in mired; daylight is a sum of three components. Neither needs a spectrum at run time.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np

from spectui.core.colour import C2, COOLEST_K, HOTTEST_K
from spectui.core.metric import Array
from spectui.core.tables import table

_DEGREE = 24


class Seen(NamedTuple):
    """Functions of wavelength seen under reference light, m of them on one grid at 1 nm.

    planck: (degree + 1, m) Chebyshev coefficients over the logarithm of mired. daylight: (3, m), for S0, S1, S2.
    Column `by` is the luminance by which each light is scaled to 1.
    """

    planck: Array
    daylight: Array
    by: int


def seen(nm: Array, functions: Array, by: int) -> Seen:
    """Prepare functions (k, m) at nm (k,) [nm, 1 nm steps] for reference light; column `by` scales it to 1."""
    nodes = np.cos(np.pi * (np.arange(2 * _DEGREE) + 0.5) / (2 * _DEGREE))
    mired = np.exp(_middle() + _half() * nodes)
    sums = planck(nm, 1e6 / mired) @ functions
    chebyshev = np.cos(np.arange(_DEGREE + 1)[:, np.newaxis] * np.arccos(nodes))
    coefficients = (chebyshev @ (sums / sums[:, by : by + 1])) * (2.0 / nodes.size)
    coefficients[0] /= 2.0
    rows = table("daylight")
    components = rows[np.searchsorted(rows[:, 0], nm), 1:].T @ functions
    return Seen(coefficients, components, by)


def planck(nm: Array, kelvin: Array) -> Array:
    """Return Planck's law (N, k) for temperatures (N,) [K] at nm (k,) [nm], in arbitrary units."""
    meters = nm * 1e-9
    power = np.exp(np.minimum(C2 / (meters * kelvin[:, np.newaxis]), 700.0))
    return np.asarray((meters * 1e6) ** -5.0 / (power - 1.0))


def under_planck(what: Seen, cct: Array) -> Array:
    """Return what is seen (N, m) under Planck's law at cct (N,) [K], scaled."""
    at = np.minimum(np.maximum((np.log(1e6 / cct) - _middle()) / _half(), -1.0), 1.0)
    basis = np.cos(np.arange(_DEGREE + 1) * np.arccos(at)[:, np.newaxis])
    return np.asarray(basis @ what.planck)


def under_daylight(what: Seen, cct: Array) -> Array:
    """Return what is seen (N, m) under CIE daylight of cct (N,) [K, 4000-25000], scaled.

    CIE 15: chromaticity by the two cubics of the daylight locus, M1 and M2 rounded to three decimals.
    """
    t = np.maximum(cct, 4000.0)
    low = ((-4.6070e9 / t + 2.9678e6) / t + 0.09911e3) / t + 0.244063
    high = ((-2.0064e9 / t + 1.9018e6) / t + 0.24748e3) / t + 0.237040
    x = np.where(t <= 7000.0, low, high)
    y = (-3.0 * x + 2.870) * x - 0.275
    below = 0.0241 + 0.2562 * x - 0.7341 * y
    m1 = np.round((-1.3515 - 1.7703 * x + 5.9114 * y) / below, 3)
    m2 = np.round((0.0300 - 31.4424 * x + 30.0717 * y) / below, 3)
    found = np.stack((np.ones_like(m1), m1, m2), axis=1) @ what.daylight
    return np.asarray(found / found[:, what.by : what.by + 1])


@cache
def _ends() -> tuple[float, float]:
    return float(np.log(1e6 / HOTTEST_K)), float(np.log(1e6 / COOLEST_K))


def _middle() -> float:
    return 0.5 * sum(_ends())


def _half() -> float:
    return 0.5 * (_ends()[1] - _ends()[0])
