"""Colour of light: chromaticity, correlated colour temperature and distance from the Planckian locus, for N scans at once.

CIE 1931 2° observer (CIE 15). The integrals are taken over the scan's own range, nothing is extended.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np

from spectui.core.metric import Array, Spectra
from spectui.core.tables import table
from spectui.core.weights import Weight, energy_band, weight

# c₂ of Planck's law as CIE 15 uses it for the locus [m K].
C2 = 1.4388e-2
COOLEST_K, HOTTEST_K = 1000.0, 25000.0
FARTHEST_DUV = 0.05
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


class Colour(NamedTuple):
    """What is computed for N spectra: arrays (N,), NaN where not available; `why` holds a key of REASONS, 0 where fine.

    xyz: (N, 3), Y in lx for absolute spectra over 683. mired: 1e6 / CCT. `coloured`: x, y and u′, v′ are available.
    """

    xyz: Array
    x: Array
    y: Array
    u_prime: Array
    v_prime: Array
    cct: Array
    duv: Array
    why: Array
    coloured: Array


@cache
def observer() -> Weight:
    """Return the three colour-matching functions of the 2° observer as one weight."""
    rows = table("cie1931")
    return weight("xyz", rows[:, 0], rows[:, 1:])


def weights() -> tuple[Weight, ...]:
    """Return the weights that `colour` needs."""
    return observer(), _SEEN


def colour(spectra: Spectra) -> Colour:
    """Return chromaticity, CCT and Duv of the spectra; computed once for all metrics of this subject."""
    found = spectra.shared.get("colour")
    if found is None:
        found = spectra.shared["colour"] = _colour(spectra["xyz"], spectra["irradiance"])
    result: Colour = found
    return result


def _colour(xyz: Array, irradiance: Array) -> Colour:
    x_, y_, z_ = xyz[:, 0], xyz[:, 1], xyz[:, 2]
    why = np.zeros(y_.size)
    sound = (xyz > 0).all(axis=1)
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
    return Colour(
        xyz, x, y, u, v_prime, np.where(white, cct, np.nan), np.where(white, duv, np.nan), why, coloured
    )


# The locus as cubic pieces in mired: even the first derivative is continuous, and the error is far below 1e-9 in u and v.
_STEP_MIRED = 1.0
_FIRST_MIRED, _LAST_MIRED = 1e6 / HOTTEST_K, 1e6 / COOLEST_K


@cache
def _locus() -> tuple[Array, Array, Array]:
    """Return (mired (k,), uv and its derivative by mired (k, 4) in CIE 1960, a coarse choice of rows)."""
    knots = np.arange(_FIRST_MIRED, _LAST_MIRED + 0.5 * _STEP_MIRED, _STEP_MIRED)
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
    return knots, np.stack((u, v, du, dv), axis=1), np.arange(0, knots.size, 16)


def nearest(u: Array, v: Array) -> tuple[Array, Array]:
    """Return (mired, Duv) of the nearest point of the Planckian locus to CIE 1960 u, v (N,); Duv is positive above it."""
    knots, points, coarse = _locus()
    few = points[coarse, :2]
    with np.errstate(invalid="ignore"):
        distance = (u[:, np.newaxis] - few[:, 0]) ** 2 + (v[:, np.newaxis] - few[:, 1]) ** 2
    mired = knots[coarse[np.argmin(np.where(np.isnan(distance), np.inf, distance), axis=1)]]
    for _ in range(6):
        p, dp, ddp = _along(mired)
        off = np.stack((u, v), axis=1) - p
        # Newton on the slope of the squared distance; its curvature is kept positive where the locus bends away.
        slope = (off * dp).sum(axis=1)
        curvature = np.maximum((dp * dp).sum(axis=1) - (off * ddp).sum(axis=1), 0.2 * (dp * dp).sum(axis=1))
        step = np.nan_to_num(np.clip(slope / curvature, -40.0, 40.0))
        mired = np.clip(mired + step, _FIRST_MIRED, _LAST_MIRED)
    p, dp, _ = _along(mired)
    off = np.stack((u, v), axis=1) - p
    side = np.sign(dp[:, 0] * off[:, 1] - dp[:, 1] * off[:, 0])
    return mired, side * np.sqrt((off * off).sum(axis=1))


def _along(mired: Array) -> tuple[Array, Array, Array]:
    """Return the locus (N, 2) at mired with its first and second derivative: cubic Hermite pieces."""
    knots, points, _ = _locus()
    k = np.clip(((mired - _FIRST_MIRED) / _STEP_MIRED).astype(np.intp), 0, knots.size - 2)
    t = ((mired - knots[k]) / _STEP_MIRED)[:, np.newaxis]
    p0, p1 = points[k, :2], points[k + 1, :2]
    m0, m1 = points[k, 2:] * _STEP_MIRED, points[k + 1, 2:] * _STEP_MIRED
    a = 2 * (p0 - p1) + m0 + m1
    b = 3 * (p1 - p0) - 2 * m0 - m1
    here = ((a * t + b) * t + m0) * t + p0
    return here, ((3 * a * t + 2 * b) * t + m0) / _STEP_MIRED, (6 * a * t + 2 * b) / _STEP_MIRED**2
