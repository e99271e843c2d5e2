"""Spectra of invented lamps, as plausible shapes: arrays of relative irradiance per nm over a grid in nm.

Where a line or band stands is physics, typed from memory (Na 589.0 and 589.6 nm, Hg 404.7, 435.8, 546.1, 577.0 and
579.1 nm, O2 761 nm, ...). How strong it is, is invented: chosen so that the lamp looks like its kind.
"""

from __future__ import annotations

import numpy as np


def led(nm: np.ndarray, peak: float, width: float) -> np.ndarray:
    """One narrow-band LED, 1 at its peak, with a faint tail. width: full width at half its height [nm]."""
    g = np.exp(-(((nm - peak) / width * 0.971) ** 2))
    return 0.97 * (g + 2 * g**5) / 3 + 0.03 * line(nm, peak, width)


def gauss(nm: np.ndarray, peak: float, full_width: float) -> np.ndarray:
    """A gaussian, 1 at its peak."""
    return np.exp(-4 * np.log(2) * ((nm - peak) / full_width) ** 2)


def line(nm: np.ndarray, at: float, full_width: float) -> np.ndarray:
    """A pressure-broadened line (Lorentz), 1 at its peak."""
    return 1 / (1 + (2 * (nm - at) / full_width) ** 2)


def lines(nm: np.ndarray, table: tuple[tuple[float, float], ...], full_width: float) -> np.ndarray:
    """Sum lines as an instrument of `full_width` [nm] sees them: pairs of wavelength and height."""
    total = np.zeros_like(nm)
    for at, height in table:
        total += height * gauss(nm, at, full_width)
    return total


def white(nm: np.ndarray, pump: float = 451.0, blue: float = 0.96, warm: float = 0.86) -> np.ndarray:
    """A phosphor white LED: pump, a broad yellow-green phosphor and a red one. `pump` [nm], the rest relative."""
    above = 1 / (1 + np.exp(-(nm - 484) / 8.5))
    phosphor = 0.82 * gauss(nm, 540, 92) + warm * gauss(nm, 612, 104) + 0.07 * gauss(nm, 680, 120)
    return blue * led(nm, pump, 20) + above * phosphor * 0.62


def sodium(nm: np.ndarray) -> np.ndarray:
    """A high-pressure sodium lamp: D lines broadened and reversed in their middle, weaker Na lines, a low continuum."""
    wings = 0.50 * line(nm, 582.5, 12) + 1.00 * line(nm, 598.0, 21)
    reversed_middle = 1 - 0.93 * gauss(nm, 589.3, 5.5)
    weak = ((466.8, 0.12), (475.0, 0.04), (498.1, 0.26), (515.0, 0.06), (568.6, 0.62), (615.8, 0.26), (766.5, 0.10))
    near_infrared = 0.95 * gauss(nm, 819.0, 5.0)
    continuum = 0.026 * gauss(nm, 460, 100) + 0.030 * gauss(nm, 700, 240)
    return wings * reversed_middle + lines(nm, weak, 3.4) + near_infrared + continuum


def metal_halide(nm: np.ndarray) -> np.ndarray:
    """A metal halide lamp with sodium and scandium: mercury lines, Na D, many Sc lines close together, a continuum."""
    mercury = ((365.0, 0.50), (404.7, 0.55), (435.8, 0.80), (546.1, 1.50), (577.0, 0.62), (579.1, 0.66))
    scandium = (
        (390.9, 0.28), (393.3, 0.30), (402.2, 0.30), (424.7, 0.34), (437.4, 0.22), (467.2, 0.24), (474.2, 0.34),
        (508.4, 0.42), (523.9, 0.22), (552.7, 0.34), (567.2, 0.52), (571.2, 0.42), (603.0, 0.26), (616.0, 0.26),
        (621.2, 0.40), (624.6, 0.36), (630.6, 0.62), (637.9, 0.22), (660.0, 0.14),
    )  # fmt: skip
    sodium_d = 0.85 * line(nm, 589.3, 7.5) * (1 - 0.55 * gauss(nm, 589.3, 2.4))
    others = ((497.9, 0.10), (568.5, 0.22), (671.0, 0.30), (766.5, 0.12), (819.0, 0.42))
    continuum = 0.155 * gauss(nm, 470, 260) + 0.115 * gauss(nm, 600, 260)
    cover_glass = 1 / (1 + np.exp(-(nm - 372) / 8))
    return cover_glass * (
        lines(nm, mercury, 2.6) + lines(nm, scandium, 2.8) + sodium_d + lines(nm, others, 3.0) + continuum
    )


def daylight(nm: np.ndarray) -> np.ndarray:
    """Sun and sky behind glass: a Planck curve at 5 600 K, bands of O2 and H2O, and a glass that takes the UV."""
    planck = nm**-5.0 / np.expm1(1.4388e7 / (nm * 5600.0))
    bands = 1 - 0.10 * gauss(nm, 430.8, 3) - 0.12 * gauss(nm, 486.1, 2.5) - 0.05 * gauss(nm, 589.3, 2.5)
    bands *= 1 - 0.26 * gauss(nm, 687.5, 5) - 0.18 * gauss(nm, 722, 16) - 0.62 * gauss(nm, 761, 6)
    bands *= 1 - 0.20 * gauss(nm, 822, 20)
    blue_sky = 1 - 0.45 / (1 + np.exp((nm - 395) / 16))
    glass = 1 / (1 + np.exp(-(nm - 338) / 6)) * (1 - 0.00018 * np.clip(nm - 520, 0, None))
    return planck / planck.max() * bands * blue_sky * glass
