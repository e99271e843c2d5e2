"""Energy: irradiance, where the light stands on the wavelength axis, and photons for each radiant joule."""

from __future__ import annotations

from functools import partial

import numpy as np

from spectui.core.metric import Array, Metric, Spectra, ratio
from spectui.core.scan import LONGEST_NM, SHORTEST_NM, Scan
from spectui.core.weights import energy_band, photon_band, weight

_PRACTICE = "common practice, no source"
_TOTAL = energy_band("irradiance", SHORTEST_NM, LONGEST_NM, seen=True)
_FIRST_MOMENT = weight("first_moment", (SHORTEST_NM, LONGEST_NM), (SHORTEST_NM, LONGEST_NM), seen=True)
_PAR = energy_band("par_irradiance", 400.0, 700.0)
_PPFD = photon_band("ppfd", 400.0, 700.0)
_UV = energy_band("uv_irradiance", 280.0, 400.0, seen=True)


def _take(key: str, spectra: Spectra) -> Array:
    return spectra[key]


def _per_joule(spectra: Spectra) -> Array:
    return ratio(spectra["ppfd"], spectra["par_irradiance"])


def _centroid(spectra: Spectra) -> Array:
    at = ratio(spectra["first_moment"], spectra["irradiance"])
    inside = (at >= spectra.wavelength[0]) & (at <= spectra.wavelength[-1])
    return np.where(inside, at, np.nan)


def _peak(spectra: Spectra) -> Array:
    """Take the highest sample: a piecewise linear curve peaks there; of equal ones the middle of the first run."""
    values = spectra.values
    if not values.shape[0]:
        return np.empty(0)
    first = np.argmax(values, axis=1)
    rows = np.arange(values.shape[0])
    top = values[rows, first]
    last = first.copy()
    size = values.shape[1]
    for row in np.flatnonzero((top > 0) & (first + 1 < size)):
        while last[row] + 1 < size and values[row, last[row] + 1] == top[row]:
            last[row] += 1
    at = 0.5 * (spectra.wavelength[first] + spectra.wavelength[last])
    return np.where(top > 0, at, np.nan)


def _half_width(spectra: Spectra) -> Array:
    """Find the half heights on both linear flanks of the highest peak; NaN where one is cut off."""
    nm, values = spectra.wavelength, spectra.values
    rows, size = np.arange(values.shape[0]), nm.size
    top = np.argmax(values, axis=1)
    half = 0.5 * values[rows, top]
    place = np.arange(size)
    below = values < half[:, np.newaxis]
    before, after = below & (place < top[:, np.newaxis]), below & (place > top[:, np.newaxis])
    good = (half > 0) & before.any(axis=1) & after.any(axis=1)
    # The last sample below half height before the peak, the first one after it.
    i = np.where(good, size - 1 - np.argmax(before[:, ::-1], axis=1), 0)
    j = np.where(good, np.argmax(after, axis=1), 1)
    with np.errstate(invalid="ignore", divide="ignore"):
        lower = nm[i] + (half - values[rows, i]) / (values[rows, i + 1] - values[rows, i]) * (nm[i + 1] - nm[i])
        upper = nm[j] - (half - values[rows, j]) / (values[rows, j - 1] - values[rows, j]) * (nm[j] - nm[j - 1])
    return np.where(good, upper - lower, np.nan)


def _uv_note(scan: Scan, value: float) -> str | None:
    first = scan.range_nm[0]
    return None if first <= 280.0 else f"below {first:g} nm not seen: not absence"


METRICS: tuple[Metric, ...] = (
    Metric(
        "irradiance",
        "W/m2",
        "irradiance",
        "irradiance over the scan's whole range",
        "∫ E(λ) dλ over the scan's range",
        _PRACTICE,
        (_TOTAL,),
        partial(_take, "irradiance"),
        absolute=True,
    ),
    Metric(
        "par_irradiance",
        "W/m2",
        "PAR",
        "irradiance of 400-700 nm",
        "∫ E(λ) dλ over 400-700 nm",
        _PRACTICE,
        (_PAR,),
        partial(_take, "par_irradiance"),
        absolute=True,
    ),
    Metric(
        "uv_irradiance",
        "W/m2",
        "UV power",
        "irradiance of what is seen of 280-400 nm; an indicator, not an IEC 62471 assessment",
        "∫ E(λ) dλ over 280-400 nm, as far as seen",
        _PRACTICE,
        (_UV,),
        partial(_take, "uv_irradiance"),
        absolute=True,
        note=_uv_note,
    ),
    Metric(
        "peak_wavelength",
        "nm",
        "peak",
        "wavelength of the highest sample",
        "argmax E(λ)",
        _PRACTICE,
        (),
        _peak,
        undefined="no sample is above zero",
    ),
    Metric(
        "centroid_wavelength",
        "nm",
        "centroid",
        "centre of gravity of the spectrum over the scan's range",
        "∫ E(λ)·λ dλ / ∫ E(λ) dλ",
        _PRACTICE,
        (_FIRST_MOMENT, _TOTAL),
        _centroid,
        undefined="the light does not add up to more than zero",
    ),
    Metric(
        "peak_fwhm",
        "nm",
        "peak width",
        "full width at half maximum of the highest peak",
        "distance of the half heights on both flanks of the highest sample",
        _PRACTICE,
        (),
        _half_width,
        undefined="the highest peak has no half height on both sides within the scan",
    ),
    Metric(
        "photons_per_radiant_joule",
        "umol/J",
        "photons/J",
        "photons for each radiant joule of 400-700 nm: of the spectrum, not of the socket",
        "PPFD / irradiance of 400-700 nm",
        _PRACTICE,
        (_PPFD, _PAR),
        _per_joule,
        undefined="no irradiance above zero in 400-700 nm to refer to",
    ),
)
