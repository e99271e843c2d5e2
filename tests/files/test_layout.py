"""Layouts: written, read, refused, proposed; files and numbers by hand."""

from pathlib import Path
from types import MappingProxyType

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spectui.core.errors import FileError, NotAScan, UnitError, UsageError
from spectui.core.scan import Scan
from spectui.files.layout import CHOICES, Layout, propose, read_with


def parse(text: str) -> Layout:
    return Layout.parse(text.encode(), "own.toml")


def read(layout: str, text: str, **options: object) -> list[Scan]:
    return read_with(parse(layout), text.encode(), "bar.dat", **options)  # type: ignore[arg-type]


def test_load_and_dump(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text('match = "*.dat"\ndelimiter = "tab"\ncolumns = [1, 3]\n[keys]\n"Taken \\u001b" = "taken_at"\n')
    layout = Layout.load(path)
    assert (layout.match, layout.delimiter, layout.columns) == (("*.dat",), "\t", (1, 3))
    assert dict(layout.keys) == {"Taken \x1b": "taken_at"}
    assert parse(layout.dump()) == layout
    with pytest.raises(UsageError, match="cannot be read"):
        Layout.load(tmp_path / "missing.toml")
    with pytest.raises(UsageError, match="expected a layout"):
        Layout.load(tmp_path)


words = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\n\0"), min_size=1)
layouts = st.builds(
    Layout,
    match=st.lists(words, max_size=2).map(tuple),
    encoding=st.sampled_from([None, "latin-1", "utf-16"]),
    delimiter=st.sampled_from([",", ";", "\t", " ", "|"]),
    decimal=st.sampled_from(CHOICES["decimal"]),
    orientation=st.sampled_from(CHOICES["orientation"]),
    blocks=st.sampled_from(CHOICES["blocks"]),
    first_line=st.integers(1, 99),
    last_line=st.none() | st.integers(100, 999),
    comment=words,
    labels=st.integers(0, 3),
    columns=st.sampled_from([(), (1, 2), (3, 1, 7)]),
    unit=st.sampled_from([None, "counts", "mW/m2/nm"]),
    wavelength_unit=st.sampled_from(CHOICES["wavelength_unit"]),
    date=st.none() | words,
    offset=st.sampled_from([None, "+01:00", "Z"]),
    keys=st.dictionaries(words, st.sampled_from(["title", "taken_at"]), max_size=2).map(MappingProxyType),
    meta=st.dictionaries(words, words, max_size=2).map(MappingProxyType),
)


@given(layouts)
def test_a_layout_comes_back_from_its_toml(layout: Layout) -> None:
    assert parse(layout.dump()) == layout


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("delimitter = ','", ["line 1", "delimitter", "did you mean delimiter?"]),
        ("first_line = 2\nencodng = 'x'", ["line 2", "did you mean encoding?"]),
        ("nonsense_of_no_kind = 1", ["line 1", "unknown key"]),
        ("first_line = 0", ["line 1", "first_line", "whole number from 1"]),
        ("first_line = '3'", ["first_line", "whole number"]),
        ("first_line = true", ["first_line", "whole number"]),
        ("first_line = 9\nlast_line = 3", ["line 2", "last_line", "after first_line"]),
        ("decimal = ';'", ["decimal", "'.', ','"]),
        ("orientation = 'rows'", ["orientation", "'column', 'row'"]),
        ("blocks = 3", ["blocks", "'stacked'"]),
        ("delimiter = ''", ["delimiter"]),
        ("delimiter = '.'", ["delimiter", "no number holds"]),
        ("encoding = 'zip'", ["encoding", "latin-1"]),
        ("columns = [1]", ["columns", "list"]),
        ("columns = [1, 1]", ["columns", "different"]),
        ("unit = 'lumen'", ["line 1", "unit", "W/m2/nm"]),
        ("offset = '1 h'", ["offset", "'+01:00'"]),
        ("keys = 3", ["keys", "table"]),
        ("[keys]\na = 'takenat'", ["keys", "did you mean taken_at?"]),
        ("[meta]\na = 3", ["meta", "text in quotes"]),
        ("a = \nb = 1", ["no TOML", "line 1"]),
        ("a = 1\na = 2\nb = 3", ["no TOML", "line 2"]),
    ],
)
def test_a_malformed_layout_is_refused(text: str, words: list[str]) -> None:
    with pytest.raises(UsageError) as error:
        parse(text)
    assert all(word in str(error.value) for word in ["own.toml", *words]), str(error.value)


def test_text_that_is_no_utf8_is_refused() -> None:
    with pytest.raises(UsageError, match="no TOML"):
        Layout.parse(b'comment = "\xff"', "own.toml")


PREAMBLE = (
    "Export of bench 3\nSample name;Bar µ\nDay;14/03/2026\nClock;09:12\nExposure (s);0,5\nRoom;row 3\n"
    "Total PPFD;523,4 µmol/m²/s\nUnit of values;mW/m²/nm\nOwn;stays\n\n"
)
LAYOUT = """
delimiter = ";"
decimal = ","
first_line = 11
date = "%d/%m/%Y %H:%M"
offset = "+01:00"
[keys]
"Sample name" = "title"
Day = "taken_at"
Clock = "taken_at"
"Exposure (s)" = "integration_ms"
Room = "place"
"Total PPFD" = "stated_ppfd"
"Unit of values" = "unit"
[meta]
instrument = "the grey one"
place = "not this"
"""


def test_a_foreign_preamble() -> None:
    (scan,) = read(LAYOUT, PREAMBLE + "400,0;1,5\n410,0;2,5\n")
    assert dict(scan.meta) == {
        "title": "Bar µ",
        "taken_at": "2026-03-14T09:12:00+01:00",
        "integration_ms": "500",
        "place": "row 3",
        "stated_ppfd": "523.4",
        "Own": "stays",
        "instrument": "the grey one",
    }
    assert scan.given_unit == "mW/m2/nm"
    np.testing.assert_array_equal(scan.values, np.array([1.5, 2.5]) * 1e-3)


def test_wavelengths_in_a_row() -> None:
    rows = "nm;400,0;410,0;420,0\nA;1;2;3\nB;4;5;6\n"
    first, second = read('orientation = "row"\nlabels = 1\n' + LAYOUT, PREAMBLE + rows)
    assert (first.title, second.title, second.index) == ("A", "B", 1)
    np.testing.assert_array_equal(first.wavelength, [400, 410, 420])
    np.testing.assert_array_equal(second.values, np.array([4, 5, 6]) * 1e-3)


def test_scans_below_each_other() -> None:
    text = "title;A\nunit;counts\n400;1\n410;2\n\ntitle;B\nunit;counts\n400;3\n410;4\n420;5\n"
    first, second = read('delimiter = ";"\nfirst_line = 3\nblocks = "stacked"\n', text)
    assert (first.title, second.title) == ("A", "B") and second.unit == "counts"
    np.testing.assert_array_equal(second.wavelength, [400, 410, 420])
    with pytest.raises(FileError, match=r"line 5.*last_line"):
        read('delimiter = ";"\nfirst_line = 3\n', text)


def test_wavelengths_and_values_in_blocks_apart() -> None:
    text = "place: row 3\nWL\n400 410 420\n430\nVALUES\ntitle: A\n1 2\n3 4\n\n5 6 7 8\n"
    first, second = read('delimiter = "space"\nfirst_line = 3\nblocks = "apart"\nunit = "counts"\n', text)
    np.testing.assert_array_equal(first.wavelength, [400, 410, 420, 430])
    np.testing.assert_array_equal(second.values, [5, 6, 7, 8])
    assert (first.title, first.meta["place"], second.meta["place"]) == ("A", "row 3", "row 3")
    with pytest.raises(FileError, match=r"line 7.*expected 4 values.*got 3"):
        read('delimiter = "space"\nfirst_line = 3\nblocks = "apart"\n', text.replace("3 4\n", "3\n"))


def test_columns_of_use_and_a_header() -> None:
    text = "Pixel,Wavelength,Dark,Bar [counts]\n1,400,9,1\n2,410,x,2\n"
    (scan,) = read("first_line = 2\ncolumns = [2, 4]\n", text)
    np.testing.assert_array_equal(scan.wavelength, [400, 410])
    np.testing.assert_array_equal(scan.values, [1, 2])
    assert scan.unit == "counts"
    with pytest.raises(FileError, match="expected 5 columns"):
        read("first_line = 2\ncolumns = [2, 5]\n", text)


@pytest.mark.parametrize(("unit", "rows"), [("um", "0.4,1\n0.41,2\n"), ("angstrom", "4000,1\n4100,2\n")])
def test_other_units_of_wavelength(unit: str, rows: str) -> None:
    np.testing.assert_allclose(read(f'wavelength_unit = "{unit}"', rows)[0].wavelength, [400, 410], rtol=1e-15)


def test_commas_that_divide_and_are_decimal_marks() -> None:
    for rows in ("400,0,5\n410,1,25\n", "400,0,0,5\n410,0,1,25\n"):
        (scan,) = read('decimal = ","\n', rows)
        np.testing.assert_array_equal(scan.wavelength, [400, 410])
        np.testing.assert_array_equal(scan.values, [0.5, 1.25])


@pytest.mark.parametrize(
    ("layout", "text", "words"),
    [
        ("first_line = 9", "400,1\n410,2\n", "line 9"),
        ("first_line = 2", "a,b\nx,y\n400,1\n", "line 2.*got 'x,y'"),
        ("first_line = 2", "400,1\n410,2\n420,3\n", "line 1.*begin before line 2"),
        ("first_line = 1", "400,1\n410,x\n", "line 2.*column 2.*'x'"),
        ("first_line = 1", "400,1\n410,\n", "line 2.*column 2.*--skip-gaps"),
        ("first_line = 1", "400,1\n410,2,3\n", "line 2.*expected 2 cells"),
        ("first_line = 1", "400,1\n410,2\nthe end\n", "line 3.*last_line"),
        ('first_line = 1\norientation = "row"', "400,410\n", "line 1.*row of wavelengths"),
        (
            'first_line = 2\ndate = "%d.%m.%Y"\n[keys]\nDay = "taken_at"',
            "Day: 14/03/2026\n400,1\n410,2\n",
            "line 1.*taken_at",
        ),
    ],
)
def test_a_file_that_is_not_laid_out_so(layout: str, text: str, words: str) -> None:
    with pytest.raises(FileError, match=words) as error:
        read(layout, text)
    assert "bar.dat" in str(error.value)


def test_units_that_contradict() -> None:
    for layout, text in [
        ('first_line = 2\nunit = "counts"', "unit: W/m2/nm\n400,1\n410,2\n"),
        ("first_line = 3", "unit: W/m2/nm\nnm,x [counts]\n400,1\n410,2\n"),
    ]:
        with pytest.raises(UnitError):
            read(layout, text)
    with pytest.raises(UnitError):
        read('unit = "counts"', "400,1\n410,2\n", unit="relative")


def test_gaps_are_skipped_on_request() -> None:
    (scan,) = read("first_line = 1", "400,1\n410,\n420,3\n", skip_gaps=True)
    assert [flag.code for flag in scan.flags] == ["gaps_skipped"]
    np.testing.assert_array_equal(scan.wavelength, [400, 420])


# Proposals: the layout reads the file, and the notes say what to look at.

ROW = (
    "Name: Bar 3\nMeasured on: 14/03/2026 09:12\nInt. time (s): 0,5\nUnits;mW/m²/nm\n"
    "nm;400,0;410,0;420,0\nA;1,5;2,5;3\nB;3;4;5\n"
)
STACKED = "Scan;A\n400;1\n410;2\n\nScan;B\n400;3\n410;4\n"
APART = "WL\n400 410 420\n430 440 450\nVALUES\n1 2 3\n4 5 6\n"
PIXELS = "Pixel\tWavelength\tValue\n1\t400\t0.5\n2\t410\t0.25\n"
FOOTER = "Spectrum export\nDate,14.03.2026\nTime,09:12:30\nwavelength,W/m2/nm\n400,1\n410,2\nEND\n"
PROPOSALS = [
    (
        ROW,
        {"orientation": "row", "decimal": ",", "labels": 1, "date": "%d/%m/%Y %H:%M"},
        [1.5e-3, 2.5e-3, 3e-3],
        ["A", "B"],
    ),
    (STACKED, {"blocks": "stacked", "delimiter": ";", "first_line": 2}, [1, 2], ["A", "B"]),
    (APART, {"blocks": "apart", "delimiter": " ", "first_line": 2}, [1, 2, 3, 4, 5, 6], None),
    (PIXELS, {"columns": (2, 3), "delimiter": "\t"}, [0.5, 0.25], None),
    (FOOTER, {"last_line": 6, "unit": "W/m2/nm", "date": "%d.%m.%Y %H:%M:%S"}, [1, 2], None),
    ("400,0,5\n410,1,25\n", {"decimal": ",", "delimiter": ","}, [0.5, 1.25], None),
    ("um,x\n0.40,1\n0.41,2\n", {"wavelength_unit": "um"}, [1, 2], None),
    ("400\n410\n\n1\n2\n", {"blocks": "apart"}, [1, 2], None),
    ("prose of one line\n400;1\n410;2\n", {"first_line": 2, "delimiter": ";"}, [1, 2], None),
]


@pytest.mark.parametrize(("text", "expected", "values", "titles"), PROPOSALS)
@pytest.mark.parametrize("code", ["utf-8", "latin-1", "utf-16"])
def test_a_proposal_reads_the_file(
    text: str, expected: dict[str, object], values: list[float], titles: list[str] | None, code: str
) -> None:
    layout, notes = propose(text.encode(code), "bench/bar.dat")
    assert {key: getattr(layout, key) for key in expected} == expected
    assert layout.match == ("*.dat",) and notes
    assert parse(layout.dump()) == layout
    scans = read_with(layout, text.encode(code), "bar.dat")
    np.testing.assert_allclose(scans[0].values, values, rtol=1e-15)
    if titles is not None:
        assert [scan.title for scan in scans] == titles


def test_names_and_dates_of_a_proposal() -> None:
    layout, notes = propose(ROW.encode(), "bar.dat")
    assert dict(layout.keys) == {
        "Name": "title",
        "Measured on": "taken_at",
        "Int. time (s)": "integration_ms",
        "Units": "unit",
    }
    scan = read_with(layout, ROW.encode(), "bar.dat")[0]
    assert scan.taken_at == "2026-03-14T09:12:00" and scan.meta["integration_ms"] == "500"
    assert not any("no unit" in note for note in notes)


@pytest.mark.parametrize(
    ("value", "pattern", "note"),
    [
        ("14/03/2026 09:12", "%d/%m/%Y %H:%M", "is read as"),
        ("03/14/2026 9:12 PM", "%m/%d/%Y %I:%M %p", "is read as"),
        ("2026.03.14", "%Y.%m.%d", "is read as"),
        ("04.03.2026 09:12", "%d.%m.%Y %H:%M", "is read as"),
        ("04/03/2026 09:12", None, "in 2 ways"),
        ("2026-03-14T09:12:00", None, None),
        ("long ago", None, "no date that is known"),
    ],
)
def test_a_date_is_read_only_where_it_has_one_meaning(value: str, pattern: str | None, note: str | None) -> None:
    layout, notes = propose(f"Date;{value}\n400;1\n410;2\n".encode(), "bar.dat")
    assert layout.date == pattern
    assert note is None or any(note in line and value in line for line in notes)


def test_what_no_layout_reads() -> None:
    for text in ("", "prose\nof two lines, 3 words\n", "1,2\n2,3\n"):
        with pytest.raises(NotAScan):
            propose(text.encode(), "x.txt")


SHELF = "lamp;{0}\nheight;0,3{1}\nlambda;380;384;388;392;396\nvalue;0,121;0,12{1};0,13;0,14;0,11\n"


def test_rows_stacked_below_each_other_with_a_fact_of_one_number() -> None:
    layout, notes = propose((SHELF.format("a", 1) + SHELF.format("b", 2)).encode(), "shelf.txt")
    assert (layout.decimal, layout.orientation, layout.blocks) == (",", "row", "stacked")
    scans = read(layout.dump(), SHELF.format("a", 1) + SHELF.format("b", 2))
    assert [scan.meta["fixture"] for scan in scans] == ["a", "b"]
    assert [scan.number("distance_m") for scan in scans] == [0.31, 0.32]
    assert [scan.values[1] for scan in scans] == [0.121, 0.122]
    assert notes[0] == "tried: 2 scans, 5 samples from 380 to 396 nm"


def test_the_bundled_foreign_file() -> None:
    from spectui.places import samples

    data = (samples() / "nursery" / "layout" / "two-shelves.txt").read_bytes()
    layout, _ = propose(data, "two-shelves.txt")
    north, south = read(layout.dump(), data.decode(), unit="mW/m2/nm")
    assert (north.meta["fixture"], south.meta["fixture"]) == ("north shelf", "south shelf")
    assert north.range_nm == south.range_nm == (380.0, 800.0)
    assert (north.values[0], south.values[0]) == (0.128031 * 1e-3, 0.102429 * 1e-3)  # by hand: the file's first cells
    assert not north.flags and not south.flags


@pytest.mark.parametrize("bad", ["4x0;0,4", "broken", "?"])
def test_a_broken_row_of_stacked_columns_begins_no_block(bad: str) -> None:
    text = f"lamp;a\n400;0,1\n402;0,2\n{bad}\n404;0,3\n406;0,4\nlamp;b\n400;0,1\n402;0,2\n"
    layout = 'delimiter = ";"\ndecimal = ","\nblocks = "stacked"\nfirst_line = 2\n'
    with pytest.raises(FileError, match="line 4: expected numbers, which go on below it, got '"):
        read(layout, text)
    assert len(read(layout, text.replace(f"{bad}\n", ""))) == 2


def test_a_broken_row_of_stacked_rows_is_no_fact() -> None:
    layout = 'delimiter = ";"\ndecimal = ","\norientation = "row"\nblocks = "stacked"\nfirst_line = 3\nlabels = 1\n'
    text = SHELF.format("a", 1) + "value;x;0,2;0,3;0,4;0,5\n" + SHELF.format("b", 2)
    with pytest.raises(FileError, match="line 5: expected numbers"):
        read(layout, text)


def test_wavelengths_in_a_row_with_their_unit_and_labels_that_are_numbers() -> None:
    text = "id,place,400 nm,410 nm,420 nm\n1,bench 1,0.1,0.2,0.3\n2,bench 2,0.2,0.3,0.4\n"
    layout, _ = propose(text.encode(), "a.csv")
    scans = read(layout.dump(), text)
    assert [scan.title for scan in scans] == ["bench 1", "bench 2"]
    assert scans[1].wavelength.tolist() == [400, 410, 420] and scans[1].values.tolist() == [0.2, 0.3, 0.4]


def test_a_proposal_names_what_it_found_once() -> None:
    names = "".join(f"Setting {k}\t{k}.5\nline {k}\n" for k in range(20))
    _, notes = propose(f"{names}n\tnm\tW/m2/nm\n0\t400\t1\n1\t410\t2\n2\t420\t1\n".encode(), "a.txt")
    assert "the header's 'W/m2/nm' is taken as the unit" in notes
    assert "under names of their own: 'Setting 0', 'Setting 1', 'Setting 2', 'Setting 3' and 16 more" in notes
    assert len(notes) == 4
    assert notes[-1] == "passed over: line 2 'line 0', line 4 'line 1', line 6 'line 2', line 8 'line 3' and 16 more"


def test_why_no_layout_reads_it_is_said_of_the_likeliest() -> None:
    text = "nm;value\n" + "".join(f"{nm};{nm - 300},5\n" for nm in range(400, 420)) + "420;1.181,105\n"
    with pytest.raises(NotAScan, match=r"line 22: column 2: .* got '1\.181,105'"):
        propose((text + "421;2,5\n").encode(), "a.csv")
    # The last row may be a footer: it is left out, and told.
    layout, notes = propose(text.encode(), "a.csv")
    assert layout.last_line == 21 and "passed over below the numbers: line 22 '420;1.181,105'" in notes


def test_a_gap_is_told_and_the_proposal_stands() -> None:
    _, notes = propose(b"nm;value\n400;1\n410;\n420;2\n430;2\n", "a.dat")
    assert any(note.startswith("line 3: column 2") and "--skip-gaps" in note for note in notes)


def test_columns_are_bounded() -> None:
    with pytest.raises(NotAScan, match="at most 10000 columns"):
        propose(b"400" + b";1" * 20_000 + b"\n410" + b";1" * 20_000 + b"\n", "a.dat")


def test_a_date_without_a_time_gets_none() -> None:
    layout = 'date = "%d/%m/%Y"\nfirst_line = 2\n[keys]\nDate = "taken_at"\n'
    assert read(layout, "Date,13/04/2026\n400,1\n410,2\n")[0].taken_at == "2026-04-13"
