"""Light for the tests of colour: every illuminant and light source of colour-science, and made-up spectra."""

from __future__ import annotations

import warnings
from functools import cache

import numpy as np
import pytest

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # about plotting that is not installed
    colour = pytest.importorskip("colour")

GRID = np.arange(380.0, 781.0)

# A white light that is piecewise linear on knots of a 5 nm grid: a blue line, a phosphor, a thin red line.
WHITE_NM = np.array([360, 430, 445, 450, 460, 490, 540, 600, 640, 645, 650, 700, 780, 830], dtype=float)
WHITE = np.array([0.0, 0.05, 0.7, 1.1, 0.5, 0.15, 0.6, 0.7, 0.4, 1.9, 0.35, 0.1, 0.02, 0.0])


@cache
def sources() -> dict[str, object]:
    """Name → spectral distribution as colour-science carries it, at its own step."""
    return {**colour.SDS_ILLUMINANTS, **colour.SDS_LIGHT_SOURCES}


@cache
def lamps() -> dict[str, np.ndarray]:
    """Name → values on GRID, linear between the table's samples, 0 where the table ends."""
    return {
        name: np.interp(GRID, sd.wavelengths, sd.values, left=0.0, right=0.0)  # type: ignore[attr-defined]
        for name, sd in sources().items()
    }


def own_steps(name: str) -> tuple[np.ndarray, np.ndarray]:
    """A source at the 5 nm steps that its table was printed with, 380-780 nm."""
    sd = sources()[name]
    nm = np.arange(380.0, 781.0, 5.0)
    return nm, np.interp(nm, sd.wavelengths, sd.values)  # type: ignore[attr-defined]


def peak(nm: np.ndarray, at: float, width: float) -> np.ndarray:
    """A bell: made up, as a diode's light is."""
    return np.asarray(np.exp(-0.5 * ((nm - at) / width) ** 2))
