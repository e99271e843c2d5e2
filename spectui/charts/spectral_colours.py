"""The colour of each wavelength, for the ribbon: CIE 1931 chromaticity, in a perceptual space, within sRGB by hue.

A spectral colour lies outside what a screen can show. Clipping each of R, G, B on its own would turn the hue (cyan
becomes green, 460 nm becomes plain blue); here hue and lightness stay and the chroma falls until the colour fits.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from spectui.core.tables import table

Floats = NDArray[np.float64]

# XYZ (D65) to linear sRGB: IEC 61966-2-1.
_TO_RGB = np.array([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]])
# Oklab, B. Ottosson 2020, "A perceptual color space for image processing" (matrices from memory; a test checks them
# against colour-science).
_TO_LMS = np.array(
    [[0.8189330101, 0.3618667424, -0.1288597137], [0.0329845436, 0.9293118715, 0.0361456387],
     [0.0482003018, 0.2643662691, 0.6338517070]]
)  # fmt: skip
_TO_LAB = np.array(
    [[0.2104542553, 0.7936177850, -0.0040720468], [1.9779984951, -2.4285922050, 0.4505937099],
     [0.0259040371, 0.7827717662, -0.8086757660]]
)  # fmt: skip
SHORTEST, LONGEST = 380, 780
_LIGHTNESS = 0.57  # one lightness for all hues: the ribbon is an axis, no part of it may shout
_STRONGEST = 0.23  # the chroma at most, for the same reason: violet could go further than any other hue
_FADED = 0.36  # lightness at the ends, where the eye hardly sees


def oklab(xyz: Floats) -> Floats:
    """Return Oklab (…, 3) of XYZ (…, 3), white at Y = 1."""
    return np.asarray(np.cbrt(xyz @ _TO_LMS.T) @ _TO_LAB.T)


def linear_rgb(lab: Floats) -> Floats:
    """Return linear sRGB (…, 3) of Oklab (…, 3), not clipped."""
    lms = (lab @ np.linalg.inv(_TO_LAB).T) ** 3
    return np.asarray(lms @ np.linalg.inv(_TO_LMS).T @ _TO_RGB.T)


@cache
def colours() -> tuple[str, ...]:
    """Return `#rrggbb` of each whole nm from SHORTEST to LONGEST."""
    rows = table("cie1931")
    nm = np.arange(SHORTEST, LONGEST + 1.0)
    xyz = np.stack([np.interp(nm, rows[:, 0], rows[:, i]) for i in (1, 2, 3)], axis=1)
    lab = oklab(xyz / xyz.sum(axis=1, keepdims=True))
    hue = lab[:, 1:] / np.linalg.norm(lab[:, 1:], axis=1, keepdims=True)
    light = np.interp(nm, [SHORTEST, 400, 445, 650, 730, LONGEST], [_FADED, 0.46, *(_LIGHTNESS,) * 2, _FADED, _FADED])
    low, high = np.zeros(nm.size), np.full(nm.size, _STRONGEST)
    for _ in range(20):
        chroma = (low + high) / 2
        rgb = linear_rgb(np.column_stack((light, hue * chroma[:, None])))
        fits = ((rgb >= 0) & (rgb <= 1)).all(axis=1)
        low, high = np.where(fits, chroma, low), np.where(fits, high, chroma)
    rgb = np.clip(linear_rgb(np.column_stack((light, hue * low[:, None]))), 0, 1)
    # The sRGB transfer function: IEC 61966-2-1.
    coded = np.where(rgb <= 0.0031308, 12.92 * rgb, 1.055 * rgb ** (1 / 2.4) - 0.055)
    return tuple("#{:02x}{:02x}{:02x}".format(*row) for row in np.rint(coded * 255).astype(int).tolist())


def colour_of(nm: float) -> str:
    """Return `#rrggbb` of a wavelength [nm]; the end colours beyond SHORTEST and LONGEST."""
    return colours()[round(min(max(nm, SHORTEST), LONGEST)) - SHORTEST]
