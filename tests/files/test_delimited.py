"""Delimited text in every variant; values by hand."""

import itertools

import numpy as np
import pytest

from spectui.core.errors import FileError, NotAScan, UnitError
from spectui.core.scan import Scan
from spectui.files.read import read_bytes

NM, VALUES = [380.0, 390.5, 401.0], [0.1, 0.25, 3e-3]


def read(text: str | bytes, **options: object) -> list[Scan]:
    data = text if isinstance(text, bytes) else text.encode()
    return read_bytes(data, "bench.csv", **options)  # type: ignore[arg-type]


DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "spaces": "   ", "space": " ", "comma and space": ", "}
ENDS = {"lf": "\n", "crlf": "\r\n", "cr": "\r"}
CODES = ["utf-8", "utf-8-sig", "utf-16", "latin-1"]
HEADS = ["none", "header", "header with unit", "comments", "bare", "colon"]


@pytest.mark.parametrize(
    ("delimiter", "decimal", "end", "code", "head"),
    [
        v
        for v in itertools.product(DELIMITERS, ".,", ENDS, CODES, HEADS)
        if not (v[0].startswith("comma") and v[1] == ",")
    ],
)
def test_every_variant_gives_the_same_scan(delimiter: str, decimal: str, end: str, code: str, head: str) -> None:
    mark = DELIMITERS[delimiter]
    lines = {
        "none": [],
        "header": [f"wavelength_nm{mark}irradiance"],
        "header with unit": [f"Wavelength [nm]{mark}Irradiance [mW/m²/nm]"],
        "comments": ["# title: Bank µ 3", "# unit: mW/m2/nm", "#", "# a plain comment"],
        "bare": [f"title{mark}Bank µ 3", f"Unit{mark}mW/m2/nm", f"distance_m{mark}0{decimal}30"],
        "colon": ["title: Bank µ 3", "unit: mW/m²/nm"],
    }[head]
    lines = lines + [f"{nm}{mark}{value}".replace(".", decimal) for nm, value in zip(NM, VALUES, strict=True)]
    (scan,) = read((ENDS[end].join(lines) + ENDS[end]).encode(code))
    np.testing.assert_array_equal(scan.wavelength, NM)
    declared = head not in ("none", "header")
    np.testing.assert_array_equal(scan.values, np.array(VALUES) * (1e-3 if declared else 1.0))
    assert (scan.unit, scan.given_unit) == (("W/m2/nm", "mW/m2/nm") if declared else ("relative", None))
    assert scan.meta.get("title") == ("Bank µ 3" if head in ("comments", "bare", "colon") else None)
    assert scan.meta.get("distance_m") == ("0.30" if head == "bare" else None)
    assert "unit" not in scan.meta and scan.flags == () and scan.index is None and scan.source == "bench.csv"


UNITS = [
    ("W/m2/nm", "W/m2/nm", 1.0),
    ("W m-2 nm-1", "W/m2/nm", 1.0),
    ("W m⁻² nm⁻¹", "W/m2/nm", 1.0),
    ("W/(m²·nm)", "W/m2/nm", 1.0),
    ("mW/m2/nm", "mW/m2/nm", 1e-3),
    ("µW/cm²/nm", "uW/cm2/nm", 1e-2),
    ("W/m2/um", "W/m2/um", 1e-3),
    ("counts", "counts", None),
    ("relative", "relative", None),
    ("transmittance", "transmittance", None),
]


@pytest.mark.parametrize(("written", "unit", "factor"), UNITS)
@pytest.mark.parametrize("place", ["line", "square", "round", "argument"])
def test_a_unit_wherever_it_stands(written: str, unit: str, factor: float | None, place: str) -> None:
    head = {
        "line": f"# unit: {written}\n",
        "square": f"nm,x [{written}]\n",
        "round": f"nm,x ({written})\n",
        "argument": "",
    }
    (scan,) = read(head[place] + "400,2\n410,4\n", unit=written if place == "argument" else None)
    assert scan.given_unit == unit
    np.testing.assert_array_equal(scan.values, np.array([2.0, 4.0]) * (factor or 1.0))
    assert scan.unit == ("W/m2/nm" if factor else unit)


@pytest.mark.parametrize(
    ("text", "unit", "words"),
    [
        ("# unit: W/m2/nm\nnm,x [mW/m2/nm]\n400,1\n410,2\n", None, ["line 2", "W/m2/nm", "mW/m2/nm", "differ"]),
        ("nm,a [W/m2/nm],b [mW/m2/nm]\n400,1,1\n410,2,1\n", None, ["line 1", "differ"]),
        ("# unit: W/m2/nm\n# unit: counts\n400,1\n410,2\n", None, ["line 2", "differ"]),
        ("# unit: W/m2/nm\n400,1\n410,2\n", "counts", ["W/m2/nm", "counts", "--unit"]),
        ("# unit: lumen\n400,1\n410,2\n", None, ["line 1", "lumen", "umol/m2/s/nm", "transmittance"]),
        ("nm,x [lumen]\n400,1\n410,2\n", None, ["line 1", "lumen", "W/m2/nm"]),
        ("nm,x (W/m2/furlong)\n400,1\n410,2\n", None, ["line 1", "furlong"]),
        ("wavelength [um],x\n0.40,1\n0.41,2\n", None, ["line 1", "nm", "um", "layout"]),
        ("wavelength (Å),x\n4000,1\n4100,2\n", None, ["line 1", "Å"]),
    ],
)
@pytest.mark.parametrize("tail", ["", "#\n"])
def test_units_that_contradict_or_are_unknown(text: str, unit: str | None, words: list[str], tail: str) -> None:
    with pytest.raises(UnitError) as error:
        read(text + tail, unit=unit)
    assert isinstance(error.value, FileError) and not isinstance(error.value, NotAScan)
    assert all(word in str(error.value) for word in ["bench.csv", *words])


def test_the_same_unit_twice_is_one() -> None:
    assert read("# unit: W/m2/nm\nnm,x [W m-2 nm-1]\n400,1\n410,2\n", unit="W/m²/nm")[0].given_unit == "W/m2/nm"


def test_words_in_round_brackets_belong_to_a_title() -> None:
    scans = read("# unit: counts\nnm,bar (left),bar (right)\n400,1,3\n410,2,4\n")
    assert [scan.title for scan in scans] == ["bar (left)", "bar (right)"]


def test_each_further_column_is_a_scan_with_its_title_and_all_metadata() -> None:
    text = (
        "# title: both bars\n# place: row 3\nwavelength,A [mW/m2/nm],expanded_uncertainty,B [mW/m2/nm]\n"
        "400,1,0.1,3\n410,2,0.2,4\n"
    )
    first, second = read(text)
    assert (first.index, second.index) == (0, 1)
    assert dict(first.meta) == {"title": "A", "file_title": "both bars", "place": "row 3"}
    assert second.title == "B" and second.meta["place"] == "row 3"
    np.testing.assert_array_equal(first.values, np.array([1, 2]) * 1e-3)
    assert first.expanded_uncertainty is not None and second.expanded_uncertainty is None
    np.testing.assert_array_equal(first.expanded_uncertainty, np.array([0.1, 0.2]) * 1e-3)
    np.testing.assert_array_equal(second.values, np.array([3, 4]) * 1e-3)


def test_an_uncertainty_without_a_scan_on_its_left_is_an_error() -> None:
    with pytest.raises(FileError, match="column 2"):
        read("wavelength,expanded_uncertainty,x\n400,1,2\n410,1,2\n")


META = [
    ("# Taken At: 2026-03-14T09:12:00+01:00", "taken_at", "2026-03-14T09:12:00+01:00"),
    ("#place:row 3: left", "place", "row 3: left"),
    ("# Dark-Taken-At: 2026-03-14", "dark_taken_at", "2026-03-14"),
    ("# My Own Key: Kept As It Is", "My Own Key", "Kept As It Is"),
    ("position_m,1.0, 2.0, 0.5", "position_m", "1.0, 2.0, 0.5"),
    ('title,"Bank 3, left ""A"""', "title", 'Bank 3, left "A"'),
    ("fixture,bar,,,", "fixture", "bar"),
    ("ambient: dark, curtain closed", "ambient", "dark, curtain closed"),
    ("taken_at,2026-03-14T09:12", "taken_at", "2026-03-14T09:12"),
    ("# notes: see https://example.org/x", "notes", "see https://example.org/x"),
    ("# title: \x1b[31mred", "title", "\x1b[31mred"),
]


@pytest.mark.parametrize(("line", "key", "value"), META)
@pytest.mark.parametrize("tail", ["", "#\n"])
def test_a_metadata_line(line: str, key: str, value: str, tail: str) -> None:
    (scan,) = read(line + "\n400,1.5\n410,2\n" + tail)
    assert dict(scan.meta) == {key: value}


@pytest.mark.parametrize(
    ("line", "key", "value"),
    [
        ("distance_m;0,30", "distance_m", "0.30"),
        ("# integration ms: 12,5", "integration_ms", "12.5"),
        ("position_m;1,5; 2,0; 0,25", "position_m", "1.5, 2.0, 0.25"),
        ("title;1,5", "title", "1,5"),
        ("own;1,5", "own", "1,5"),
    ],
)
def test_numbers_of_the_contract_get_a_point_in_files_with_decimal_commas(line: str, key: str, value: str) -> None:
    assert read(line + "\n400,0;1,5\n410,0;2,5\n")[0].meta[key] == value


def test_a_key_that_stands_twice() -> None:
    with pytest.raises(FileError, match=r"line 2.*place stands twice"):
        read("# place: a\n# place: b\n400,1\n410,2\n")
    assert read("# notes: a\n# notes: b\n# place: c\n# place: c\n400,1\n410,2\n")[0].meta["notes"] == "a; b"


ERRORS = [
    ("nm,x\n400,1\n410,abc\n", ["line 3", "column 2", "number", "'abc'"]),
    ("nm,x\n400,1\n410\n420,1\n", ["line 3", "2 cells", "got 1", "commas"]),
    ("nm,x\n400,1\n410,1,2\n", ["line 3", "2 cells", "got 3"]),
    ("nm,x\n400,1\n\n# c\n410,\n", ["line 5", "column 2", "an empty cell", "--skip-gaps"]),
    ("nm,x\n400,1\n410,NaN\n", ["line 3", "column 2", "'NaN'", "--skip-gaps"]),
    ("nm,x\n400,1\nnan,1\n", ["line 3", "column 1", "'nan'"]),
    ("nm,x\n400,1\n410,inf\n", ["line 3", "column 2", "'inf'"]),
    ("nm,x\n400,1\n410,-Infinity\n", ["line 3", "column 2"]),
    ("nm,x\n400,1\n410,1e400\n", ["line 3", "column 2", "'1e400'"]),
    ("nm,x\n400,1\n410,0x10\n", ["line 3", "column 2", "'0x10'"]),
    ("nm,x\n400,1\n410,1_000\n", ["line 3", "column 2", "'1_000'"]),
    ("nm,x\n400,1\n410,٣\n", ["line 3", "column 2"]),
    ("nm;x\n400;1\n410;1.234,5\n", ["line 3", "column 2", "'1.234,5'", "thousands"]),
    ("nm;x\n400;1,5\n401;1,5\n410;1.5\n", ["line 4", "column 2", "decimal comma", "'1.5'"]),
    ("nm x\n400 1\n410 1 234\n", ["line 3", "2 cells", "spaces"]),
    ("nm,x\n400,1\n", ["at least 2 samples"]),
    ("nm,x\n", ["numbers", "got none"]),
    ("# unit: W/m2/nm\n", ["numbers", "got none"]),
    ("1,2\n2,3\n3,4\n", ["line 1", "100-5000"]),
    ("400,2\n4000,3\n40000,4\n", ["line 3", "100-5000", "40000"]),
    ("400,1\n410,2\n400,3\n", ["line 3", "400 nm", "twice"]),
    ("400,2\n410,3e200\n", ["line 2", "410 nm", "3e+200"]),
    ("400,0,1\n410,0,2\n", ["line 1", "comma", "spectui layout FILE"]),
    ("nm,x\n400,0,1\n410,0,2\n", ["comma", "spectui layout FILE"]),
    ("400,0\n410,0,5\n", ["line 2", "2 cells", "got 3"]),
    ("Measured in bay 3\n400,1\n410,2\n", ["line 1", "key,value", "spectui layout FILE"]),
    ("nm,a,b\n400,1\n410,2\n", ["line 1", "3 columns", "2"]),
    ("400,1\n410,2\nend of data\n", ["line 3", "got"]),
    ("nm,x\n400,1\n410,2\n\nnm,x\n400,3\n410,4\n", ["line 5", "spectui layout FILE"]),
]


@pytest.mark.parametrize(("text", "words"), ERRORS)
def test_an_error_names_its_place_and_what_to_do(text: str, words: list[str]) -> None:
    with pytest.raises(FileError) as error:
        read(text)
    assert not isinstance(error.value, NotAScan), error.value
    assert all(word in str(error.value) for word in ["bench.csv", *words]), str(error.value)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\n \n",
        "A readme.\n\nIt says: nothing\nof light, 3 times.\n",
        "# A heading\n\nSome prose, with 400 words.\n\n1. one\n2. two\n",
        "item,count,price\nbar,3,12.5\nlamp,4,3.5\n",
        "source,title,taken_at,ppfd [umol/m2/s]\na.csv,A,2026-03-14,523.1\n",
        "import os\n# a comment: with colon\nprint(3, 4)\n",
        '{"scans": [1, 2, 3]}',
    ],
)
def test_other_text_is_no_scan(text: str) -> None:
    with pytest.raises(NotAScan):
        read(text)


@pytest.mark.parametrize(
    "data", [b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", b"\xff\xd8\xff\xe0\0\x10JFIF\0", bytes(range(256)) * 4]
)
def test_bytes_are_no_scan(data: bytes) -> None:
    with pytest.raises(NotAScan, match="no text"):
        read(data)


def test_gaps_are_left_out_and_flagged_on_request() -> None:
    text = "nm,a,b\n400,1,5\n410,,6\n420,3,n/a\n430,4,8\nnan,9,9\n"
    first, second = read(text, skip_gaps=True)
    np.testing.assert_array_equal(first.wavelength, [400, 420, 430])
    np.testing.assert_array_equal(second.values, [5, 6, 8])
    for scan in (first, second):
        assert [(flag.code, flag.rank) for flag in scan.flags] == [("gaps_skipped", "fault")]
        assert "left out: 2" in scan.flags[0].message
    assert read("400,1\n410,2\n", skip_gaps=True)[0].flags == ()
    with pytest.raises(FileError, match="at least 2 samples"):
        read("400,1\n410,\n420,nan\n", skip_gaps=True)


def test_unsorted_and_repeated_are_put_right_and_flagged() -> None:
    (scan,) = read("410,2\n400,1\n410,2\n")
    np.testing.assert_array_equal(scan.wavelength, [400, 410])
    assert {flag.code for flag in scan.flags} == {"unsorted", "repeated"}


def test_meaning_of_the_comma() -> None:
    np.testing.assert_array_equal(read("380,0;0,1\n381,0;0,2\n")[0].values, [0.1, 0.2])
    np.testing.assert_array_equal(read("380,0.1\n381,0.2\n")[0].values, [0.1, 0.2])
    np.testing.assert_array_equal(read("380 0,1\n381 0,2\n")[0].values, [0.1, 0.2])
    np.testing.assert_array_equal(read('"380,5","0,1"\n"381,5","0,2"\n')[0].wavelength, [380.5, 381.5])
    # A header for as many columns, or a decimal point somewhere, says that commas divide.
    assert len(read("nm,a,b\n400,0,1\n410,0,2\n")) == 2
    assert len(read("400,0,1\n410,0,2.5\n")) == 2


def test_a_delimiter_at_the_end_of_each_line_is_no_column() -> None:
    assert len(read("nm;x;\n400;1;\n410;2;\n")) == 1
