"""Units of spectral values: parsed where they are declared, converted once at the boundary.

Inside spectui a spectrum is in W m-2 nm-1, or in one of three units that carry no absolute scale:
counts, relative, transmittance. A magnitude never decides a unit.
"""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from spectui.core.errors import UnitError

# 1e-3 / (h c N_A) with the exact SI 2019 constants: umol of photons per joule is this times the wavelength in nm.
UMOL_PER_JOULE_NM = 1e-3 / (6.62607015e-34 * 299792458.0 * 6.02214076e23)

IRRADIANCE = "W/m2/nm"
COUNTS = "counts"
RELATIVE = "relative"
TRANSMITTANCE = "transmittance"
PHOTON = "umol/m2/s/nm"

# Factor to W m-2 nm-1 of each absolute unit; the photon unit also depends on the wavelength.
_TO_IRRADIANCE = {IRRADIANCE: 1.0, "mW/m2/nm": 1e-3, "uW/cm2/nm": 1e-2, "W/m2/um": 1e-3, PHOTON: 1.0}
UNITS = (*_TO_IRRADIANCE, COUNTS, RELATIVE, TRANSMITTANCE)

_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻−μµ", "0123456789--uu")
_POWER = re.compile(r"([A-Za-z]+)(-?\d{0,3})")


def parse_unit(text: str) -> str:
    """Return the canonical spelling of a declared unit.

    Accepts `W/m2/nm`, `W m-2 nm-1`, `W/(m²·nm)` and the like for each unit of UNITS.
    Raises UnitError naming the units that are known.
    """
    plain = text.strip().translate(_SUPERSCRIPTS).replace("^", "").replace("**", "").replace("mol photons", "mol")
    lowered = plain.lower()
    for word in (COUNTS, RELATIVE, TRANSMITTANCE):
        if lowered in (word, word.rstrip("s")):
            return word
    powers = _powers(plain)
    for unit in _TO_IRRADIANCE:
        if powers is not None and powers == _powers(unit):
            return unit
    raise UnitError(f"unknown unit {text.strip()!r}: expected one of {', '.join(UNITS)}")


def _powers(text: str) -> dict[str, int] | None:
    """Read a unit as {symbol: power}; a product or quotient in any usual order. None where it is no such thing."""
    powers: dict[str, int] = {}
    sign, grouped = 1, False
    for token in re.findall(r"[A-Za-z]+-?\d*|[/()]|[·*.\s]+|.", re.sub(r"\s*/\s*", "/", text)):
        if token == "/":
            if grouped:  # W/(m2/nm) is something else
                return None
            sign = -1
        elif token in "()":
            if grouped == (token == "("):
                return None
            grouped = not grouped
            sign = sign if grouped else 1
        elif token.strip(" ·*.\t") == "":
            if not grouped and sign == -1:
                sign = 1
        else:
            match = _POWER.fullmatch(token)
            if match is None:
                return None
            symbol, power = match[1], int(match[2] or 1)
            if symbol in powers:
                return None
            powers[symbol] = sign * power
            if not grouped:
                sign = 1
    return None if grouped else powers or None


def to_internal(
    unit: str, wavelength: NDArray[np.float64], values: NDArray[np.float64]
) -> tuple[str, NDArray[np.float64]]:
    """Convert values (…, n) in a canonical `unit` at wavelength (n,) [nm] to an internal unit.

    Returns (internal unit, values); the internal unit is W/m2/nm, counts, relative or transmittance.
    """
    factor = _TO_IRRADIANCE.get(unit)
    if factor is None:
        if unit not in UNITS:
            raise UnitError(f"unknown unit {unit!r}: expected one of {', '.join(UNITS)}")
        return unit, values
    if unit == PHOTON:
        return IRRADIANCE, values / (wavelength * UMOL_PER_JOULE_NM)
    return IRRADIANCE, values if factor == 1.0 else values * factor
