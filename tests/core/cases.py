"""What each linear metric must give, computable on paper: the list that tests/core/test_metrics.py walks.

A metric without a case fails a test there: add one here, by hand, before the metric counts as done. Colour and
rendition stand in colour_cases.py.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

C = 1e-3 / (6.62607015e-34 * 299792458.0 * 6.02214076e23)  # µmol of photons per joule and nm, SI 2019
HOURS = 16.0
LO, HI = 100.0, 850.0  # what the spectra below cover

# 1 W m-2 nm-1 at every wavelength; a triangle with its top at 540 nm; both on their fewest samples.
EQUAL = (np.array([LO, HI]), np.array([1.0, 1.0]))
TRIANGLE = (np.array([LO, 500.0, 540.0, 600.0, HI]), np.array([0.0, 0.0, 2.0, 0.0, 0.0]))

# Published: the sum of V(λ) at 1 nm is 106.8569 (CIE, from memory); the ends 360 and 830 nm add less than 1e-5 to it.
LUX_EQUAL = 683.0 * 106.8569

# Published: the sum of the melanopic action spectrum at 1 nm (CIE S 026:2018, Table 2, the CIE's data file), and 1.3262
# mW/lm of D65.
EDI_EQUAL = 87.6754 / 1.3262e-3

# IEC 62471, blue-light hazard weighting; 500-600 nm is 10^((450 - nm)/50), 600-700 nm 0.001.
BLUE_NM = np.arange(380.0, 501.0, 5.0)
BLUE_LIGHT = np.array(
    "0.01 0.013 0.025 0.05 0.10 0.20 0.40 0.80 0.90 0.95 0.98 1 1 0.97 0.94 0.90 0.80 "
    "0.70 0.62 0.55 0.45 0.40 0.22 0.16 0.10".split(),
    dtype=float,
)
# The integral of 10^((450 - nm)/50) over 500-600 nm is 50 / ln 10 · (0.1 - 0.001); 1 nm chords add 2e-4 of it.
BLUE_EQUAL = 5.0 * (BLUE_LIGHT.sum() - 0.055) + 50.0 / np.log(10.0) * 0.099 + 0.1
# Directive 2006/25/EC, Annex I (ICNIRP 2004), most of it from memory: 276, 324 and 372 nm were seen.
ACTINIC_NM = np.array(
    [
        280,
        285,
        290,
        295,
        297,
        300,
        303,
        305,
        308,
        310,
        313,
        315,
        320,
        324,
        *range(325, 371, 5),
        372,
        *range(375, 401, 5),
    ],
    dtype=float,
)
ACTINIC = np.array(
    "0.88 0.77 0.64 0.54 0.46 0.30 0.12 0.06 0.026 0.015 0.006 0.003 0.0010 0.00052 0.00050 0.00041 0.00034 "
    "0.00028 0.00024 0.00020 0.00016 0.00013 0.00011 0.000093 0.000086 0.000077 0.000064 0.000053 0.000044 "
    "0.000036 0.000030".split(),
    dtype=float,
)


def photons(lo: float, hi: float) -> float:
    """Photons [µmol m-2 s-1] of equal energy: the integral of c · λ."""
    return C * (hi**2 - lo**2) / 2


class Case(NamedTuple):
    """One metric by hand.

    value: on `spectrum`, to `rel`. flux: True where it grows with the light, so it needs an absolute unit, is 0 in the
    dark and negative with the light; else it stays when the light is scaled and is not available without light.
    needs: the ranges [nm] that it cannot do without; kind: what their area weighs (photon, energy, or a curve).
    seen: ranges of which it takes what the scan sees.
    """

    value: float
    flux: bool
    needs: tuple[tuple[float, float], ...] = ()
    kind: str = "photon"
    spectrum: tuple[np.ndarray, np.ndarray] = EQUAL
    rel: float = 1e-9
    seen: tuple[tuple[float, float], ...] = ()


def band(lo: float, hi: float) -> Case:
    return Case(photons(lo, hi), True, ((lo, hi),))


def quotient(above: tuple[float, float], below: tuple[float, float], factor: float = 1.0) -> Case:
    return Case(factor * photons(*above) / photons(*below), False, (above, below))


PAR, EPAR = (400.0, 700.0), (400.0, 750.0)
BLUE, GREEN, RED, FAR_RED = (400.0, 500.0), (500.0, 600.0), (600.0, 700.0), (700.0, 800.0)

CASES: dict[str, Case] = {
    "ppfd": band(*PAR),
    "eppfd": band(*EPAR),
    "dli": Case(photons(*PAR) * HOURS * 3600 / 1e6, True, (PAR,)),
    "pfd_uv": band(280, 400),
    "pfd_uv_a": band(315, 400),
    "pfd_uv_b": band(280, 315),
    "pfd_uv_c": band(100, 280),
    "pfd_blue": band(*BLUE),
    "pfd_green": band(*GREEN),
    "pfd_red": band(*RED),
    "pfd_far_red": band(*FAR_RED),
    "pfd_far_red_par": band(700, 750),
    "share_blue": quotient(BLUE, PAR, 100),
    "share_green": quotient(GREEN, PAR, 100),
    "share_red": quotient(RED, PAR, 100),
    "share_far_red": quotient((700, 750), EPAR, 100),
    "r_fr": quotient((655, 665), (725, 735)),
    "r_fr_broad": quotient(RED, FAR_RED),
    "b_r": quotient(BLUE, RED),
    "b_g": quotient(BLUE, GREEN),
    "irradiance": Case(HI - LO, True, kind="energy", seen=((100, 5000),)),
    "par_irradiance": Case(300.0, True, (PAR,), "energy"),
    "uv_irradiance": Case(120.0, True, kind="energy", seen=((280, 400),)),
    # Triangle 500-540-600 nm: its top; half heights at 520 and 570 nm; centre of gravity (500 + 540 + 600) / 3.
    "peak_wavelength": Case(540.0, False, spectrum=TRIANGLE),
    "peak_fwhm": Case(50.0, False, spectrum=TRIANGLE),
    "centroid_wavelength": Case(1640.0 / 3, False, spectrum=TRIANGLE, seen=((100, 5000),)),
    # Equal energy of 400-700 nm: 550 nm's photons per joule.
    "photons_per_radiant_joule": Case(550.0 * C, False, (PAR,)),
    "illuminance": Case(LUX_EQUAL, True, ((360, 830),), "V", rel=1e-6),
    "lux_per_umol": Case(LUX_EQUAL / photons(*PAR), False, ((360, 830),), "V", rel=1e-6),
    "melanopic_edi": Case(EDI_EQUAL, True, ((380, 780),), "melanopic", rel=1e-5),
    "melanopic_der": Case(EDI_EQUAL / LUX_EQUAL, False, ((360, 830),), "V", rel=1e-5),
    "uvb_share": Case(100.0 * 35 / 120, False, ((280, 400),), "energy"),
    "e_blue_hazard": Case(BLUE_EQUAL, True, ((380, 700),), "blue", rel=1e-4),
    "e_actinic": Case(float(np.trapezoid(ACTINIC, ACTINIC_NM)), True, ((280, 400),), "actinic"),
}
