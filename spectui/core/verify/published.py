"""The published numbers, as they are printed: nothing here computes.

An expected value is text, because its digits set the tolerance: half a unit of the last one, unless the group states a
tolerance of its own.
"""

from __future__ import annotations

from typing import NamedTuple


class Row(NamedTuple):
    """light: a word of lights.LIGHTS and its numbers, or colour-science's name of a lamp; key: of the metric."""

    quantity: str
    light: tuple[str | float, ...]
    key: str
    expected: str


class Group(NamedTuple):
    """Rows that share source and rule.

    how: "exact" or "sum". tolerance: as stated by the source, in the unit of the value, or its share where `relative`.
    scale: found · scale is compared. over: the light that the value is divided by. lamps: the lights are spectra that
    colour-science carries, on the grid "own" (its table), "linear" (to 1 nm) or "held" (that, ends held to 360-780 nm).
    unit: where it is not the metric's own.
    """

    subject: str
    source: str
    rule: str
    rows: tuple[Row, ...]
    how: str = "exact"
    tolerance: str | None = None
    relative: bool = False
    scale: float = 1.0
    over: tuple[str | float, ...] | None = None
    lamps: str | None = None
    unit: str | None = None


_HAND = "by hand"
_LINE = "exact; 1 W m-2 in a triangle of 0.002 nm"
_FLAT = ("flat", 100.0, 800.0)
_PAR = ("flat", 400.0, 700.0)
_SUN = ("AM1.5G",)

PHOTON_CONSTANT = "0.008359347229111778"

PHOTONS = (
    Group(
        "Photons of a joule",
        "by hand: wavelength/(h·c·N_A), exact SI 2019 constants",
        _LINE,
        tuple(
            Row(f"1 J at {nm} nm", ("line", nm), "eppfd", expected)
            for nm, expected in ((450, "3.76171"), (555, "4.63944"), (660, "5.51717"), (730, "6.10232"))
        ),
        unit="umol/J",
    ),
    Group(
        "Equal energy, 1 W m-2 nm-1",
        "by hand: photons of a flat band are those of its middle",
        "exact, 2 samples",
        (
            Row("photons per J, 400-700 nm", _PAR, "photons_per_radiant_joule", "4.59764"),
            Row("PPFD", _PAR, "ppfd", "1379.292"),
            Row("DLI of 16 h", _PAR, "dli", "79.4472"),
            Row("PAR", _FLAT, "par_irradiance", "300.000"),
            Row("PPFD of 100-800 nm", _FLAT, "ppfd", "1379.292"),
            Row("ePPFD", _FLAT, "eppfd", "1682.319"),
            Row("UV", _FLAT, "pfd_uv", "341.0614"),
            Row("UV-A", _FLAT, "pfd_uv_a", "254.0197"),
            Row("UV-B", _FLAT, "pfd_uv_b", "87.0417"),
            Row("UV-C", _FLAT, "pfd_uv_c", "285.8897"),
            Row("blue", _FLAT, "pfd_blue", "376.1706"),
            Row("green", _FLAT, "pfd_green", "459.7641"),
            Row("red", _FLAT, "pfd_red", "543.3576"),
            Row("far red 700-800 nm", _FLAT, "pfd_far_red", "626.9510"),
            Row("far red 700-750 nm", _FLAT, "pfd_far_red_par", "303.0263"),
            Row("share of blue", _FLAT, "share_blue", "27.2727"),
            Row("share of green", _FLAT, "share_green", "33.3333"),
            Row("share of red", _FLAT, "share_red", "39.3939"),
            Row("share of far red", _FLAT, "share_far_red", "18.0124"),
            Row("R:FR 655-665/725-735 nm", _FLAT, "r_fr", "0.904110"),
            Row("R:FR 600-700/700-800 nm", _FLAT, "r_fr_broad", "0.866667"),
            Row("B:R", _FLAT, "b_r", "0.692308"),
            Row("B:G", _FLAT, "b_g", "0.818182"),
            Row("share of UV-B", _FLAT, "uvb_share", "29.1667"),
        ),
    ),
    Group(
        "A triangular peak, 1 W m-2 nm-1",
        _HAND,
        "exact, 5 samples; the band's edge within a sample interval",
        (
            Row("PPFD of 675-695-715 nm", ("triangle", 675.0, 695.0, 715.0), "ppfd", "83.0449"),
            Row("PPFD of 600-660-690 nm", ("triangle", 600.0, 660.0, 690.0), "ppfd", "244.5109"),
            Row("peak of 600-660-690 nm", ("triangle", 600.0, 660.0, 690.0), "peak_wavelength", "660.000"),
            Row("centroid of 600-660-690 nm", ("triangle", 600.0, 660.0, 690.0), "centroid_wavelength", "650.000"),
            Row("width of 600-660-690 nm", ("triangle", 600.0, 660.0, 690.0), "peak_fwhm", "45.000"),
        ),
    ),
    Group(
        "The sun of ASTM G173-03, global tilt (AM1.5G)",
        "computed outside this program from the table that pvlib carries; total as pvlib states it",
        "exact, native grid",
        (
            Row("irradiance 280-4000 nm", _SUN, "irradiance", "1000.371"),
            Row("irradiance 400-700 nm", _SUN, "par_irradiance", "429.831"),
            Row("PPFD", _SUN, "ppfd", "1977.868"),
            Row("photons per J, 400-700 nm", _SUN, "photons_per_radiant_joule", "4.60150"),
            Row("ePPFD", _SUN, "eppfd", "2341.678"),
            Row("blue", _SUN, "pfd_blue", "528.899"),
            Row("green", _SUN, "pfd_green", "693.798"),
            Row("red", _SUN, "pfd_red", "755.171"),
            Row("far red 700-750 nm", _SUN, "pfd_far_red_par", "363.810"),
            Row("far red 700-800 nm", _SUN, "pfd_far_red", "708.308"),
            Row("UV 280-400 nm", _SUN, "pfd_uv", "140.2201"),
            Row("UV-B 280-315 nm", _SUN, "pfd_uv_b", "1.77532"),
            Row("R:FR 655-665/725-735 nm", _SUN, "r_fr", "1.096525"),
            Row("R:FR 600-700/700-800 nm", _SUN, "r_fr_broad", "1.06616"),
            Row("illuminance", _SUN, "illuminance", "109495"),
            Row("lux per µmol", _SUN, "lux_per_umol", "55.36"),
        ),
    ),
    Group(
        "Sun and sky",
        "Thimijan & Heins 1983, HortScience 18(6):818-822, as cited; AM1.5G within 5 %: another sky of the type",
        "exact, native grid",
        (
            Row("photons per J of AM1.5G", _SUN, "photons_per_radiant_joule", "4.57"),
            Row("lux per µmol of AM1.5G", _SUN, "lux_per_umol", "54"),
        ),
        tolerance="0.05",
        relative=True,
    ),
)

_VISION = (
    (450, "0.038"), (510, "0.503"), (555, "1.0000"), (600, "0.631"), (650, "0.107"),
)  # fmt: skip
_LOCUS = (
    (450, "0.1566", "0.0177"), (520, "0.0743", "0.8338"), (550, "0.3016", "0.6923"), (600, "0.6270", "0.3725"),
    (700, "0.7347", "0.2653"),
)  # fmt: skip
_PLANCK = (1500, 2000, 2700, 3000, 4000, 5000, 6500, 10000, 20000)

EYE = (
    Group(
        "Vision, V of 1924",
        "CIE 018, from memory",
        _LINE,
        tuple(Row(f"V at {nm} nm", ("line", nm), "illuminance", v) for nm, v in _VISION),
        scale=1 / 683,
        unit="1",
    ),
    Group(
        "The spectrum locus",
        "CIE 15, CIE 1931 2 degree observer, from memory",
        _LINE,
        tuple(
            Row(f"{key} at {nm} nm", ("line", nm), key, value)
            for nm, *xy in _LOCUS
            for key, value in zip("xy", xy, strict=True)
        ),
    ),
    Group(
        "Spectral light",
        "by hand: its dominant wavelength is its own, its purity 100 %",
        _LINE,
        (
            *(Row(f"dominant at {nm} nm", ("line", nm), "dominant_wavelength", f"{nm}.00") for nm, *_ in _LOCUS[:-1]),
            *(Row(f"purity at {nm} nm", ("line", nm), "purity", "100.00") for nm, *_ in _LOCUS[:-1]),
        ),
    ),
    Group(
        "Planck's law",
        "by hand: its temperature is the one that it was made with; c2 = 1.4388e-2 m K (CIE 15)",
        "sum, 1 nm, 360-830 nm",
        tuple(Row(f"CCT at {t} K", ("planck", t), "cct", str(t)) for t in _PLANCK),
        how="sum",
        tolerance="0.1",
    ),
    Group(
        "Planck's law, distance from its locus",
        "by hand: it lies on its locus",
        "sum, 1 nm, 360-830 nm",
        tuple(Row(f"Duv at {t} K", ("planck", t), "duv", "0") for t in _PLANCK),
        how="sum",
        tolerance="0.000001",
    ),
    Group(
        "Planck's law, rendition",
        "by hand: below 4 000 K it is its own reference",
        "sum, 1 nm, 360-830 nm",
        tuple(
            Row(f"{name} at {t} K", ("planck", t), key, "100.000")
            for t in _PLANCK[:4]
            for name, key in (("Ra", "ra"), ("Rf", "rf"), ("Rg", "rg"))
        ),
        how="sum",
        tolerance="0.002",
    ),
    Group(
        "CIE illuminants by their formula",
        "CIE 15, printed chromaticities, reproduced within 5e-5",
        "sum, 1 nm",
        (
            Row("x of A", ("A",), "x", "0.44758"),
            Row("y of A", ("A",), "y", "0.40745"),
            Row("x of D65", ("D65",), "x", "0.3127"),
            Row("y of D65", ("D65",), "y", "0.3290"),
            Row("x of E", ("E",), "x", "0.3333"),
            Row("y of E", ("E",), "y", "0.3333"),
        ),
        how="sum",
        tolerance="0.00005",
    ),
    Group(
        "Melanopic light",
        "CIE S 026:2018, computed outside this program",
        "sum, 1 nm, illuminants by their formula; relative to D65 by the same rule",
        (
            Row("melanopic DER of A", ("A",), "melanopic_der", "0.4957"),
            Row("melanopic DER of E", ("E",), "melanopic_der", "0.9058"),
        ),
        how="sum",
        over=("D65",),
    ),
    Group(
        "Melanopic light of D65",
        "CIE S 026:2018",
        "sum, 1 nm, D65 by its formula",
        (Row("melanopic DER of D65", ("D65",), "melanopic_der", "1.0000"),),
        how="sum",
    ),
    Group(
        "Melanopic efficacy of D65",
        "CIE S 026:2018",
        "sum, 1 nm, D65 by its formula",
        (Row("melanopic ELR of D65", ("D65",), "melanopic_der", "1.3262"),),
        how="sum",
        scale=1.3262,
        unit="mW/lm",
    ),
)
