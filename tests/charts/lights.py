"""Invented spectra for the chart tests: no measurement stands behind them."""

from __future__ import annotations

import numpy as np

from spectui.core.scan import Scan

NM = np.arange(380.0, 801.0)


def line(nm: np.ndarray, at: float, width: float, height: float) -> np.ndarray:
    """Return a Gaussian of full width at half maximum `width`."""
    return height * np.exp(-4 * np.log(2) * ((nm - at) / width) ** 2)


def white(factor: float = 1.0, red: float = 1.0, far_red: float = 0.08, nm: np.ndarray = NM) -> np.ndarray:
    """Return a white bar with a red diode: blue pump, phosphor, 660 nm, some far red."""
    return factor * (
        line(nm, 452, 20, 0.6) + line(nm, 560, 120, 0.42) + line(nm, 658, 22, 0.45 * red) + line(nm, 738, 32, far_red)
    )


def red_blue(nm: np.ndarray = NM) -> np.ndarray:
    """Return a red-blue bar."""
    return line(nm, 448, 18, 0.3) + line(nm, 661, 17, 1.4)


def sodium(nm: np.ndarray = NM) -> np.ndarray:
    """Return a spiky lamp: a broad self-reversed 589 nm pair and narrow lines."""
    peaks = ((467, 0.05), (498, 0.12), (515, 0.05), (568.5, 0.5), (615.5, 0.16), (670, 0.05), (766, 0.14))
    broad = line(nm, 583, 14, 0.55) + line(nm, 596, 22, 0.6) - line(nm, 589, 4, 0.4) + line(nm, 600, 90, 0.05)
    return broad + sum(line(nm, at, 2.0, height) for at, height in peaks)


def sun(nm: np.ndarray = NM) -> np.ndarray:
    """Return something like daylight: a broad hump with dips."""
    hump = 1.5 * (nm / 500) ** -0.9 * (1 - np.exp(-((nm - 330) / 60)))
    return hump * (1 - line(nm, 431, 4, 0.1) - line(nm, 687, 5, 0.3) - line(nm, 761, 6, 0.6) - line(nm, 720, 14, 0.2))


def scan(
    values: np.ndarray, title: str = "light", unit: str | None = "W/m2/nm", nm: np.ndarray = NM, **meta: str
) -> Scan:
    """Return a scan of invented values."""
    return Scan.build(nm, values, unit, {"title": title, **meta})


A = scan(white(), "White bar, new", place="bay 3 bench 2", taken_at="2026-03-14T09:12:00+01:00")
B = scan(white(0.86, 1.05, 0.1), "White bar, 3 years", place="bay 3 bench 2", taken_at="2026-03-14T09:20:00+01:00")
