"""Published and computed numbers of CIE illuminants and lamps whose spectra colour-science carries."""

from __future__ import annotations

from spectui.core.verify.published import Group, Row

_OWN = "sum, 5 nm table"
_LINEAR = "sum, linear to 1 nm"
_HELD = "sum, linear to 1 nm, ends held to 360-780 nm"

_XY = (
    ("A", "0.44758", "0.40745"), ("D50", "0.3457", "0.3585"), ("D65", "0.3127", "0.3290"), ("FL1", "0.3131", "0.3371"),
    ("FL2", "0.3721", "0.3751"), ("FL3", "0.4091", "0.3941"), ("FL4", "0.4402", "0.4031"), ("FL5", "0.3138", "0.3452"),
    ("FL6", "0.3779", "0.3882"), ("LED-B1", "0.4560", "0.4078"), ("LED-B2", "0.4357", "0.4012"),
    ("LED-B3", "0.3756", "0.3723"),
)  # fmt: skip
_CCT = (
    ("A", "2855.68"), ("D50", "5001.31"), ("D65", "6502.70"), ("FL1", "6425.56"), ("FL2", "4225.17"),
    ("FL3", "3447.35"), ("FL4", "2939.54"), ("FL5", "6342.91"), ("FL6", "4148.98"), ("LED-B1", "2734.74"),
    ("LED-B2", "2998.83"), ("LED-B3", "4102.47"),
)  # fmt: skip
_RA_PRINTED = (("FL1", "76"), ("FL2", "64"), ("FL3", "57"), ("FL4", "51"), ("FL5", "72"), ("FL6", "59"))
_RA = (
    ("FL1", "75.85"), ("FL2", "64.23"), ("FL3", "56.79"), ("FL4", "51.48"), ("FL5", "71.71"), ("FL6", "59.11"),
    ("LED-B1", "81.79"), ("LED-B2", "82.79"), ("LED-B3", "84.84"),
)  # fmt: skip
_TM30 = (
    ("FL1", "80.64", "89.83"), ("FL2", "70.12", "86.42"), ("FL3", "63.08", "84.38"), ("FL4", "56.70", "83.49"),
    ("LED-B1", "84.08", "96.15"), ("LED-B2", "84.30", "96.58"), ("LED-B3", "85.32", "97.86"),
)  # fmt: skip
# Kind of lamp, photons per joule and lux per µmol; a lamp of the kind.
_KINDS = (
    ("high-pressure sodium", "4.98", "82", "HP1"), ("metal halide", "4.59", "71", "Metal Halide"),
    ("cool-white fluorescent", "4.59", "74", "FL2"), ("incandescent", "5.00", "50", "A"),
)  # fmt: skip


def _rows(name: str, key: str, table: tuple[tuple[str, str], ...]) -> tuple[Row, ...]:
    return tuple(Row(f"{name} of {lamp}", (lamp,), key, value) for lamp, value in table)


LAMPS = (
    Group(
        "CIE illuminants, chromaticity",
        "CIE 15, as colour-science carries it; its own tables give it within 5e-5",
        _OWN,
        tuple(
            Row(f"{key} of {lamp}", (lamp,), key, value)
            for lamp, *xy in _XY
            for key, value in zip("xy", xy, strict=True)
        ),
        how="sum",
        tolerance="0.00005",
        lamps="own",
    ),
    Group(
        "CIE illuminants, CCT",
        "computed with colour-science, Ohno 2013; its nearest point within 0.1 K of ours",
        _HELD,
        _rows("CCT", "cct", _CCT),
        how="sum",
        tolerance="0.1",
        lamps="held",
    ),
    Group(
        "CIE illuminants, Duv",
        "computed with colour-science, Ohno 2013",
        _HELD,
        _rows("Duv", "duv", (("D65", "0.0032"),)),
        how="sum",
        lamps="held",
    ),
    Group(
        "CIE illuminants, Ra as printed",
        "CIE 13.3, from memory",
        _LINEAR,
        _rows("Ra", "ra", _RA_PRINTED),
        how="sum",
        lamps="linear",
    ),
    Group(
        "CIE illuminants, Ra",
        "computed with colour-science; another method of CCT moves it by up to 0.02",
        _LINEAR,
        _rows("Ra", "ra", _RA),
        how="sum",
        tolerance="0.02",
        lamps="linear",
    ),
    Group(
        "CIE illuminants, Rf and Rg",
        "ANSI/IES TM-30, computed with colour-science",
        _OWN,
        tuple(
            Row(f"{name} of {lamp}", (lamp,), name.lower(), value)
            for lamp, *values in _TM30
            for name, value in zip(("Rf", "Rg"), values, strict=True)
        )
        + _rows("Rf", "rf", (("HP1", "34.19"),)),
        how="sum",
        lamps="own",
    ),
    Group(
        "CIE illuminant HP1, Rf on a finer grid",
        "ANSI/IES TM-30, computed with colour-science",
        _LINEAR,
        _rows("Rf", "rf", (("HP1", "34.49"),)),
        how="sum",
        lamps="linear",
    ),
    Group(
        "CIE illuminant LED-B1, Rf of a third program",
        "printed by another implementation of TM-30; the bound for two implementations is 2e-3",
        _OWN,
        _rows("Rf", "rf", (("LED-B1", "84.081"),)),
        how="sum",
        tolerance="0.002",
        lamps="own",
    ),
    Group(
        "CIE illuminants, photons",
        "computed outside this program",
        "exact, 5 nm table",
        (
            *_rows("photons per J", "photons_per_radiant_joule", (("A", "5.013"), ("FL2", "4.533"))),
            *_rows("lux per µmol", "lux_per_umol", (("A", "50.26"), ("FL2", "76.5"))),
        ),
        lamps="own",
    ),
    Group(
        "Kinds of lamp",
        "Thimijan & Heins 1983, HortScience 18(6):818-822, as cited; within 5 %: another lamp of the kind",
        "exact, 5 nm table",
        tuple(
            Row(f"{name} of {lamp}, {kind}", (lamp,), key, value)
            for kind, *values, lamp in _KINDS
            for name, key, value in zip(
                ("photons per J", "lux per µmol"), ("photons_per_radiant_joule", "lux_per_umol"), values, strict=True
            )
        ),
        tolerance="0.05",
        relative=True,
        lamps="own",
    ),
)
