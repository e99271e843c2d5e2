"""Light for the crew's body clock: melanopic equivalent daylight illuminance, and its ratio to illuminance."""

from __future__ import annotations

from functools import cache

import numpy as np

from spectui.core.metric import Array, Metric, Spectra, ratio
from spectui.core.photometry import photopic
from spectui.core.tables import table
from spectui.core.weights import Weight, weight

# Melanopic efficacy of luminous radiation of D65 [W/lm] as CIE S 026:2018 prints it.
D65_WATT_PER_LUMEN = 1.3262e-3
_SOURCE = "CIE S 026:2018"


@cache
def melanopic() -> Weight:
    """Return the melanopic action spectrum; the integral is in W m-2."""
    rows = table("melanopic")
    return weight("melanopic", rows[:, 0], rows[:, 1])


def _edi(spectra: Spectra) -> Array:
    return np.asarray(spectra["melanopic"] / D65_WATT_PER_LUMEN)


def _der(spectra: Spectra) -> Array:
    return ratio(spectra["melanopic"], spectra["illuminance"], 1.0 / D65_WATT_PER_LUMEN)


METRICS: tuple[Metric, ...] = (
    Metric(
        "melanopic_edi",
        "lx",
        "mel EDI",
        "melanopic equivalent daylight illuminance: the lux of daylight D65 with the same melanopic irradiance",
        "∫ E(λ)·s_mel(λ) dλ / 1.3262 mW/lm",
        _SOURCE,
        (melanopic,),
        _edi,
        absolute=True,
    ),
    Metric(
        "melanopic_der",
        "1",
        "mel DER",
        "melanopic daylight efficacy ratio: 1 for daylight D65",
        "melanopic EDI / illuminance",
        _SOURCE,
        (melanopic, photopic),
        _der,
        undefined="no illuminance above zero to refer to",
    ),
)
