"""Pointers to light that may injure eyes or skin: indicators; an assessment (IEC 62471) is for a qualified person."""

from __future__ import annotations

from functools import cache, partial

import numpy as np

from spectui.core.metric import Array, Metric, Spectra, ratio
from spectui.core.weights import Weight, energy_band, weight

_INDICATOR = "an indicator, not an IEC 62471 assessment: that is for a qualified person"

# IEC 62471, blue-light hazard weighting B(λ); 500-600 nm is 10^((450 − λ)/50), 600-700 nm 0.001. From 380 nm only: the
# instruments of this trade rarely see less.
_BLUE = (
    (380, 0.01), (385, 0.013), (390, 0.025), (395, 0.05), (400, 0.10), (405, 0.20), (410, 0.40), (415, 0.80),
    (420, 0.90), (425, 0.95), (430, 0.98), (435, 1.0), (440, 1.0), (445, 0.97), (450, 0.94), (455, 0.90), (460, 0.80),
    (465, 0.70), (470, 0.62), (475, 0.55), (480, 0.45), (485, 0.40), (490, 0.22), (495, 0.16), (500, 0.10),
)  # fmt: skip

# Directive 2006/25/EC, Annex I, actinic weighting S(λ), as seen at 324 and 372 nm; the rest are the ICNIRP 2004 values,
# from memory. A straight line between those of 320 and 325 nm would be 15 % off at 324 nm.
_ACTINIC = (
    (280, 0.88), (285, 0.77), (290, 0.64), (295, 0.54), (297, 0.46), (300, 0.30), (303, 0.12), (305, 0.06),
    (308, 0.026), (310, 0.015), (313, 0.006), (315, 0.003), (320, 0.0010), (324, 0.00052), (325, 0.00050),
    (330, 0.00041), (335, 0.00034), (340, 0.00028), (345, 0.00024), (350, 0.00020), (355, 0.00016), (360, 0.00013),
    (365, 0.00011), (370, 0.000093), (372, 0.000086), (375, 0.000077), (380, 0.000064), (385, 0.000053),
    (390, 0.000044), (395, 0.000036), (400, 0.000030),
)  # fmt: skip

_UV_B = energy_band("uv_b_irradiance", 280.0, 315.0)
_UV = energy_band("uv_whole_irradiance", 280.0, 400.0)


@cache
def blue_light() -> Weight:
    """Return B(λ), 380-700 nm."""
    curve = np.arange(501.0, 601.0)
    nm = np.concatenate(([float(row[0]) for row in _BLUE], curve, (700.0,)))
    values = np.concatenate(([row[1] for row in _BLUE], 10.0 ** ((450.0 - curve) / 50.0), (0.001,)))
    return weight("e_blue_hazard", nm, values)


@cache
def actinic() -> Weight:
    """Return S(λ), 280-400 nm."""
    return weight("e_actinic", *zip(*_ACTINIC, strict=True))


def _take(key: str, spectra: Spectra) -> Array:
    return spectra[key]


def _uvb_share(spectra: Spectra) -> Array:
    return ratio(spectra["uv_b_irradiance"], spectra["uv_whole_irradiance"], 100.0)


METRICS: tuple[Metric, ...] = (
    Metric(
        "uvb_share",
        "%",
        "UV-B share",
        f"share of 280-315 nm in the irradiance of 280-400 nm; {_INDICATOR}",
        "100 · ∫ E dλ over 280-315 nm / over 280-400 nm",
        "ranges of CIE S 017 (ILV), from memory",
        (_UV_B, _UV),
        _uvb_share,
        undefined="no irradiance above zero in 280-400 nm to refer to",
    ),
    Metric(
        "e_blue_hazard",
        "W/m2",
        "blue haz.",
        f"irradiance weighted for the blue-light hazard, taken over 380-700 nm; {_INDICATOR}",
        "∫ E(λ)·B(λ) dλ over 380-700 nm",
        "IEC 62471, B(λ)",
        (blue_light,),
        partial(_take, "e_blue_hazard"),
        absolute=True,
    ),
    Metric(
        "e_actinic",
        "W/m2",
        "actinic UV",
        f"irradiance weighted for the actinic ultraviolet hazard to skin and eye, 280-400 nm; {_INDICATOR}",
        "∫ E(λ)·S(λ) dλ over 280-400 nm",
        "Directive 2006/25/EC, Annex I, S(λ); ICNIRP 2004 values, most from memory",
        (actinic,),
        partial(_take, "e_actinic"),
        absolute=True,
    ),
)
