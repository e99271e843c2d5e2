"""What each metric of the catalogue must give, computable on paper: the list that tests/core/test_metrics.py walks.

A metric without a case fails a test there: add one here, by hand, before the metric counts as done.
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


def photons(lo: float, hi: float) -> float:
    """Photons [µmol m-2 s-1] of equal energy: the integral of c · λ."""
    return C * (hi**2 - lo**2) / 2


class Case(NamedTuple):
    """One metric by hand.

    value: on `spectrum`, to `rel`. flux: True where it grows with the light, so it needs an absolute unit, is 0 in the
    dark and negative with the light; else it stays when the light is scaled and is not available without light.
    needs: the ranges [nm] that it cannot do without; kind: what their area weighs (photon, energy or V).
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
}
