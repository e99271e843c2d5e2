"""Photons for plants: fluxes in bands, their shares and ratios, and the light of a day."""

from __future__ import annotations

from functools import partial

from spectui.core.metric import Array, Metric, Spectra, ratio
from spectui.core.scan import Scan
from spectui.core.weights import Weight, photon_band

FLUX = "umol/m2/s"
_S640 = "ANSI/ASABE S640"
_BANDS = "common 100 nm bands; common practice, no source"
_UV = "ranges of CIE S 017 (ILV), from memory"
_EPAR = "Zhen, van Iersel & Bugbee 2021, Front. Plant Sci. 12:693445"

# Band name → first and last wavelength [nm]. The names are those of `compare`; far_red_par is the part within ePAR.
BANDS: dict[str, tuple[float, float]] = {
    "uv": (280.0, 400.0),
    "blue": (400.0, 500.0),
    "green": (500.0, 600.0),
    "red": (600.0, 700.0),
    "far_red": (700.0, 800.0),
    "far_red_par": (700.0, 750.0),
}

_PPFD = photon_band("ppfd", 400.0, 700.0)
_EPPFD = photon_band("eppfd", 400.0, 750.0)
_BAND_WEIGHTS = {name: photon_band(f"pfd_{name}", *edges) for name, edges in BANDS.items()}
_NARROW_RED = photon_band("red_655_665", 655.0, 665.0)
_NARROW_FAR_RED = photon_band("far_red_725_735", 725.0, 735.0)


def _take(key: str, spectra: Spectra) -> Array:
    return spectra[key]


def _ratio(above: str, below: str, factor: float, spectra: Spectra) -> Array:
    return ratio(spectra[above], spectra[below], factor)


def _dli(spectra: Spectra) -> Array:
    return spectra["ppfd"] * spectra.hours * 0.0036


def _lowest_seen(lowest: float, scan: Scan, value: float) -> str | None:
    first = scan.range_nm[0]
    return None if first <= lowest else f"below {first:g} nm not seen: not absence"


def _beyond_thirty(scan: Scan, value: float) -> str | None:
    if value <= 30.0:
        return None
    return "above 30 %: the work that defines ePAR found equal action of far red up to about 30 % of the photons"


def _flux(weight: Weight, name: str, definition: str, source: str, *, lowest: float | None = None) -> Metric:
    lo, hi = weight.range_nm
    return Metric(
        weight.key,
        FLUX,
        name,
        f"{definition}, {lo:g}-{hi:g} nm",
        f"∫ E(λ)·λ/(h·c·N_A) dλ over {lo:g}-{hi:g} nm",
        source,
        (weight,),
        partial(_take, weight.key),
        absolute=True,
        note=None if lowest is None else partial(_lowest_seen, lowest),
    )


def _quotient(
    key: str, name: str, above: Weight, below: Weight, definition: str, source: str, unit: str = "1"
) -> Metric:
    words = {w.key: f"{w.range_nm[0]:g}-{w.range_nm[1]:g} nm" for w in (above, below)}
    share = unit == "%"
    return Metric(
        key,
        unit,
        name,
        definition,
        f"{'100 · ' if share else ''}photons {words[above.key]} / photons {words[below.key]}",
        source,
        (above, below),
        partial(_ratio, above.key, below.key, 100.0 if share else 1.0),
        undefined=f"no photons above zero in {words[below.key]} to refer to",
        note=_beyond_thirty if key == "share_far_red" else None,
    )


_UV_A = photon_band("pfd_uv_a", 315.0, 400.0)
_UV_B = photon_band("pfd_uv_b", 280.0, 315.0)
_UV_C = photon_band("pfd_uv_c", 100.0, 280.0)
_B = _BAND_WEIGHTS

METRICS: tuple[Metric, ...] = (
    _flux(_PPFD, "PPFD", "photosynthetic photon flux density", _S640),
    _flux(_EPPFD, "ePPFD", "photon flux density of ePAR, far red included", _EPAR),
    Metric(
        "dli",
        "mol/m2/d",
        "DLI",
        "daily light integral: PPFD kept for the photoperiod",
        "PPFD · hours · 0.0036",
        _S640,
        (_PPFD,),
        _dli,
        absolute=True,
        undefined="no photoperiod: give --hours, or photoperiod_h in the file",
    ),
    _flux(_B["uv"], "UV", "ultraviolet photon flux density", _UV, lowest=280.0),
    _flux(_UV_A, "UV-A", "UV-A photon flux density", _UV, lowest=315.0),
    _flux(_UV_B, "UV-B", "UV-B photon flux density", _UV, lowest=280.0),
    _flux(_UV_C, "UV-C", "UV-C photon flux density", _UV, lowest=100.0),
    _flux(_B["blue"], "blue flux", "blue photon flux density", _BANDS),
    _flux(_B["green"], "green flux", "green photon flux density", _BANDS),
    _flux(_B["red"], "red flux", "red photon flux density", _BANDS),
    _flux(_B["far_red"], "FR flux", "far-red photon flux density", _S640),
    _flux(_B["far_red_par"], "FR in ePAR", "far-red photon flux density within ePAR", _EPAR),
    _quotient("share_blue", "blue", _B["blue"], _PPFD, "share of blue in the PPFD", _BANDS, "%"),
    _quotient("share_green", "green", _B["green"], _PPFD, "share of green in the PPFD", _BANDS, "%"),
    _quotient("share_red", "red", _B["red"], _PPFD, "share of red in the PPFD", _BANDS, "%"),
    _quotient("share_far_red", "far red", _B["far_red_par"], _EPPFD, "share of 700-750 nm in the ePPFD", _EPAR, "%"),
    _quotient(
        "r_fr",
        "R:FR",
        _NARROW_RED,
        _NARROW_FAR_RED,
        "red to far red, narrow bands at the absorption maxima of phytochrome",
        "common practice, no source",
    ),
    _quotient("r_fr_broad", "R:FR broad", _B["red"], _B["far_red"], "red to far red, broad bands", _BANDS),
    _quotient("b_r", "B:R", _B["blue"], _B["red"], "blue to red", _BANDS),
    _quotient("b_g", "B:G", _B["blue"], _B["green"], "blue to green", _BANDS),
)
