from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from spectui.core.errors import FileError, UsageError
from spectui.core.scan import FAULT, UNSAID, Flag, Scan
from spectui.files.delimited import read as read_csv
from spectui.files.fast import read as read_fast
from spectui.files.write import format_of, targets, text_of, write

BAR = Scan.build([400, 410.5], [0.1, -1e-17], "W/m2/nm", {"title": "bar", "place": "bay 3", "unit": "mW/m2/nm"})
LAMP = Scan.build([400, 411], [3, 4], "counts", {"title": "lamp"})


@pytest.mark.parametrize(
    ("name", "to", "expected"),
    [
        *((name, None, "csv") for name in ("a.csv", "A.CSV", "a.tsv", "a.b.txt")),
        *((name, None, "tm27") for name in ("a.spdx", "a.xml")),
        *((name, None, "jcamp") for name in ("a.jdx", "a.dx")),
        ("a.csv", "jcamp", "jcamp"),
        ("a", "tm27", "tm27"),
    ],
)
def test_the_format_is_that_of_the_extension_unless_named(name: str, to: str | None, expected: str) -> None:
    assert format_of(name, to) == expected
    assert format_of(Path(name), to) == expected


def test_unknown_formats_name_the_known_ones() -> None:
    with pytest.raises(UsageError, match=r"a\.pdf: .*\.csv, .*\.dx, or give --to"):
        format_of("a.pdf")
    with pytest.raises(UsageError, match="expected one of csv, tm27, jcamp"):
        format_of("a.csv", "xls")


def test_csv_as_it_looks() -> None:
    wide = BAR.with_(expanded_uncertainty=BAR.values * 2)
    document = "# title: bar\n# place: bay 3\n# unit: W/m2/nm\nwavelength [nm],value,expanded_uncertainty\n"
    assert text_of([wide], "csv") == (document + "400.0,0.1,0.2\n410.5,-1e-17,-2e-17\n", [])
    plain = "wavelength [nm]\tvalue\n400.0\t1.0\n410.0\t2.0\n"
    assert text_of([Scan.build([400, 410], [1, 2])], "csv", "\t") == (plain, [])


@pytest.mark.parametrize("name", ["a.csv", "a.tsv", "a.txt"])
def test_a_written_file_is_read_back(tmp_path: Path, name: str) -> None:
    assert write([BAR], tmp_path / name) == []
    data = (tmp_path / name).read_bytes()
    assert (b"\t" in data) == (name == "a.tsv")
    for scans in (read_csv(data, name), read_fast(data, name)):
        assert scans is not None
        assert scans[0].values.tobytes() == BAR.values.tobytes() and scans[0].unit == "W/m2/nm"
        assert dict(scans[0].meta) == {"title": "bar", "place": "bay 3"}


@pytest.mark.parametrize(
    ("key", "value", "read_as", "note"),
    [
        ("notes", "one\ntwo", ("notes", "one two"), "'notes'.*line breaks"),
        ("notes", " outer ", ("notes", "outer"), "'notes'"),
        ("notes", "", None, "'notes'.*left out"),
        ("notes", "//x", None, "'notes'.*left out"),
        ("a: b", "c", ("a b", "c"), "'a: b'.*written as 'a b'"),
        ("Title", "other", None, "'Title'.*left out"),
        ("Operator", "me", ("operator", "me"), "'Operator'.*written as 'operator'"),
        ("k" * 70, "v", ("k" * 60, "v"), "written as"),
        ("x", "bell\x07", ("x", "bell"), "'x'"),
        ("\n", "x", None, "left out"),
    ],
)
def test_what_a_line_of_csv_cannot_hold_is_told(
    key: str, value: str, read_as: tuple[str, str] | None, note: str
) -> None:
    document, notes = text_of([BAR.with_(meta={"title": "bar", key: value})], "csv")
    assert len(notes) == 1
    assert re.search(note, notes[0])
    [back] = read_csv(document.encode(), "x")
    assert dict(back.meta) == {"title": "bar"} | (dict([read_as]) if read_as else {})


def test_scans_that_no_csv_file_holds_together_get_numbered_files(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    files = [str(tmp_path / f"a-{n}.csv") for n in (1, 2)]
    assert targets([BAR, LAMP], path) == files and targets([BAR], path) == [str(path)]
    notes = write([BAR, LAMP], path)
    assert sorted(os.listdir(tmp_path)) == ["a-1.csv", "a-2.csv"]
    assert len(notes) == 1 and all(file in notes[0] for file in files)
    assert targets([BAR, LAMP] * 5, "x/a.jdx", "tm27")[0::9] == ["x/a-01.jdx", "x/a-10.jdx"]
    assert read_csv(Path(files[1]).read_bytes(), "x")[0].values.tolist() == [3, 4]


def test_tm27_holds_one_scan_and_jcamp_all(tmp_path: Path) -> None:
    assert len(write([BAR, BAR], tmp_path / "a.spdx")) == 1
    assert write([BAR, LAMP], tmp_path / "a.jdx") == []
    assert sorted(os.listdir(tmp_path)) == ["a-1.spdx", "a-2.spdx", "a.jdx"]
    for to in ("tm27", "csv"):
        with pytest.raises(UsageError, match="needs 2 files"):
            text_of([BAR, LAMP], to)
    assert text_of([BAR, LAMP], "jcamp")[0].count("##TITLE=") == 3


def test_nothing_is_written_where_one_of_several_names_is_taken(tmp_path: Path) -> None:
    (tmp_path / "a-2.csv").write_text("precious")
    with pytest.raises(FileError, match=r"a-2\.csv: exists already; --force"):
        write([BAR, LAMP], tmp_path / "a.csv")
    assert os.listdir(tmp_path) == ["a-2.csv"]
    write([BAR, LAMP], tmp_path / "a.csv", force=True)
    assert "precious" not in (tmp_path / "a-2.csv").read_text()


def test_an_existing_file_stays_unless_forced(tmp_path: Path) -> None:
    path = tmp_path / "a.jdx"
    path.write_text("precious")
    with pytest.raises(FileError, match="--force"):
        write([BAR], path)
    assert path.read_text() == "precious"
    write([BAR], path, force=True)
    assert path.read_text().startswith("##TITLE=bar")


def test_flags_of_the_reading_are_told() -> None:
    flags = (Flag("gaps_skipped", FAULT, "2 samples left out"), Flag("no_place", UNSAID, "no place"))
    _, notes = text_of([BAR.with_(flags=flags)], "csv")
    assert notes == ["gaps_skipped: 2 samples left out (not written)"]


def test_no_scan_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="no scan"):
        write([], tmp_path / "a.csv")
    assert os.listdir(tmp_path) == []
