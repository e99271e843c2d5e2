"""What each colour and rendition metric must give: the list that tests/core/test_colour_metrics.py walks.

Every number of FL2 is computed with colour-science 0.4.7 on linear 1 nm samples, 380-780 nm, by plain sums:
xy_to_Luv_uv, uv_to_CCT_Ohno2013, dominant_wavelength (which knows whole nanometres) and excitation_purity with white at
x = y = 1/3, colour_rendering_index, colour_fidelity_index (ANSI/IES TM-30-18). CIE prints x .3721, y .3751, Ra 64.
"""

from __future__ import annotations

from typing import NamedTuple

from tests.core.lamps import GRID, lamps


class ColourCase(NamedTuple):
    """One metric of FL2: its value, and how far the two programs may be apart."""

    value: float
    within: float


LAMP = (GRID, lamps()["FL2"])
_R = (
    56.0501,
    76.7241,
    90.3225,
    57.0926,
    59.0284,
    67.2474,
    74.1502,
    33.2545,
    -83.5875,
    45.4186,
    46.0289,
    53.7159,
    60.3500,
    94.0614,
)
_RF = (
    60.2816,
    61.3826,
    52.6774,
    68.4270,
    79.6418,
    87.5759,
    76.8487,
    72.8151,
    76.2339,
    62.3921,
    69.7125,
    76.6408,
    81.3987,
    71.4404,
    63.6503,
    65.3257,
)
_RCS = (
    -24.8783,
    -17.6189,
    -8.8752,
    5.3950,
    11.0426,
    4.4218,
    -7.7196,
    -14.5977,
    -17.1925,
    -15.3874,
    -3.6225,
    5.0306,
    10.9234,
    6.6502,
    -6.4529,
    -16.3575,
)
_RHS = (
    -0.0218856,
    0.1397181,
    0.2435167,
    0.1955686,
    0.0910370,
    -0.0670408,
    -0.1219177,
    -0.0844107,
    0.0064390,
    0.1655547,
    0.1898011,
    0.1137109,
    -0.0810106,
    -0.1464285,
    -0.2630639,
    -0.1694614,
)

COLOURS: dict[str, ColourCase] = {
    "x": ColourCase(0.3720849, 1e-6),
    "y": ColourCase(0.3752896, 1e-6),
    "u_prime": ColourCase(0.2201912, 1e-6),
    "v_prime": ColourCase(0.4996973, 1e-6),
    "cct": ColourCase(4225.1083, 0.1),
    "duv": ColourCase(0.0018621, 1e-6),
    "dominant_wavelength": ColourCase(577.0000, 0.5),
    "purity": ColourCase(24.2836, 1e-3),
    "ra": ColourCase(64.2337, 0.02),
    **{f"r{k}": ColourCase(value, 0.1) for k, value in enumerate(_R, 1)},
    "rf": ColourCase(70.2078, 2e-3),
    "rg": ColourCase(86.4383, 2e-3),
    **{f"rf_h{k}": ColourCase(value, 2e-3) for k, value in enumerate(_RF, 1)},
    **{f"rcs_h{k}": ColourCase(value, 2e-3) for k, value in enumerate(_RCS, 1)},
    **{f"rhs_h{k}": ColourCase(value, 1e-5) for k, value in enumerate(_RHS, 1)},
}
