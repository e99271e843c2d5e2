"""The one door: files by path, formats by content, folders with a layout."""

import os
from pathlib import Path

import numpy as np
import pytest

from spectui.core.errors import FileError, NotAScan, UnitError, UsageError
from spectui.files import read as door
from spectui.files import remembered
from spectui.files.read import read, read_bytes

PLAIN = "# title: A\n# unit: W/m2/nm\nwavelength,irradiance\n400,0.5\n410,0.25\n"


@pytest.fixture(autouse=True)
def _anew() -> None:
    remembered.forget()


def test_a_plain_file_by_path(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text(PLAIN)
    for given in (path, str(path)):
        (scan,) = read(given)
        assert scan.source == str(path) and scan.title == "A" and scan.absolute
        np.testing.assert_array_equal(scan.values, [0.5, 0.25])


def test_files_of_one_grid_share_its_array() -> None:
    one, other = (read_bytes(PLAIN.encode(), name)[0] for name in "ab")
    assert one.wavelength is other.wavelength
    assert read_bytes(PLAIN.replace("410", "411").encode(), "c")[0].wavelength[1] == 411


def test_what_is_no_regular_file_is_an_error_at_once(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    for path, words in [
        (tmp_path / "missing.csv", "No such file"),
        (tmp_path, "folder"),
        (pipe, "regular file"),
        (Path("/dev/null"), "regular file"),
        ("a\0b", "cannot be opened"),
    ]:
        with pytest.raises(FileError, match=words):
            read(path)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_without_permission(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text(PLAIN)
    path.chmod(0)
    with pytest.raises(FileError, match="ermission"):
        read(path)


def test_a_size_is_bounded_before_reading(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "large.csv"
    with open(path, "wb") as file:
        file.truncate(door.MAX_BYTES + 1)
    with pytest.raises(FileError, match="at most 64 MiB"):
        read(path)
    series = "# unit: counts\ntime,400,410\n2026-03-14T09:12:00+01:00,1,2\n"
    (tmp_path / "day.txt").write_text(series)
    monkeypatch.setattr(door, "MAX_BYTES", 20)
    assert len(read(tmp_path / "day.txt")) == 1
    monkeypatch.setattr(door, "MAX_SERIES_BYTES", 30)
    with pytest.raises(FileError, match="at most"):
        read(tmp_path / "day.txt")


def test_a_unit_that_is_asked_for(tmp_path: Path) -> None:
    assert read_bytes(b"400,1\n410,2\n", "-", unit="mW/m²/nm")[0].values[1] == 2e-3
    with pytest.raises(UnitError):
        read_bytes(b"400,1\n410,2\n", "-", unit="lumen")


@pytest.mark.parametrize(
    "data", [b"<html><body>400,1</body></html>", b"<?xml version='1.0'?><svg/>", b"## A heading\n\nprose\n"]
)
def test_other_markup_is_no_scan(data: bytes) -> None:
    with pytest.raises(NotAScan):
        read_bytes(data, "x")


FOREIGN = "Sample;Bar\nMeasured;14/03/2026 09:12\nfoo\n400,0;0,5\n410,0;0,25\n"
LAYOUT = 'delimiter = ";"\ndecimal = ","\nfirst_line = 4\nunit = "W/m2/nm"\n[keys]\nSample = "title"\n'


def test_a_folder_remembers_its_layout(tmp_path: Path) -> None:
    path = tmp_path / "bar.dat"
    path.write_text(FOREIGN)
    (tmp_path / "plain.csv").write_text(PLAIN)
    with pytest.raises(FileError, match="line 3"):
        read(path)
    (tmp_path / "spectui-layout.toml").write_text(LAYOUT)
    remembered.forget()
    assert read(path)[0].title == "Bar" and read(path)[0].absolute
    assert read(tmp_path / "plain.csv")[0].title == "A"


def test_a_layout_that_names_files_is_theirs_only(tmp_path: Path) -> None:
    for name in ("bar.dat", "bar.txt"):
        (tmp_path / name).write_text(FOREIGN)
    (tmp_path / "plain.dat").write_text(PLAIN)
    (tmp_path / "spectui-layout.toml").write_text('match = ["*.dat"]\n' + LAYOUT)
    assert read(tmp_path / "bar.dat")[0].title == "Bar"
    # One that is plain is still read, although its ending fits.
    assert read(tmp_path / "plain.dat")[0].title == "A"
    with pytest.raises(FileError, match="line 3"):
        read(tmp_path / "bar.txt")
    (tmp_path / "broken.dat").write_text(FOREIGN.replace("0,25", "x"))
    with pytest.raises(FileError, match="line 5"):
        read(tmp_path / "broken.dat")


def test_a_layout_of_a_folder_is_looked_up_once_for_many_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    paths = [tmp_path / f"{at}.csv" for at in range(50)]
    for path in paths:
        path.write_text(PLAIN)
    looks: list[object] = []
    stat = os.stat
    monkeypatch.setattr(remembered.os, "stat", lambda path: looks.append(path) or stat(path))
    monkeypatch.setattr(remembered, "_LOOK_AGAIN", 1e9)
    for path in paths:
        read(path)
    assert len(looks) == 1


def test_a_layout_by_argument_and_one_that_is_malformed(tmp_path: Path) -> None:
    layout = tmp_path / "own.toml"
    layout.write_text(LAYOUT)
    assert read_bytes(FOREIGN.encode(), "-", layout=layout)[0].title == "Bar"
    (tmp_path / "a.csv").write_text(PLAIN)
    (tmp_path / "spectui-layout.toml").write_text('delimitter = ";"\n')
    with pytest.raises(UsageError, match=r"line 1.*did you mean delimiter"):
        read(tmp_path / "a.csv")
    (tmp_path / "spectui-layout.toml").unlink()
    remembered.forget()
    assert read(tmp_path / "a.csv")


TM27 = """<IESTM2714 version="1.0"><Header/><SpectralDistribution><SpectralQuantity>irradiance</SpectralQuantity>
<SpectralData wavelength="400">0.5</SpectralData><SpectralData wavelength="410">0.25</SpectralData>
</SpectralDistribution></IESTM2714>
"""
JCAMP = """##TITLE=bar
##JCAMP-DX=4.24
##DATA TYPE=UV/VIS SPECTRUM
##XUNITS=NANOMETERS
##YUNITS=W/m2/nm
##XFACTOR=1
##YFACTOR=0.25
##NPOINTS=2
##XYPOINTS=(XY..XY)
400, 2
410, 1
##END=
"""


@pytest.mark.parametrize(
    "data",
    [
        TM27.encode(),
        b"\n \t" + TM27.encode(),
        b"\xef\xbb\xbf<?xml version='1.0' encoding='UTF-8'?>" + TM27.encode(),
        ("<?xml version='1.0' encoding='UTF-16'?>" + TM27).encode("utf-16"),
        TM27.replace("\n", "\r").encode(),
        b"<!-- by hand --><a:IESTM2714 xmlns:a='x'>" + TM27.encode().partition(b">")[2].replace(b"/IES", b"/a:IES"),
        JCAMP.encode(),
        b"\xef\xbb\xbf" + JCAMP.encode(),
        JCAMP.encode("utf-16"),
        JCAMP.replace("\n", "\r").encode(),
        b"\n  \n  " + JCAMP.encode(),
        b"$$ a comment first\n" + JCAMP.encode(),
        JCAMP.replace("##TITLE", "##TI-TLE").encode(),
        b"##JCAMP-DX=4.24\n" + JCAMP.replace("##JCAMP-DX=4.24\n", "").encode(),
        b"$$ by hand\r$$\r" + JCAMP.replace("\n", "\r").encode(),
        JCAMP.replace("##TITLE", "##Title ").encode(),
        JCAMP.replace("##TITLE", "## ti_t/le").replace("##XUNITS", "##X UNITS").encode(),
    ],
)  # fmt: skip
def test_a_format_is_known_by_its_content_however_it_is_spelled(data: bytes) -> None:
    (scan,) = read_bytes(data, "x.txt")
    assert scan.wavelength.tolist() == [400, 410] and scan.values.tolist() == [0.5, 0.25]
    assert scan.given_unit == "W/m2/nm"


def test_a_jcamp_table_without_its_title_is_no_plain_table() -> None:
    with pytest.raises(FileError, match="##TITLE= comes first"):
        read_bytes(JCAMP.partition("\n")[2].replace("##JCAMP-DX=4.24\n", "").encode(), "x.txt")
