"""Light for eyes: illuminance, and what a lux meter under this lamp means in photons."""

from __future__ import annotations

from functools import cache

from spectui.core.metric import Array, Metric, Spectra, ratio
from spectui.core.tables import table
from spectui.core.weights import Weight, photon_band, weight

LUMENS_PER_WATT = 683.0
_SOURCE = "CIE 1924 V(λ), 683 lm/W"
_PPFD = photon_band("ppfd", 400.0, 700.0)


@cache
def photopic() -> Weight:
    """Return V(λ) times 683 lm/W; the integral is in lx."""
    rows = table("photopic")
    return weight("illuminance", rows[:, 0], LUMENS_PER_WATT * rows[:, 1])


def _illuminance(spectra: Spectra) -> Array:
    return spectra["illuminance"]


def _lux_per_umol(spectra: Spectra) -> Array:
    return ratio(spectra["illuminance"], spectra["ppfd"])


METRICS: tuple[Metric, ...] = (
    Metric(
        "illuminance",
        "lx",
        "lux",
        "illuminance for the CIE 1924 standard observer",
        "683 · ∫ E(λ)·V(λ) dλ",
        _SOURCE,
        (photopic,),
        _illuminance,
        absolute=True,
    ),
    Metric(
        "lux_per_umol",
        "lx/(umol/m2/s)",
        "lux/µmol",
        "lux for each µmol m⁻² s⁻¹ of PPFD: under this light alone, a lux meter's reading divided by it is PPFD",
        "illuminance / PPFD",
        _SOURCE,
        (photopic, _PPFD),
        _lux_per_umol,
        undefined="no photons above zero in 400-700 nm to refer to",
    ),
)
