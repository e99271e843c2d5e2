"""Sidecars: written whole, read strictly, applied only to the scan that they belong to."""

from __future__ import annotations

import hashlib
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.core.errors import FileError
from spectui.core.units import UMOL_PER_JOULE_NM
from spectui.shelf import sidecar
from spectui.shelf.folder import load
from spectui.shelf.sidecar import Sidecar

RELATIVE = "# title: a lamp\n# place: bench 9\n# notes: as found\n400,1\n500,2\n600,3\n"


@pytest.fixture
def scan(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text(RELATIVE)
    return path


def flags(path):
    return [(flag.code, flag.rank) for flag in load(path)[0].scan.flags]


def test_without_a_sidecar_nothing_is_said(scan):
    assert sidecar.read(scan) is None
    assert load(scan)[0].scan.unit == "relative"


def test_what_is_written_is_applied_and_the_scan_file_stays(scan):
    before = scan.read_bytes()
    sidecar.write(scan, unit="umol/m2/s/nm", place="bench 2", position_m="1, 2", notes="top shelf", when="2026-03-04")
    read = load(scan)[0].scan
    assert read.unit == "W/m2/nm" and read.given_unit == "umol/m2/s/nm"
    assert read.values.tolist() == [value / (nm * UMOL_PER_JOULE_NM) for nm, value in ((400, 1), (500, 2), (600, 3))]
    assert (read.meta["place"], read.meta["position_m"]) == ("bench 2", "1, 2")
    assert read.meta["notes"] == "as found; top shelf"
    assert read.flags == ()
    assert scan.read_bytes() == before


def test_the_digest_is_that_of_the_bytes(scan):
    said = sidecar.write(scan, place="bench 2")
    assert said.digest == "sha256:" + hashlib.sha256(RELATIVE.encode()).hexdigest()
    document = tomllib.loads((scan.parent / "a.csv.spectui.toml").read_text())
    assert document == {"digest": said.digest, "place": "bench 2"}


def test_a_second_change_keeps_the_first(scan):
    sidecar.write(scan, unit="mW/m2/nm", notes="one")
    sidecar.write(scan, notes="two")
    assert sidecar.read(scan) == Sidecar(sidecar.digest(scan), unit="mW/m2/nm", notes="two")


def test_other_content_is_told_not_applied_and_not_overwritten(scan):
    sidecar.write(scan, unit="mW/m2/nm", place="bench 2")
    scan.write_text(RELATIVE + "700,4\n")
    read = load(scan)[0].scan
    assert read.unit == "relative" and read.meta["place"] == "bench 9"
    assert flags(scan) == [("sidecar_differs", "doubt")]
    with pytest.raises(FileError, match="belongs to other content"):
        sidecar.write(scan, place="bench 3")
    assert sidecar.read(scan).place == "bench 2"


@pytest.mark.parametrize(
    "text, told",
    [
        ("place = ", "expected TOML"),
        ('digest = "sha256:00"\ncolour = "red"', "unknown key 'colour'"),
        ('digest = "sha256:00"\nplace = 3', "place: expected a text in quotes, got 3"),
        ('digest = "sha256:00"\nskip_gaps = "yes"', "skip_gaps: expected true or false"),
        ('place = "bench"', "expected `digest`"),
        ("\xff", "expected TOML"),
    ],
)
def test_a_malformed_sidecar_is_told_and_the_scan_is_there(scan, text, told):
    (scan.parent / "a.csv.spectui.toml").write_bytes(text.encode("latin-1"))
    with pytest.raises(FileError, match=told):
        sidecar.read(scan)
    entry = load(scan)[0]
    assert entry.scan.unit == "relative"
    assert flags(scan) == [("sidecar_malformed", "doubt")]
    assert told.split(",")[0].split(":")[0] in entry.scan.flags[0].message


def test_an_unknown_unit_in_a_sidecar_is_told_and_not_applied(scan):
    sidecar.write(scan, unit="candle")
    assert load(scan)[0].scan.unit == "relative"
    assert flags(scan) == [("sidecar_malformed", "doubt")]


def test_a_unit_of_the_file_wins_over_another_said_beside_it(scan):
    scan.write_text("# unit: W/m2/nm\n" + RELATIVE)
    sidecar.write(scan, unit="mW/m2/nm")
    assert load(scan)[0].scan.values.tolist() == [1, 2, 3]
    assert flags(scan) == [("sidecar_unit", "doubt")]
    scan.with_suffix(".csv.spectui.toml").unlink()
    sidecar.write(scan, unit="W m-2 nm-1")
    assert flags(scan) == []


def test_accepted_gaps_are_read_and_still_flagged(scan):
    scan.write_text("# unit: W/m2/nm\n400,1\n450,\n500,2\n600,3\n")
    assert "line 3" in load(scan)[0].error
    sidecar.write(scan, skip_gaps=True)
    assert load(scan)[0].scan.wavelength.tolist() == [400, 500, 600]
    assert [code for code, _ in flags(scan)] == ["gaps_skipped"]


def test_a_scan_that_is_gone_cannot_be_spoken_of(tmp_path):
    with pytest.raises(FileError, match="cannot be read"):
        sidecar.write(tmp_path / "no.csv", place="x")
    assert list(tmp_path.iterdir()) == []


@settings(deadline=None)
@given(st.builds(Sidecar, *[st.text(min_size=1)] * 6, st.booleans()))
def test_any_text_comes_back_from_toml(said):
    document = tomllib.loads(sidecar.text(said))
    expected = {key: getattr(said, key) for key in ("digest", "unit", "place", "position_m", "notes", "when")}
    assert document == expected | ({"skip_gaps": True} if said.skip_gaps else {})


def test_an_odd_byte_of_a_file_name_does_not_break_the_document():
    assert tomllib.loads(sidecar.text(Sidecar("sha256:00", place="shelf \udcff"))) == {
        "digest": "sha256:00",
        "place": "shelf ?",
    }
