from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from spectui.core.errors import FileError, NotAScan, UnitError, UsageError
from spectui.core.scan import Scan
from spectui.files import jcamp
from spectui.files.read import read_bytes

HEAD = """##TITLE= bench lamp
##JCAMP-DX= 4.24 $$ a comment
##DATA TYPE= UV/VIS SPECTRUM
##ORIGIN= bay 3
##OWNER= the nursery
##XUNITS= NANOMETERS
##YUNITS= W/M2/NM
##XFACTOR= 1.0
##YFACTOR= 0.001
##FIRSTX= 400.0
##LASTX= 405.0
##NPOINTS= 6
##FIRSTY= 0.025
"""
EVEN = HEAD + "##DELTAX= 1.0\n##XYDATA= (X++(Y..Y))\n400 25 26 27\n403 28 -29 30\n##END=\n"
POINTS = HEAD + "##XYPOINTS= (XY..XY)\n400.0, 25; 400.5, 26; 401.75, 27\n402 28 403, -29\n405,30\n##END=\n"


def read(text: str, **options: object) -> Scan:
    [scan] = jcamp.read(text.encode(), "lamp.jdx", **options)  # type: ignore[arg-type]
    return scan


@pytest.mark.parametrize(("text", "grid"), [(EVEN, range(400, 406)), (POINTS, [400, 400.5, 401.75, 402, 403, 405])])
def test_the_two_tables(text: str, grid: object) -> None:
    scan = read(text)
    assert scan.wavelength.tolist() == list(grid)  # type: ignore[call-overload]
    np.testing.assert_allclose(scan.values, [0.025, 0.026, 0.027, 0.028, -0.029, 0.03], rtol=1e-15)
    assert (scan.unit, scan.given_unit, scan.flags, scan.index) == ("W/m2/nm", "W/m2/nm", (), None)
    assert dict(scan.meta) == {"title": "bench lamp", "origin": "bay 3", "owner": "the nursery"}


def test_labels_are_compared_without_case_spaces_hyphens_and_underscores() -> None:
    text = EVEN.replace("##XUNITS", "##x-units").replace("##FIRSTX", "##First_X").replace("##XYDATA", "## XY data ")
    text = text.replace("##DATA TYPE", "##datatype").replace("##END", "##end").replace("(X++(Y..Y))", "(x++ (y..y))")
    assert read(text).values.tolist() == read(EVEN).values.tolist()
    assert dict(read(text).meta) == dict(read(EVEN).meta)


def test_comments_line_ends_and_long_lines() -> None:
    text = "$$ before all\n" + EVEN.replace("26 27\n", "26 27 $$ three 99\n$$ between\n\n")
    assert read(text.replace("\n", "\r\n")).values.tolist() == read(EVEN).values.tolist()
    n = 5000
    row = " ".join(str(i) for i in range(n))
    long = EVEN.replace("= 405.0", f"= {400 + 0.5 * (n - 1)}").replace("= 6", f"= {n}").replace("##DELTAX= 1.0\n", "")
    long = long.replace("= 0.025", "= 0").replace("400 25 26 27\n403 28 -29 30", f"400 {row}")
    assert read(long).values.size == n


def test_downward_tables_are_turned_without_a_flag() -> None:
    text = EVEN.replace("FIRSTX= 400.0", "FIRSTX= 405.0").replace("LASTX= 405.0", "LASTX= 400.0")
    scan = read(text.replace("400 25", "405 25").replace("403 28", "402 28").replace("= 1.0\n##XY", "= -1.0\n##XY"))
    assert scan.wavelength.tolist() == list(range(400, 406)) and scan.values[0] == 0.03 and scan.flags == ()


@pytest.mark.parametrize(("unit", "factor"), [("MICROMETERS", 1e-3), ("um", 1e-3), ("ANGSTROMS", 10.0), ("nm", 1.0)])
def test_other_units_of_wavelength(unit: str, factor: float) -> None:
    text = EVEN.replace("NANOMETERS", unit)
    for number in ("FIRSTX= 400.0", "LASTX= 405.0", "DELTAX= 1.0", "XFACTOR= 1.0"):
        name, value = number.split("= ")
        text = text.replace(number, f"{name}= {float(value) * factor:.6g}")
    assert read(text).wavelength.tolist() == list(range(400, 406))
    uneven = POINTS.replace("NANOMETERS", unit).replace("XFACTOR= 1.0", f"XFACTOR= {factor}")
    uneven = uneven.replace("FIRSTX= 400.0", f"FIRSTX= {400 * factor}").replace(
        "LASTX= 405.0", f"LASTX= {405 * factor}"
    )
    assert read(uneven).wavelength.tolist() == read(POINTS).wavelength.tolist()


@pytest.mark.parametrize("unit", ["1/CM", "CM-1", "EV", "SECONDS"])
def test_a_scale_that_is_no_wavelength_is_refused(unit: str) -> None:
    with pytest.raises(FileError, match=r"line 6: .*expected NANOMETERS"):
        read(EVEN.replace("NANOMETERS", unit))


@pytest.mark.parametrize(
    ("text", "unit", "given", "factor"),
    [
        ("W m-2 nm-1", "W/m2/nm", "W/m2/nm", 1),
        ("UW/CM2/NM", "W/m2/nm", "uW/cm2/nm", 0.01),
        ("mW/m2/nm", "W/m2/nm", "mW/m2/nm", 0.001),
        ("W/M2/UM", "W/m2/nm", "W/m2/um", 0.001),
        ("COUNTS", "counts", "counts", 1),
        ("TRANSMITTANCE", "transmittance", "transmittance", 1),
        ("% TRANSMITTANCE", "transmittance", "transmittance", 0.01),
        ("Relative", "relative", "relative", 1),
        ("ARBITRARY UNITS", "relative", None, 1),
    ],
)
def test_yunits_become_units(text: str, unit: str, given: str | None, factor: float) -> None:
    scan = read(EVEN.replace("W/M2/NM", text))
    assert (scan.unit, scan.given_unit, scan.flags) == (unit, given, ())
    np.testing.assert_allclose(scan.values, read(EVEN).values * factor, rtol=1e-15)


@pytest.mark.parametrize("text", ["ABSORBANCE", "MW/M2/NM", "lumens"])
def test_unknown_yunits_are_relative_and_say_so(text: str) -> None:
    scan = read(EVEN.replace("W/M2/NM", text))
    assert scan.unit == "relative" and scan.meta["y_units"] == text
    assert [(flag.code, flag.rank) for flag in scan.flags] == [("other_quantity", "doubt")] and text in str(scan.flags)


def test_the_unit_of_the_user() -> None:
    for text in ("ARBITRARY UNITS", "RELATIVE", "MW/M2/NM", ""):
        scan = read(EVEN.replace("W/M2/NM", text), unit="mW/m2/nm")
        assert scan.unit == "W/m2/nm" and scan.flags == ()
    assert read(EVEN, unit="W/m2/nm").unit == "W/m2/nm"
    for text in ("W/M2/NM", "TRANSMITTANCE", "ABSORBANCE", "% T"):
        with pytest.raises(FileError, match=r"line 7: .*asked for") as met:
            read(EVEN.replace("W/M2/NM", text), unit="mW/m2/nm")
        assert isinstance(met.value, UnitError)


def test_missing_values() -> None:
    for text, line in ((EVEN.replace("-29", "?"), 17), (POINTS.replace("-29", "?"), 16)):
        with pytest.raises(FileError, match=rf"line {line}: .*--skip-gaps"):
            read(text)
        scan = read(text, skip_gaps=True)
        assert scan.values.size == 5 and [flag.code for flag in scan.flags] == ["gaps_skipped"]


@pytest.mark.parametrize(
    ("base", "old", "new", "message"),
    [
        (EVEN, "NPOINTS= 6", "NPOINTS= 7", "line 12: ##NPOINTS= is 7, but the table has 6"),
        (POINTS, "NPOINTS= 6", "NPOINTS= 7", "line 12: ##NPOINTS= is 7, but the table has 6"),
        (POINTS, "LASTX= 405.0", "LASTX= 406.0", "line 11: ##LASTX= is 406.0, but the table has 405"),
        (POINTS, "FIRSTX= 400.0", "FIRSTX= 390.0", "line 10: ##FIRSTX= is 390.0, but the table has 400"),
        (EVEN, "LASTX= 405.0", "LASTX= 410.0", "line 14: ##DELTAX= is 1.0, but .* make it 2"),
        (EVEN, "FIRSTY= 0.025", "FIRSTY= 0.035", "line 13: ##FIRSTY= is 0.035, but the table begins with 0.025"),
        (EVEN, "403 28", "404 28", "line 17: X check: the line begins with 404, expected 403"),
        (EVEN, "NPOINTS= 6", "NPOINTS= six", "line 12: ##NPOINTS= is 'six', expected a number"),
        (EVEN, "NPOINTS= 6", "NPOINTS= 6\n##NPOINTS= 5", "line 13: .*twice with different values"),
        (EVEN, "YFACTOR= 0.001", "YFACTOR= 0", "line 9: .*expected a factor"),
        (EVEN, "28 -29", "28 $-29", "line 17: .*no digit of any packing"),
        (EVEN, "28 -29 30", "", "line 17: a line with an X and no Y"),
        (EVEN, "28 -29 30", "28 -29 1E+999", "line 17: a value too large"),
        (POINTS, "405,30", "405", "line 17: expected pairs x, y, got 11 numbers"),
        (POINTS, "405,30", "405,dark", "line 17: .*got 'dark'"),
        (EVEN, "##XUNITS= NANOMETERS\n", "", "##XUNITS= is missing"),
        (EVEN, "(X++(Y..Y))", "(R++(A..A))", r"line 15: a table '\(R"),
        (EVEN, "##OWNER=", "##OWNER", "line 5: expected ##LABEL=text"),
        (EVEN, "##XYDATA= (X++(Y..Y))", "##PEAK TABLE= (XY..XY)", "line 15: ##PEAK TABLE= is a list of peaks"),
        (EVEN, "##XYDATA= (X++(Y..Y))", "##NTUPLES= X", "line 15: ##NTUPLES= is a table of several variables"),
        (EVEN, "##XYDATA= (X++(Y..Y))", "$$", "found none"),
    ],
)
def test_errors_name_the_line(base: str, old: str, new: str, message: str) -> None:
    assert old in base
    with pytest.raises(FileError, match=message) as met:
        read(base.replace(old, new))
    assert not isinstance(met.value, NotAScan)


def test_a_file_that_may_be_cut_short() -> None:
    assert read(EVEN.replace("##END=\n", "")).values.size == 6  # NPOINTS says that nothing is lost
    with pytest.raises(FileError, match="cut short"):
        read(EVEN.replace("##END=\n", "").replace("##NPOINTS= 6\n", ""))
    assert read(EVEN.replace("##NPOINTS= 6\n", "")).values.size == 6


@pytest.mark.parametrize("text", [EVEN, POINTS, "$$ x\n" + EVEN, POINTS.replace("##END=\n", "")])
def test_the_door_for_all_files_knows_them(text: str) -> None:
    pairs = text.replace("402 28 403, -29\n", "402 28\n403 -29\n").replace("; ", "\n").replace(",", " ")
    for given in (text, pairs):
        [scan] = read_bytes(given.encode(), "any.name")
        assert scan.unit == "W/m2/nm" and scan.values.tolist() == read(text).values.tolist()


def test_an_uneven_table_that_claims_to_be_even_is_found() -> None:
    text = EVEN.replace("400 25 26 27\n403 28 -29 30", "400.0 25\n401.0 26\n402.5 27\n403.0 28\n404.0 -29\n405.0 30")
    with pytest.raises(FileError, match=r"line 18: X check: the line begins with 402.5, expected 402; .*uneven"):
        read(text)


@pytest.mark.parametrize("text", ["", "hello\n", "wavelength,value\n400,1\n", "## notes\n"])
def test_what_is_no_jcamp(text: str) -> None:
    with pytest.raises(FileError):
        read(text)
    assert not jcamp.looks_like(text.encode())


def test_looks_like() -> None:
    for text in (
        EVEN,
        "##JCAMP-DX=5.01\n##TITLE=x",
        "\n$$ x\n ##TITLE=".replace(" ##", "##"),
        "\ufeff## ti-tle=x",
        "##TITLE=\r\n",
    ):
        assert jcamp.looks_like(text.encode())
    assert not jcamp.looks_like(b"# title: ##TITLE=\n400,1\n")


def test_blocks_in_a_link_block() -> None:
    inner = (
        EVEN + EVEN.replace("bench lamp", "second") + EVEN.replace("##XYDATA= (X++(Y..Y))", "##PEAK TABLE= (XY..XY)")
    )
    text = f"##TITLE= both\n##JCAMP-DX= 4.24\n##DATA TYPE= LINK\n##BLOCKS= 3\n{inner}##END=\n"
    scans = jcamp.read(text.encode(), "x")
    assert [(scan.title, scan.index) for scan in scans] == [("bench lamp", 0), ("second", 1)]
    deep = "##TITLE=x\n" * 100
    with pytest.raises(FileError, match="nested deeper"):
        jcamp.read(deep.encode(), "x")


@pytest.mark.parametrize(
    ("records", "meta"),
    [
        ("##LONG DATE= 2031/05/06 07:08:09.5 +0200", {"taken_at": "2031-05-06T07:08:09.5+02:00"}),
        ("##LONGDATE= 2031/05/06", {"taken_at": "2031-05-06"}),
        ("##DATE= 31/05/06\n##TIME= 7:08:09", {"taken_at": "2031-05-06T07:08:09"}),
        ("##DATE= 88/05/06", {"taken_at": "1988-05-06"}),
        ("##DATE= May 6\n##TIME= noon", {"date": "May 6", "time": "noon"}),
        ("##LONGDATE= 2031/13/06", {"long_date": "2031/13/06"}),
        ("##DATE= 31/02/30", {"date": "31/02/30"}),
        ("##LONG DATE= 2031/05/06 07:08\n##$taken_at=yesterday", {"taken_at": "yesterday"}),
        ("##SPECTROMETER/DATA SYSTEM= bench 2", {"instrument": "bench 2"}),
        ("##COMMENTS= one\n  two", {"notes": "one\ntwo"}),
        ("##SAMPLING PROCEDURE= probe", {"sampling_procedure": "probe"}),
        ('##CAS NAME= "quoted"', {"cas_name": '"quoted"'}),
        ("##= no label", {}),
        ("##$Lamp Hours= 100", {"Lamp Hours": "100"}),
        ('##$"a\\u003db"= "x\\n$\\u0024"', {"a=b": "x\n$$"}),
        ('##$half= "open', {"half": '"open'}),
    ],
)
def test_metadata(records: str, meta: dict[str, str]) -> None:
    scan = read(EVEN.replace("##XUNITS", f"{records}\n##XUNITS"))
    known = {"title": "bench lamp", "origin": "bay 3", "owner": "the nursery"}
    assert dict(scan.meta) == known | meta


META = {
    "title": "bar <3> $$ and a title that is far too long for one line of eighty characters, and more",
    "taken_at": "2031-05-06T07:08:09.5+02:00",
    "notes": "##END=\nsecond $$ line ",
    "origin": "spectui",
    "instrument": 'ünit "7"',
    "a=b $": "c=d",
    "expanded_uncertainty": "5 %",
    "": "",
}


def test_every_metadata_key_comes_back_whatever_its_characters() -> None:
    scan = Scan.build([400, 410], [1, 2], "W/m2/nm", META, expanded_uncertainty=[0.1, 1 / 3])
    document, notes = jcamp.text([scan])
    [back] = jcamp.read(document.encode(), "x")
    assert dict(back.meta) == META and notes == []
    assert back.expanded_uncertainty is not None and back.expanded_uncertainty.tolist() == [0.1, 1 / 3]
    assert document.startswith("##TITLE=bar <3> $ $ and") and "##LONGDATE=2031/05/06 07:08:09.5 +0200\n" in document
    assert max(map(len, document.splitlines())) <= 80


def test_even_grids_are_tables_of_ordinates_and_others_pairs() -> None:
    rng = np.random.default_rng(3)
    for grid, table in (
        (np.arange(380.0, 781.0), "XYDATA"),
        (np.round(np.arange(3800, 7801) / 10, 1), "XYDATA"),
        (np.array([400.0, 401.0, 402.5]), "XYPOINTS"),
        (400 + np.arange(50) / 3, "XYPOINTS"),
    ):
        document, _ = jcamp.text([Scan.build(grid, rng.normal(size=grid.size), "W/m2/nm")])
        assert f"##{table}=" in document
        assert jcamp.read(document.encode(), "x")[0].wavelength.tobytes() == grid.tobytes()


def test_a_wrong_count_of_uncertainties_is_told() -> None:
    document, _ = jcamp.text([Scan.build([400, 410], [1, 2], "W/m2/nm", expanded_uncertainty=[0.1, 0.2])])
    with pytest.raises(FileError, match="has 1 entries, expected a number for each of 2 points"):
        jcamp.read(document.replace("0.1 0.2", "0.1").encode(), "x")


def test_nothing_to_write() -> None:
    with pytest.raises(UsageError):
        jcamp.text([])


@pytest.mark.parametrize("grid", [np.arange(380.0, 781.0), np.round(np.arange(2800, 8001) / 10, 1)])
def test_the_package_jcamp_reads_what_we_write_on_even_grids(
    tmp_path: Path, grid: np.ndarray, capsys: pytest.CaptureFixture[str]
) -> None:
    # Second implementation: PyPI jcamp 1.2.2; it warns on stdout where its own checks fail.
    peer = pytest.importorskip("jcamp")
    rng = np.random.default_rng(4)
    values = rng.normal(size=grid.size) * 10.0 ** rng.integers(-12, 4, grid.size)
    scan = Scan.build(grid, values, "W/m2/nm", META, expanded_uncertainty=np.abs(values))
    path = tmp_path / "a.jdx"
    path.write_text(jcamp.text([scan])[0], encoding="utf-8")
    theirs = peer.readfile(str(path))
    np.testing.assert_allclose(theirs["x"], grid, rtol=0, atol=1e-9)
    np.testing.assert_allclose(theirs["y"], values, rtol=1e-9, atol=0)
    assert theirs["xunits"] == "NANOMETERS" and theirs["yunits"] == "W/m2/nm"
    assert capsys.readouterr().out == ""


def test_the_package_jcamp_reads_our_compound_and_our_uneven_files(tmp_path: Path) -> None:
    # Second implementation: PyPI jcamp 1.2.2.
    peer = pytest.importorskip("jcamp")
    scans = [Scan.build([400, 401, 402], [n, 2, 3], "W/m2/nm", {"title": f"bar {n}"}) for n in (1, 2)]
    path = tmp_path / "a.jdx"
    path.write_text(jcamp.text(scans)[0])
    assert [child["y"].tolist() for child in peer.readfile(str(path))["children"]] == [[1, 2, 3], [2, 2, 3]]
    path.write_text(jcamp.text([Scan.build([400, 401.5, 402], [1, 2, 3], "W/m2/nm")])[0])
    assert peer.readfile(str(path))["x"].tolist() == [400, 401.5, 402]


def test_we_read_what_the_package_jcamp_writes(tmp_path: Path) -> None:
    # Second implementation: PyPI jcamp 1.2.2 (its writer rounds the ordinates to integers times YFACTOR).
    peer = pytest.importorskip("jcamp")
    grid = np.arange(400.0, 500.0)
    values = np.sin(grid / 20) + 2
    path = tmp_path / "b.jdx"
    content: dict[str, object] = {
        "title": "x",
        "xunits": "NANOMETERS",
        "yunits": "TRANSMITTANCE",
        "x": grid,
        "y": values,
    }
    content |= {"xydata": "(X++(Y..Y))", "yfactor": 1e-6, "xfactor": 1.0}
    peer.writefile(str(path), content)
    [scan] = jcamp.read(path.read_bytes(), "x")
    np.testing.assert_allclose(scan.wavelength, grid)
    np.testing.assert_allclose(scan.values, values, atol=1e-6)
