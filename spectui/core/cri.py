"""Colour rendering by CIE 13.3 for N scans at once: Ra and R1 to R14.

The 14 test colours' radiance factors times the colour-matching functions are folded into the weights, so that a scan's
tristimulus values under every colour come from the one matrix multiplication.
"""

from __future__ import annotations

from functools import cache, partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from spectui.core import references
from spectui.core.colour import NEEDS as COLOUR_NEEDS
from spectui.core.colour import Colour, colour, lit, reason
from spectui.core.metric import Array, Metric, Spectra
from spectui.core.tables import table
from spectui.core.weights import Weight, weight

TEST_COLOURS = 14


class Rendering(NamedTuple):
    """CIE 13.3: ra (N,) and r (N, 14)."""

    ra: Array
    r: Array


@cache
def colours() -> Weight:
    """Return the 14 test colours under the 2° observer, in the same order; ends are held to 360-780 nm."""
    radiance, observer = table("tcs"), table("cie1931")
    nm = radiance[:, 0]
    functions = observer[np.searchsorted(observer[:, 0], nm), 1:]
    seen = [functions[:, k : k + 1] * radiance[:, 1:] for k in range(3)]
    return weight("tcs", nm, np.concatenate((*seen, functions), axis=1), held=True)


@cache
def _reference_colours() -> references.Seen:
    w = colours()
    return references.seen(w.wavelength, w.weight, 3 * TEST_COLOURS + 1)


def rendering(spectra: Spectra) -> Rendering:
    """Return the CIE 13.3 results, NaN where the light has no colour temperature; computed once for all its metrics."""
    found = spectra.shared.get("rendering")
    if found is None:
        found = spectra.shared["rendering"] = _rendering(
            spectra["tcs"], colour(spectra), lit(spectra, spectra["tcs"], TEST_COLOURS)
        )
    result: Rendering = found
    return result


def _rendering(seen: Array, light: Colour, white: NDArray[np.bool_]) -> Rendering:
    cct = np.where(light.why == 0, light.cct, 4500.0)
    what = _reference_colours()
    warm = (cct < 5000.0)[:, np.newaxis]
    reference = np.where(warm, references.under_planck(what, cct), references.under_daylight(what, cct))
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        u, v, y = _uv(seen)
        u0, v0, y0 = _uv(reference)
        # Von Kries adaptation in u, v (CIE 13.3): the test light's white is moved onto the reference's.
        c, d = (4.0 - u - 10.0 * v) / v, (1.708 * v + 0.404 - 1.481 * u) / v
        c0, d0 = (4.0 - u0 - 10.0 * v0) / v0, (1.708 * v0 + 0.404 - 1.481 * u0) / v0
        c, d = c * (c0[:, -1:] / c[:, -1:]), d * (d0[:, -1:] / d[:, -1:])
        below = 16.518 + 1.481 * c - d
        u, v = (10.872 + 0.404 * c - 4.0 * d) / below, 5.52 / below
        lightness, lightness0 = 25.0 * np.cbrt(y) - 17.0, 25.0 * np.cbrt(y0) - 17.0
        u_white, v_white = u0[:, -1:], v0[:, -1:]
        first = 13.0 * (lightness * (u - u_white) - lightness0 * (u0 - u_white))
        second = 13.0 * (lightness * (v - v_white) - lightness0 * (v0 - v_white))
        apart = np.sqrt(first**2 + second**2 + (lightness - lightness0) ** 2)
    r = np.where(white[:, np.newaxis], 100.0 - 4.6 * apart[:, :-1], np.nan)
    return Rendering(r[:, :8].mean(axis=1), r)


def _uv(seen: Array) -> tuple[Array, Array, Array]:
    """Return CIE 1960 u, v and Y of the samples and, last, of the white (N, 15); the white's Y is 100."""
    k = TEST_COLOURS
    x, y, z = (
        np.concatenate((seen[:, c * k : (c + 1) * k], seen[:, 3 * k + c : 3 * k + c + 1]), axis=1) for c in range(3)
    )
    below = x + 15.0 * y + 3.0 * z
    return 4.0 * x / below, 6.0 * y / below, y * (100.0 / y[:, -1:])


_SOURCE = "CIE 13.3-1995"
_NEEDS = (*COLOUR_NEEDS, colours)


def _ra(spectra: Spectra) -> Array:
    return rendering(spectra).ra


def _r(k: int, spectra: Spectra) -> Array:
    return rendering(spectra).r[:, k]


METRICS: tuple[Metric, ...] = (
    Metric(
        "ra", "1", "Ra", "general colour rendering index", "mean of R1 to R8", _SOURCE, _NEEDS, _ra, undefined=reason
    ),
    *(
        Metric(
            f"r{k + 1}",
            "1",
            f"R{k + 1}",
            f"special colour rendering index of test colour {k + 1}; negative where the colour is far off",
            "100 − 4.6 · ΔE in U*V*W*",
            _SOURCE,
            _NEEDS,
            partial(_r, k),
            undefined=reason,
            part=k != 8,
        )
        for k in range(TEST_COLOURS)
    ),
)
