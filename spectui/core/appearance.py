"""CAM02-UCS for many samples under many lights at once, in the viewing conditions of CIE 224.

Adapting luminance 100 cd/m², background 20, average surround, complete adaptation. With these fixed, everything that
depends on the light alone is one 3×3 matrix a light; no trigonometry is needed, since only cos h and sin h are used.
Luo, Cui & Li 2006 (CAM02-UCS); CIE 159:2004 (CIECAM02).
"""

from __future__ import annotations

import numpy as np

from spectui.core.metric import Array

_CAT02 = np.array([[0.7328, 0.4296, -0.1624], [-0.7036, 1.6975, 0.0061], [0.0030, 0.0136, 0.9834]])
_HPE = np.array([[0.38971, 0.68898, -0.07868], [-0.22981, 1.18340, 0.04641], [0.0, 0.0, 1.0]])
_TO_HPE = _HPE @ np.linalg.inv(_CAT02)
_C, _NC = 0.69, 1.0  # average surround
_N = 20.0 / 100.0
_NBB = 0.725 * (1.0 / _N) ** 0.2
_Z = 1.48 + np.sqrt(_N)
_K = 1.0 / (5.0 * 100.0 + 1.0)
_FL = 0.2 * _K**4 * 500.0 + 0.1 * (1.0 - _K**4) ** 2 * 500.0 ** (1.0 / 3.0)
_CHROMA = (1.64 - 0.29**_N) ** 0.73 * _FL**0.25
_COS2, _SIN2 = np.cos(2.0), np.sin(2.0)


def uniform(seen: Array, m: int) -> tuple[Array, Array, Array]:
    """Return J′, a′, b′ (N, m) of samples under lights.

    seen: (N, 3 m + 3 or more): X of all samples, Y of all, Z of all, then X, Y, Z of the light itself, to any scale.
    """
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        return _uniform(seen, m)


def _uniform(seen: Array, m: int) -> tuple[Array, Array, Array]:
    white = seen[:, 3 * m : 3 * m + 3]
    scale = 100.0 / white[:, 1:2]
    adapted = _TO_HPE @ ((100.0 / (white * scale @ _CAT02.T))[:, :, np.newaxis] * _CAT02)
    adapted *= scale[:, :, np.newaxis] * (_FL / 100.0)
    x, y, z = seen[:, :m], seen[:, m : 2 * m], seen[:, 2 * m : 3 * m]
    r, g, b = (_response(adapted[:, k], x, y, z) for k in range(3))
    # The light itself is white after complete adaptation: its three responses are one number, the same for every light.
    grey = _compressed(np.array(_FL))
    achromatic_white = (2.0 + 1.0 + 0.05) * grey + 0.1 * 3.05 - 0.305
    above = 2.0 * r
    above += g
    above += 0.05 * b
    below = r + g
    below += 1.05 * b
    below += 0.1 * 3.05
    first = g * (-12.0 / 11.0)
    first += r
    first += b / 11.0
    second = r + g
    second -= 2.0 * b
    second /= 9.0
    radius = first * first
    radius += second * second
    np.sqrt(radius, out=radius)
    safe = np.maximum(radius, 1e-300)
    cos, sin = np.divide(first, safe, out=first), np.divide(second, safe, out=second)
    # (cos(h + 2) + 3.8) / 4 without the angle h.
    t = cos * _COS2
    t -= sin * _SIN2
    t += 3.8
    t *= radius
    t *= 0.25 * 50000.0 / 13.0 * _NC * _NBB
    t /= below
    lightness = np.maximum(above, 0.0, out=above)
    lightness /= achromatic_white
    lightness **= _C * _Z
    colourful = np.power(np.maximum(t, 0.0, out=t), 0.9, out=t)
    colourful *= np.sqrt(lightness)
    colourful *= 0.0228 * _CHROMA
    np.log1p(colourful, out=colourful)
    colourful /= 0.0228
    cos *= colourful
    sin *= colourful
    lightness *= 100.0
    return 1.7 * lightness / (1.0 + 0.007 * lightness), cos, sin


def _response(row: Array, x: Array, y: Array, z: Array) -> Array:
    """One cone's response less its offset 0.1; the sign is kept, as for colours beyond the spectrum."""
    cone = x * row[:, 0:1]
    cone += y * row[:, 1:2]
    cone += z * row[:, 2:3]
    return np.copysign(_compressed(np.abs(cone)), cone)


def _compressed(cone: Array) -> Array:
    power = cone**0.42
    return np.asarray(400.0 * power / (power + 27.13))
