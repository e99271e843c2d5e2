from __future__ import annotations

import warnings
from pathlib import Path

import numpy as np
import pytest

from spectui.core.errors import FileError, NotAScan, UnitError, UsageError
from spectui.core.scan import Scan
from spectui.files import tm27
from spectui.files.tm27text import OTHER_QUANTITIES

BODY = """<?xml version="1.0"?>
<IESTM2714 xmlns="http://www.ies.org/iestm2714" version="1.0">
  <Header><Description>bench lamp</Description></Header>
  <SpectralDistribution>
    <SpectralQuantity>irradiance</SpectralQuantity>
    <SpectralData wavelength="400.0">0.25</SpectralData>
    <SpectralData wavelength="401.5">-1e-17</SpectralData>
    <SpectralData wavelength="410">0.1</SpectralData>
  </SpectralDistribution>
</IESTM2714>
"""


def read(text: str, **options: object) -> Scan:
    [scan] = tm27.read(text.encode(), "lamp.spdx", **options)  # type: ignore[arg-type]
    return scan


def test_reads_values_as_written_on_an_uneven_grid() -> None:
    scan = read(BODY)
    assert scan.wavelength.tolist() == [400.0, 401.5, 410.0]
    assert scan.values.tolist() == [0.25, -1e-17, 0.1]
    assert (scan.unit, scan.given_unit, dict(scan.meta)) == ("W/m2/nm", "W/m2/nm", {"title": "bench lamp"})
    assert scan.flags == () and scan.index is None and scan.source == "lamp.spdx"


@pytest.mark.parametrize(
    "root",
    ["IESTM2714", 'IESTM2714 xmlns="urn:another"', 'IESTM2720 version="2"', 'IESTM2714 xmlns="" version="0.9"'],
)
def test_any_namespace_or_version(root: str) -> None:
    text = BODY.replace('IESTM2714 xmlns="http://www.ies.org/iestm2714" version="1.0"', root)
    assert read(text.replace("/IESTM2714", f"/{root.split()[0]}")).values.tolist() == [0.25, -1e-17, 0.1]


def test_a_namespace_prefix() -> None:
    text = BODY.replace("<", "<i:").replace("<i:/", "</i:").replace("<i:?", "<?").replace("xmlns=", "xmlns:i=")
    assert dict(read(text).meta) == {"title": "bench lamp"}


def test_an_encoding_is_the_one_declared_or_marked() -> None:
    text = BODY.replace("bench lamp", "Gewächs").replace("?>", ' encoding="ISO-8859-1"?>', 1)
    assert tm27.read(text.encode("latin-1"), "x")[0].title == "Gewächs"
    wide = BODY.replace("bench lamp", "Gewächs").encode("utf-16")
    assert tm27.read(wide, "x")[0].title == "Gewächs" and tm27.looks_like(wide[:400])
    assert tm27.read(b"\xef\xbb\xbf" + BODY.encode(), "x")[0].title == "bench lamp"


def test_header_elements_become_our_keys() -> None:
    header = (
        "<Manufacturer>M</Manufacturer><CatalogNumber>C</CatalogNumber><Description>D</Description>"
        "<DocumentCreator>W</DocumentCreator><UniqueIdentifier>U</UniqueIdentifier>"
        "<MeasurementEquipment>E</MeasurementEquipment><Laboratory>None</Laboratory><ReportNumber/>"
        "<ReportDate>2020-02-03</ReportDate><DocumentCreationDate>2020-02-04</DocumentCreationDate>"
        "<Comments>one\n two: 3 </Comments>"
    )
    text = BODY.replace("<Description>bench lamp</Description>", header).replace(
        "</SpectralQuantity>",
        "</SpectralQuantity><BandwidthFWHM>2.0</BandwidthFWHM><BandwidthCorrected>true</BandwidthCorrected>",
    )
    assert dict(read(text).meta) == {
        "manufacturer": "M",
        "fixture": "C",
        "title": "D",
        "document_creator": "W",
        "fixture_id": "U",
        "instrument": "E",
        "report_date": "2020-02-03",
        "document_creation_date": "2020-02-04",
        "notes": "one\n two: 3",
        "bandwidth_fwhm_nm": "2.0",
        "bandwidth_corrected": "true",
    }


@pytest.mark.parametrize(
    ("quantity", "unit"),
    [
        ("irradiance", "W/m2/nm"),
        ("Irradiance", "W/m2/nm"),
        ("relative", "relative"),
        ("transmittance", "transmittance"),
    ],
)
def test_quantities_that_are_units_of_ours(quantity: str, unit: str) -> None:
    scan = read(BODY.replace(">irradiance<", f">{quantity}<"))
    assert scan.unit == scan.given_unit == unit and scan.flags == () and "spectral_quantity" not in scan.meta


@pytest.mark.parametrize("quantity", [*OTHER_QUANTITIES, "other", "photon flux"])
def test_other_quantities_are_relative_and_say_so(quantity: str) -> None:
    scan = read(BODY.replace(">irradiance<", f">{quantity}<"))
    assert scan.unit == "relative" and scan.meta["spectral_quantity"] == quantity
    assert [(flag.code, flag.rank) for flag in scan.flags] == [("other_quantity", "doubt")]
    assert quantity in scan.flags[0].message


def test_the_unit_of_the_user_applies_where_the_file_has_none_and_else_must_agree() -> None:
    relative = BODY.replace(">irradiance<", ">relative<")
    assert read(relative, unit="mW/m2/nm").values.tolist() == [0.25e-3, -1e-17 * 1e-3, 0.1e-3]
    assert read(BODY.replace(">irradiance<", ">other<"), unit="counts").unit == "counts"
    assert read(BODY, unit="W m-2 nm-1").unit == "W/m2/nm"
    for text, unit in ((BODY, "mW/m2/nm"), (BODY, "relative"), (BODY.replace(">irradiance<", ">flux<"), "W/m2/nm")):
        with pytest.raises(FileError, match=r"line 5: .*asked for") as met:
            read(text, unit=unit)
        assert isinstance(met.value, UnitError)


@pytest.mark.parametrize(
    ("old", "new", "line", "message"),
    [
        ('wavelength="401.5"', 'wavelength="four"', 7, "'four', expected a number"),
        ('wavelength="401.5"', 'wavelength="401,5"', 7, "decimal point"),
        ('wavelength="401.5"', 'wavelength="nan"', 7, "expected a number"),
        (' wavelength="401.5"', "", 7, "without the attribute wavelength"),
        (">-1e-17<", ">1_0<", 7, "'1_0', expected a number"),
        (">-1e-17<", "><", 7, "401.5 nm is empty.*--skip-gaps"),
        (">-1e-17<", ">None<", 7, "--skip-gaps"),
        (">-1e-17<", ">NaN<", 7, "'NaN'.*--skip-gaps"),
        (">-1e-17<", ">-<", 7, "'-'.*--skip-gaps"),
        (">-1e-17<", ">inf<", 7, "'inf', expected a number with"),
        (">-1e-17<", ">1e999<", 7, "expected a number with"),
        (">irradiance<", ">None<", None, "SpectralQuantity is missing"),
        ("<SpectralQuantity>irradiance</SpectralQuantity>", "", None, "SpectralQuantity is missing"),
        ("</Header>", "</Heather>", 3, "not well-formed XML: mismatched tag"),
        ("</IESTM2714>", "", 11, "not well-formed XML: no element found"),
        ("bench lamp", "bench &lamp;", 3, "undefined entity"),
        ('<?xml version="1.0"?>', '<?xml version="1.0" encoding="no-such"?>', 1, "encoding"),
        ("410", "401.5", None, "twice with different values"),
        ("410", "9000", None, "100-5000"),
    ],
)
def test_errors_name_the_line(old: str, new: str, line: int | None, message: str) -> None:
    assert old in BODY
    with pytest.raises(FileError, match=message) as met:
        read(BODY.replace(old, new))
    assert met.value.line == line and str(met.value).startswith("lamp.spdx: ")
    assert not isinstance(met.value, NotAScan)


def test_gaps_are_left_out_and_flagged_on_request() -> None:
    scan = read(BODY.replace(">-1e-17<", "><"), skip_gaps=True)
    assert scan.wavelength.tolist() == [400.0, 410.0]
    assert [(flag.code, flag.rank) for flag in scan.flags] == [("gaps_skipped", "fault")]
    assert read(BODY, skip_gaps=True).flags == ()
    with pytest.raises(FileError, match="expected a number"):
        read(BODY.replace(">-1e-17<", ">dark<"), skip_gaps=True)


@pytest.mark.parametrize("text", ["<html><body/></html>", "", "hello", "<a", "<!DOCTYPE html><html></html>"])
def test_what_is_no_tm27_is_no_scan(text: str) -> None:
    with pytest.raises(NotAScan):
        read(text)
    assert not tm27.looks_like(text.encode())


@pytest.mark.parametrize(
    "declaration",
    [
        '<!DOCTYPE a [<!ENTITY x "yyyy"><!ENTITY z "&x;&x;&x;&x;">]>',
        '<!DOCTYPE a SYSTEM "http://localhost/a.dtd">',
        '<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/hostname">]>',
        "<!DOCTYPE IESTM2714>",
    ],
)
def test_doctype_and_entities_are_refused(declaration: str) -> None:
    text = BODY.replace("<IESTM2714", f"{declaration}<IESTM2714").replace("bench lamp", "&x;")
    with pytest.raises(FileError, match="line 2: a DOCTYPE or entity declaration, which is refused") as met:
        read(text)
    assert not isinstance(met.value, NotAScan)


def test_depth_is_bounded() -> None:
    deep = "<a>" * 10_000
    with pytest.raises(FileError, match="nested deeper"):
        read(BODY.replace("<Description>", deep))


def test_several_distributions_are_several_scans() -> None:
    part = BODY[BODY.index("  <SpectralDistribution>") : BODY.index("</IESTM2714>")]
    scans = tm27.read(BODY.replace(part, part + part.replace(">0.25<", ">0.5<")).encode(), "x")
    assert [(scan.index, scan.values[0]) for scan in scans] == [(0, 0.25), (1, 0.5)]


META = {
    "title": "bar <3> & \"more\" 'so'",
    "taken_at": "2031-05-06T07:08:09.5+02:00",
    "notes": "first line\n--- metadata ---\nlast: line",
    "bandwidth_fwhm_nm": "about 2",
    "bandwidth_corrected": "true",
    "fixture": "None",
    "fixture_id": " outer ",
    "document_creator": "spectui",
    "Odd : key\n": 'va"l\x01ue',
    "": "",
}


def test_every_metadata_key_comes_back_whatever_its_characters() -> None:
    scan = Scan.build([400, 410], [1, 2], "W/m2/nm", META)
    document, notes = tm27.text([scan])
    [back] = tm27.read(document.encode(), "x")
    assert dict(back.meta) == META and notes == []


def test_a_written_document_has_what_the_schema_requires_and_nothing_it_forbids() -> None:
    document, _ = tm27.text([Scan.build([400, 410], [1, 2], "W/m2/nm", META)], created="2031-01-01T00:00:00Z")
    assert "<DocumentCreator>spectui</DocumentCreator>" in document
    assert "<DocumentCreationDate>2031-01-01T00:00:00Z</DocumentCreationDate>" in document
    assert "<BandwidthCorrected>true</BandwidthCorrected>" in document and "<BandwidthFWHM>" not in document
    assert "<Description></Description>" in tm27.text([Scan.build([400, 410], [1, 2])])[0]


def test_the_day_of_writing_is_in_the_document_and_never_in_the_scan() -> None:
    document, _ = tm27.text([Scan.build([400, 410], [1, 2], "W/m2/nm")])
    assert "<DocumentCreationDate>2" in document
    assert dict(tm27.read(document.encode(), "x")[0].meta) == {}


@pytest.mark.parametrize("unit", ["W/m2/nm", "relative", "transmittance", "counts"])
def test_each_unit_comes_back(unit: str) -> None:
    document, notes = tm27.text([Scan.build([400, 410], [1, 2], unit)])
    [back] = tm27.read(document.encode(), "x")
    assert back.unit == unit and notes == [] and dict(back.meta) == {}


def test_another_quantity_is_written_as_it_was_read() -> None:
    scan = read(BODY.replace(">irradiance<", ">flux<"))
    document, _ = tm27.text([scan])
    assert "<SpectralQuantity>flux</SpectralQuantity>" in document
    [back] = tm27.read(document.encode(), "x")
    assert dict(back.meta) == dict(scan.meta) and back.flags == scan.flags


def test_what_it_cannot_hold_is_told_or_refused() -> None:
    scan = Scan.build([400, 410], [1, 2], "W/m2/nm", expanded_uncertainty=[0.1, 0.2])
    assert "uncertainty" in tm27.text([scan])[1][0]
    with pytest.raises(UsageError, match="one spectrum"):
        tm27.text([scan, scan])


@pytest.fixture(scope="module")
def colour() -> object:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return pytest.importorskip("colour")


GRIDS = [np.arange(380.0, 781.0), np.array([380.0, 380.1, 399.999999999, 500.25, 1050.7])]


@pytest.mark.parametrize("grid", GRIDS)
def test_colour_science_reads_what_we_write(colour: object, tmp_path: Path, grid: np.ndarray) -> None:
    # Second implementation: colour-science 0.4.7, SpectralDistribution_IESTM2714.read.
    values = np.random.default_rng(5).normal(size=grid.size)
    meta = {"title": "ä <&> b", "fixture": "F-1", "instrument": "bench 2", "notes": "plain", "manufacturer": "M"}
    meta |= {"bandwidth_fwhm_nm": "2.5", "bandwidth_corrected": "true", "report_number": "7"}
    path = tmp_path / "a.spdx"
    path.write_text(tm27.text([Scan.build(grid, values, "W/m2/nm", meta)])[0], encoding="utf-8")
    theirs = colour.SpectralDistribution_IESTM2714(str(path)).read()  # type: ignore[attr-defined]
    assert theirs.wavelengths.tobytes() == grid.tobytes() and theirs.values.tobytes() == values.tobytes()
    assert (theirs.spectral_quantity, theirs.bandwidth_FWHM, theirs.bandwidth_corrected) == ("irradiance", 2.5, True)
    header = theirs.header
    assert (header.description, header.catalog_number, header.measurement_equipment) == ("ä <&> b", "F-1", "bench 2")
    assert (header.comments, header.manufacturer, header.report_number) == ("plain", "M", "7")
    assert header.document_creator == "spectui" and header.document_creation_date.startswith("2")


@pytest.mark.parametrize("grid", GRIDS)
@pytest.mark.parametrize("filled", [True, False])
def test_we_read_what_colour_science_writes(colour: object, tmp_path: Path, grid: np.ndarray, filled: bool) -> None:
    # Second implementation: colour-science 0.4.7, …write. It puts the word None into empty fields.
    values = np.random.default_rng(6).normal(size=grid.size)
    path = str(tmp_path / "b.spdx")
    made = colour.SpectralDistribution_IESTM2714  # type: ignore[attr-defined]
    theirs = made(path, data=dict(zip(grid.tolist(), values.tolist(), strict=True)), spectral_quantity="irradiance")
    if filled:
        theirs.header.description, theirs.header.comments = "ä <&> b", "some\nlines"
        theirs.header.unique_identifier = "id 7"
        theirs.bandwidth_FWHM, theirs.bandwidth_corrected = 2.5, True
    theirs.write()
    [scan] = tm27.read(Path(path).read_bytes(), path)
    # It prints 12 significant digits; what is printed must come to both readers as the same number.
    np.testing.assert_allclose(scan.values, values, rtol=5e-12, atol=0)
    back = made(path).read()
    assert scan.wavelength.tobytes() == back.wavelengths.tobytes() and scan.values.tobytes() == back.values.tobytes()
    assert scan.unit == "W/m2/nm"
    expected = {"bandwidth_corrected": "false"}
    if filled:
        expected = {"title": "ä <&> b", "notes": "some\nlines", "fixture_id": "id 7"}
        expected |= {"bandwidth_fwhm_nm": "2.5", "bandwidth_corrected": "true"}
    assert dict(scan.meta) == expected


def test_colour_science_s_own_example_files(colour: object) -> None:
    # Files shipped with colour-science 0.4.7 (io/tests/resources), read by both.
    folder = Path(colour.__file__).parent / "io" / "tests" / "resources"  # type: ignore[attr-defined]
    path = folder / "Fluorescent.spdx"
    if not path.exists():
        pytest.skip("this colour-science comes without its test files")
    theirs = colour.SpectralDistribution_IESTM2714(str(path)).read()  # type: ignore[attr-defined]
    [scan] = tm27.read(path.read_bytes(), str(path))
    assert scan.wavelength.tolist() == theirs.wavelengths.tolist() and scan.values.tolist() == theirs.values.tolist()
    assert scan.unit == "relative" and scan.title == theirs.header.description
