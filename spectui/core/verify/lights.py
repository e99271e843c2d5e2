"""Lights that need no package: by hand, by the formula of a standard, and the shipped sun of ASTM G173-03.

Each is (wavelength (n,) [nm], spectral irradiance (n,) [W m-2 nm-1, or relative]).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from spectui.core.colour import C2
from spectui.core.metric import Array
from spectui.core.tables import table

Light = tuple[Array, Array]
# Half the base of the triangle that stands for one wavelength [nm].
_THIN_NM = 1e-3


def _fine(lo: float, hi: float) -> Array:
    return np.arange(lo, hi + 0.5)


def line(nm: float, first: float = 100.0, last: float = 5000.0) -> Light:
    """Return 1 W m-2 in a symmetric triangle at nm, moved inside first-last [nm] where it stands at an edge."""
    half = _THIN_NM
    at = min(max(nm, first + half), last - half)
    knots = np.array([200.0, at - half, at, at + half, 900.0])
    return knots, np.array([0.0, 0.0, 1.0 / half, 0.0, 0.0])


def equal_energy(lo: float, hi: float) -> Light:
    """Return 1 W m-2 nm-1 from lo to hi [nm]: two samples."""
    return np.array([lo, hi]), np.array([1.0, 1.0])


def triangle(first: float, top: float, last: float) -> Light:
    """Return a triangle of 1 W m-2 nm-1 at its top, dark elsewhere in 380-780 nm."""
    return np.array([380.0, first, top, last, 780.0]), np.array([0.0, 0.0, 1.0, 0.0, 0.0])


def planck(kelvin: float, c2: float = C2) -> Light:
    """Return Planck's law at 1 nm, 360-830 nm, 1 at 560 nm."""
    nm = _fine(360.0, 830.0)
    with np.errstate(over="ignore"):
        values = (560.0 / nm) ** 5 * np.expm1(c2 * 1e9 / (560.0 * kelvin)) / np.expm1(c2 * 1e9 / (nm * kelvin))
    return nm, values


def incandescent() -> Light:
    """Return CIE illuminant A by its formula: Planck's law at 2848 K with c2 = 1.435e-2 m K (CIE 15)."""
    return planck(2848.0, 1.435e-2)


def daylight() -> Light:
    """Return CIE illuminant D65 by its formula (CIE 15): components at 5 nm, M1 and M2 rounded, linear to 1 nm."""
    t = 6500.0 * 1.4388 / 1.4380
    x = ((-4.6070e9 / t + 2.9678e6) / t + 0.09911e3) / t + 0.244063
    y = (-3.0 * x + 2.870) * x - 0.275
    below = 0.0241 + 0.2562 * x - 0.7341 * y
    m1 = round((-1.3515 - 1.7703 * x + 5.9114 * y) / below, 3)
    m2 = round((0.0300 - 31.4424 * x + 30.0717 * y) / below, 3)
    rows = table("daylight")
    rows = rows[rows[:, 0] % 5 == 0]
    nm = _fine(rows[0, 0], rows[-1, 0])
    return nm, np.interp(nm, rows[:, 0], rows[:, 1] + m1 * rows[:, 2] + m2 * rows[:, 3])


def sun() -> Light:
    """Return ASTM G173-03 global tilt, AM1.5G, at its own wavelengths."""
    rows = table("am15g")
    return rows[:, 0], rows[:, 1]


def equal() -> Light:
    """Return equal energy at 1 nm, 360-830 nm: CIE illuminant E."""
    nm = _fine(360.0, 830.0)
    return nm, np.ones(nm.size)


# How published.py names a light: one of these words, then its numbers.
LIGHTS: dict[str, Callable[..., Light]] = {
    "line": line,
    "flat": equal_energy,
    "triangle": triangle,
    "planck": planck,
    "AM1.5G": sun,
    "A": incandescent,
    "D65": daylight,
    "E": equal,
}
