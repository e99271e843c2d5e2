"""Colour of light for N scans at once: chromaticity, correlated colour temperature, distance from the Planckian locus.

CIE 1931 2° observer (CIE 15). The integrals are taken over the scan's own range, nothing is extended.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from spectui.core.metric import Array, Metric, Spectra
from spectui.core.tables import table
from spectui.core.weights import Weight, energy_band, matrix, weight

# c₂ of Planck's law as CIE 15 uses it for the locus [m K].
C2 = 1.4388e-2
COOLEST_K, HOTTEST_K = 1000.0, 25000.0
FARTHEST_DUV = 0.05
# As part of the sum of the three a tristimulus value may be this far below zero: noise, and a deep red has no Z at all.
_NOISE = 0.01
# Under other colours than white nothing may look darker than this part of the white: the light would be no light.
_DARKEST = 1e-3
# Negative samples may make up this part of the visible light (tristimulus values summed) before it has no rendition.
_NEGATIVE_PART = 0.05
# Next to the least number that a computer holds there are no digits left for a ratio.
_NOTHING = 1e-250
# Below this luminous efficacy of the whole radiation [lm/W] there is too little visible light for a colour.
LEAST_LUMENS_PER_WATT = 1.0
_SEEN = energy_band("irradiance", 100.0, 5000.0, seen=True)

TOO_DARK, NEGATIVE, FAR, OUTSIDE = 1, 2, 3, 4
REASONS = {
    TOO_DARK: f"too little visible light for a colour: under {LEAST_LUMENS_PER_WATT:g} lm for each radiant watt",
    NEGATIVE: "the light does not add up to more than zero",
    FAR: f"too far from white: |Duv| is over {FARTHEST_DUV:g}",
    OUTSIDE: f"no correlated colour temperature within {COOLEST_K:g}-{HOTTEST_K:g} K",
}
UNLIT = "too much of the scan is negative for it: check the dark"
NO_HUE = "a purple or a white: no single wavelength has its hue"


class Colour(NamedTuple):
    """What is computed for N spectra: arrays (N,), NaN where not available; `why` holds a key of REASONS, 0 where fine.

    xyz: (N, 3); 683 Y is in lx for absolute spectra. A colour without a temperature has x, y, u′ and v′ all the same.
    """

    xyz: Array
    x: Array
    y: Array
    u_prime: Array
    v_prime: Array
    cct: Array
    duv: Array
    dominant_wavelength: Array
    purity: Array
    why: NDArray[np.int8]


@cache
def observer() -> Weight:
    """Return the three colour-matching functions of the 2° observer as one weight."""
    rows = table("cie1931")
    return weight("xyz", rows[:, 0], rows[:, 1:])


def colour(spectra: Spectra) -> Colour:
    """Return chromaticity, CCT and Duv of the spectra; computed once for all metrics of this subject."""
    found = spectra.shared.get("colour")
    if found is None:
        found = spectra.shared["colour"] = _colour(spectra["xyz"], spectra["irradiance"])
    result: Colour = found
    return result


def _colour(xyz: Array, irradiance: Array) -> Colour:
    x_, y_, z_ = xyz[:, 0], xyz[:, 1], xyz[:, 2]
    why = np.zeros(y_.size, dtype=np.int8)
    sound = (y_ > _NOTHING) & (xyz.min(axis=1) >= -_NOISE * (x_ + y_ + z_))
    why[~sound] = NEGATIVE
    dark = sound & ~(683.0 * y_ >= LEAST_LUMENS_PER_WATT * irradiance)
    why[dark] = TOO_DARK
    coloured = sound & ~dark
    total = np.where(coloured, x_ + y_ + z_, np.nan)
    x, y = x_ / total, y_ / total
    below = np.where(coloured, x_ + 15.0 * y_ + 3.0 * z_, np.nan)
    u, v_prime = 4.0 * x_ / below, 9.0 * y_ / below
    mired, duv = nearest(u, v_prime / 1.5)
    cct = 1e6 / mired
    outside = coloured & ~((cct > COOLEST_K * (1 + 1e-9)) & (cct < HOTTEST_K * (1 - 1e-9)))
    far = coloured & (np.abs(duv) > FARTHEST_DUV)
    why[outside] = OUTSIDE
    why[far] = FAR
    white = why == 0
    return Colour(xyz, x, y, u, v_prime, np.where(white, cct, np.nan), np.where(white, duv, np.nan), *pure(x, y), why)


# Beyond these the locus hardly moves: its direction from white would be that of rounded table values.
_PURE_NM = (390.0, 700.0)
_WHITE = 1.0 / 3.0


@cache
def _border() -> tuple[Array, Array, Array]:
    """Return the spectrum locus from red to violet: direction from white (turning one way), wavelength, x and y."""
    rows = table("cie1931")
    rows = rows[(rows[:, 0] >= _PURE_NM[0]) & (rows[:, 0] <= _PURE_NM[1])][::-1]
    xy = rows[:, 1:3] / rows[:, 1:].sum(axis=1, keepdims=True)
    angle = np.unwrap(np.arctan2(xy[:, 1] - _WHITE, xy[:, 0] - _WHITE))
    return angle, rows[:, 0], xy


def pure(x: Array, y: Array) -> tuple[Array, Array]:
    """Return (dominant wavelength [nm], excitation purity [%]) of chromaticities (N,) against equal-energy white.

    On the purple side there is no dominant wavelength: NaN, and purity is that towards the purple line.
    """
    angle, nm, xy = _border()
    dx, dy = x - _WHITE, y - _WHITE
    away = np.sqrt(dx * dx + dy * dy)
    known = away > 1e-6
    turn = np.arctan2(np.where(known, dy, 0.0), np.where(known, dx, 1.0))
    turn = turn + 2.0 * np.pi * np.ceil((angle[0] - turn) / (2.0 * np.pi))
    spectral = known & (turn <= angle[-1])
    k = np.clip(np.searchsorted(angle, turn) - 1, 0, angle.size - 2)
    first, last = xy[k], xy[k + 1]
    first = np.where(spectral[:, np.newaxis], first, xy[-1])
    last = np.where(spectral[:, np.newaxis], last, xy[0])
    # The line from white meets the piece of the border: white + s·(dx, dy) = first + t·(last − first).
    ex, ey = last[:, 0] - first[:, 0], last[:, 1] - first[:, 1]
    fx, fy = first[:, 0] - _WHITE, first[:, 1] - _WHITE
    with np.errstate(invalid="ignore", divide="ignore"):
        cross = dx * ey - dy * ex
        s, t = (fx * ey - fy * ex) / cross, (fx * dy - fy * dx) / cross
        dominant = nm[k] + t * (nm[k + 1] - nm[k])
        return np.where(spectral, dominant, np.nan), np.where(known, 100.0 / s, np.where(away >= 0, 0.0, np.nan))


# The locus as cubic pieces in mired: the first derivative is continuous, the error below 1e-10 in u and v, 1e-4 K.
_STEP_MIRED = 3.0
_FIRST_MIRED, _LAST_MIRED = 1e6 / HOTTEST_K, 1e6 / COOLEST_K
_COARSE = slice(None, None, 2)


@cache
def _locus() -> tuple[Array, Array, Array]:
    """Return the Planckian locus in CIE 1960 u, v: mired (k,), points (k, 2), coefficients of pieces (k − 1, 4, 2)."""
    knots: Array = np.arange(_FIRST_MIRED, _LAST_MIRED + 0.5 * _STEP_MIRED, _STEP_MIRED)
    rows = table("cie1931")
    meters = rows[:, 0] * 1e-9
    # d/dmired of 1 / (exp(c₂ m / (λ 1e6)) − 1), λ⁻⁵ left as it is: the derivative of Planck's law in closed form.
    power = np.exp(np.clip(C2 / meters[:, np.newaxis] * knots * 1e-6, None, 700.0))
    radiance = (meters**-5.0 * 1e-30)[:, np.newaxis] / (power - 1.0)
    slope = -radiance * power / (power - 1.0) * (C2 / meters * 1e-6)[:, np.newaxis]
    xyz, by = rows[:, 1:].T @ radiance, rows[:, 1:].T @ slope
    below, below_by = xyz[0] + 15 * xyz[1] + 3 * xyz[2], by[0] + 15 * by[1] + 3 * by[2]
    u, v = 4 * xyz[0] / below, 6 * xyz[1] / below
    du, dv = (4 * by[0] - u * below_by) / below, (6 * by[1] - v * below_by) / below
    p, m = np.stack((u, v), axis=1), np.stack((du, dv), axis=1) * _STEP_MIRED
    p0, p1, m0, m1 = p[:-1], p[1:], m[:-1], m[1:]
    cubic = (p0, m0, 3 * (p1 - p0) - 2 * m0 - m1, 2 * (p0 - p1) + m0 + m1)  # Hermite
    return knots, p, np.stack(cubic, axis=1)


def nearest(u: Array, v: Array) -> tuple[Array, Array]:
    """Return (mired, Duv) of the point of the Planckian locus nearest to CIE 1960 u, v (N,); Duv is positive above."""
    knots, points, _ = _locus()
    unknown = np.isnan(u)
    uv = np.stack((u, v), axis=1)
    uv[unknown] = points[0]
    few = points[_COARSE]
    distance = (uv[:, :1] - few[:, 0]) ** 2 + (uv[:, 1:] - few[:, 1]) ** 2
    mired = knots[_COARSE][np.argmin(distance, axis=1)]
    for _ in range(8):
        p, dp, ddp = _along(mired)
        off = uv - p
        # Newton on the slope of the squared distance; its curvature is kept positive where the locus bends away.
        square = (dp * dp).sum(axis=1)
        step = (off * dp).sum(axis=1) / np.maximum(square - (off * ddp).sum(axis=1), 0.2 * square)
        step = np.minimum(np.maximum(step, -40.0), 40.0)
        before, mired = mired, np.minimum(np.maximum(mired + step, _FIRST_MIRED), _LAST_MIRED)
        if (np.abs(mired - before) < 1e-9).all():
            break
    p, dp, _ = _along(mired)
    off = uv - p
    duv = np.copysign(np.sqrt((off * off).sum(axis=1)), dp[:, 0] * off[:, 1] - dp[:, 1] * off[:, 0])
    return np.where(unknown, np.nan, mired), np.where(unknown, np.nan, duv)


def _along(mired: Array) -> tuple[Array, Array, Array]:
    """Return the locus (N, 2) at mired with its first and second derivative."""
    _, _, pieces = _locus()
    at = (mired - _FIRST_MIRED) / _STEP_MIRED
    k = np.minimum(at.astype(np.intp), len(pieces) - 1)
    t = (at - k)[:, np.newaxis]
    c0, c1, c2, c3 = (pieces[k, j] for j in range(4))
    here = ((c3 * t + c2) * t + c1) * t + c0
    return here, ((3 * c3 * t + 2 * c2) * t + c1) / _STEP_MIRED, (6 * c3 * t + 2 * c2) / _STEP_MIRED**2


def _take(name: str, spectra: Spectra) -> Array:
    return np.asarray(getattr(colour(spectra), name))


def reason(spectra: Spectra, row: int) -> str:
    """Return why a spectrum has no colour temperature, or none of what follows from it."""
    return REASONS.get(int(colour(spectra).why[row]), UNLIT)


def lit(spectra: Spectra, seen: Array, m: int) -> NDArray[np.bool_]:
    """Return where (N,) a light has a temperature, little negative light, and leaves none of m samples in the dark.

    seen: (N, 3 m + 3): X of all samples, Y of all, Z of all, then X, Y, Z of the light. Under a negative baseline some
    colours have less than no light: indices of such a light are numbers without a meaning.
    """
    sound = (colour(spectra).why == 0) & (seen[:, : 3 * m].min(axis=1) >= -_DARKEST * seen[:, 3 * m + 1])
    values = spectra.values
    if values.min(initial=0.0) < 0:
        total = spectra["xyz"].sum(axis=1)
        below = np.minimum(values, 0.0) @ matrix(spectra.wavelength, (observer(),)).sum(axis=1)
        sound &= -below <= _NEGATIVE_PART * (total - below)
    return np.asarray(sound)


def _hue_reason(spectra: Spectra, row: int) -> str:
    why = int(colour(spectra).why[row])
    return REASONS[why] if why in (TOO_DARK, NEGATIVE) else NO_HUE


_CIE15 = "CIE 15, CIE 1931 2° observer"
NEEDS = (observer, _SEEN)


def _metric(
    key: str, unit: str, name: str, definition: str, formula: str, why: Callable[[Spectra, int], str] = reason
) -> Metric:
    return Metric(key, unit, name, definition, formula, _CIE15, NEEDS, partial(_take, key), undefined=why)


METRICS: tuple[Metric, ...] = (
    _metric("x", "1", "x", "CIE 1931 chromaticity x", "X / (X + Y + Z)"),
    _metric("y", "1", "y", "CIE 1931 chromaticity y", "Y / (X + Y + Z)"),
    _metric("u_prime", "1", "u′", "CIE 1976 chromaticity u′", "4 X / (X + 15 Y + 3 Z)"),
    _metric("v_prime", "1", "v′", "CIE 1976 chromaticity v′", "9 Y / (X + 15 Y + 3 Z)"),
    _metric(
        "cct",
        "K",
        "CCT",
        "correlated colour temperature",
        "the temperature of the nearest point of the Planckian locus in CIE 1960 u, v",
    ),
    _metric("duv", "1", "Duv", "distance from the Planckian locus, positive above it", "distance in CIE 1960 u, v"),
    _metric(
        "dominant_wavelength",
        "nm",
        "dominant",
        "wavelength of the spectral light that gives this colour when mixed with equal-energy white",
        "where the line from x = y = 1/3 through the chromaticity meets the spectrum locus",
        _hue_reason,
    ),
    _metric(
        "purity",
        "%",
        "purity",
        "excitation purity: how far the colour stands from equal-energy white towards the spectrum locus",
        "100 · distance to x = y = 1/3 / distance of the locus or purple line in that direction",
    ),
)
