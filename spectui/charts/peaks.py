"""Where a caret jumps to: the peaks of a scan that stand out of its noise, and the edges of the bands."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from spectui.core.scan import Scan

EDGES = (280.0, 315.0, 400.0, 500.0, 600.0, 700.0, 750.0, 800.0)
# A peak stands out by at least this share of the scan's span, and by this many standard deviations of its noise.
# Our own choice, no source: 2 % keeps the weak lines of a lamp, 6 sigma leaves none of 2 000 samples of pure noise.
LEAST_SHARE, LEAST_SIGMA = 0.02, 6.0


def next_peak(scan: Scan, nm: float, direction: int) -> float | None:
    """Return the wavelength [nm] of the next peak above (direction > 0) or below `nm`; None where there is none."""
    return _next(peaks(scan), nm, direction)


def next_edge(nm: float, direction: int) -> float | None:
    """Return the next band edge [nm] above (direction > 0) or below `nm`; None where there is none."""
    return _next(EDGES, nm, direction)


def _next(places: tuple[float, ...], nm: float, direction: int) -> float | None:
    if direction > 0:
        return next((place for place in places if place > nm + 1e-9), None)
    return next((place for place in reversed(places) if place < nm - 1e-9), None)


@lru_cache(maxsize=64)
def peaks(scan: Scan) -> tuple[float, ...]:
    """Return the wavelengths [nm] of all peaks that stand out, ascending; of a flat top its middle sample.

    A peak's prominence is its height above the higher of the two lowest points between it and a higher peak (or the
    scan's end) on either side. The noise is taken from the second differences, which a smooth spectrum hardly has.
    """
    values = scan.values
    if values.size < 3:
        return ()
    steps = np.diff(values)
    moves = np.flatnonzero(steps)
    if moves.size < 2:
        return ()
    signs = np.sign(steps[moves])
    turns = np.flatnonzero((signs[:-1] > 0) & (signs[1:] < 0))
    tops = [(int(moves[t]) + 1 + int(moves[t + 1])) // 2 for t in turns]
    least = max(LEAST_SHARE * float(np.ptp(values)), LEAST_SIGMA * _noise(values))
    left = _valleys(values, tops)
    right = _valleys(values[::-1], [values.size - 1 - top for top in reversed(tops)])[::-1]
    found = [top for top, *sides in zip(tops, left, right, strict=True) if float(values[top]) - max(sides) >= least]
    return tuple(float(scan.wavelength[top]) for top in found)


def _valleys(values: np.ndarray, tops: list[int]) -> list[float]:
    """Return for each of the ascending peaks the lowest value between it and the nearest higher one on its left."""
    lowest: list[float] = []
    higher: list[tuple[float, float]] = []  # (height, lowest value left of it up to the next higher one)
    start = 0
    for top in tops:
        valley = float(values[start : top + 1].min())
        height = float(values[top])
        while higher and higher[-1][0] <= height:
            valley = min(valley, higher.pop()[1])
        higher.append((height, valley))
        lowest.append(valley)
        start = top
    return lowest


def _noise(values: np.ndarray) -> float:
    """Return the standard deviation of the noise: white noise has sqrt(6) times its own in the second differences."""
    if values.size < 8:
        return 0.0
    return float(1.4826 * np.median(np.abs(np.diff(values, 2))) / np.sqrt(6.0))
