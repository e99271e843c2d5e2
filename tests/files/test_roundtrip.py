"""csv, TM-27 and JCAMP-DX lose nothing on the way from one to the other, or say what they lose."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.core.errors import SpectuiError
from spectui.core.scan import LARGEST_VALUE, Scan
from spectui.files import csvtext, jcamp, tm27
from spectui.files.delimited import read as read_csv
from spectui.files.fast import read as read_fast
from spectui.files.head import comment
from spectui.files.read import read_bytes
from spectui.files.write import text_of, write

FORMATS = ("csv", "tm27", "jcamp")
UNITS = ("W/m2/nm", "counts", "relative", "transmittance")

finite = st.floats(-LARGEST_VALUE, LARGEST_VALUE)
values_like = st.one_of(
    finite, st.floats(-2.0, 2.0), st.sampled_from([0.0, -0.0, 5e-324, LARGEST_VALUE, 1e16, 1e-5, 0.1])
)
# Any character at all, with those that have a meaning in one of the formats more often than chance.
character = st.one_of(
    st.characters(), st.sampled_from(list("<&>\"'#=:$\\/ ,;[]()\t\n\r")), st.sampled_from(["$$", "##", "]]>", "&amp;"])
)
anything = st.lists(character, max_size=60).map("".join)
long_text = st.lists(st.sampled_from(["word ", "##", "$$", " ", "é", '"', "\\", "x" * 30]), max_size=40).map("".join)
KEYS = ("title", "taken_at", "place", "fixture", "fixture_id", "instrument", "notes", "operator", "origin", "owner")
MORE = ("bandwidth_fwhm_nm", "bandwidth_corrected", "document_creator", "spectral_quantity", "expanded_uncertainty")
keys = st.one_of(st.sampled_from(KEYS), st.sampled_from(MORE), anything).filter(lambda key: key != "unit")
metadata = st.dictionaries(keys, st.one_of(anything, long_text), max_size=6)
# What a line of text holds: printable, one line, no outer space, no colon in the key.
plain_text = st.text(st.characters(categories=("L", "N", "P", "S", "Zs")), min_size=1, max_size=50).map(str.strip)
plain_value = plain_text.filter(lambda text: text and not text.startswith("//"))
plain_key: st.SearchStrategy[str] = st.one_of(
    st.sampled_from(KEYS), plain_text.filter(lambda key: key and ":" not in key and key == key.lstrip("# \t"))
).filter(lambda key: comment(f"# {key}: x") == (key, "x") and key != "unit")
plain_metadata = st.dictionaries(plain_key, plain_value, max_size=6)


@st.composite
def grids(draw: st.DrawFn) -> list[float]:
    n = draw(st.integers(2, 30))
    kind = draw(st.sampled_from(["decimal", "even", "uneven"]))
    if kind == "uneven":
        return sorted(draw(st.sets(st.floats(100.0, 5000.0), min_size=n, max_size=n)))
    step = draw(st.sampled_from([1.0, 5.0, 0.1, 0.25, 0.3, 1 / 3]))
    first = draw(st.floats(100.0, 4000.0))
    if kind == "decimal":
        return [round(round(first, 1) + i * step, 2) for i in range(n)]
    return [first + i * step for i in range(n)]


@st.composite
def scans(draw: st.DrawFn, meta: st.SearchStrategy[dict[str, str]], wide: bool = False) -> Scan:
    grid = draw(grids())
    n = len(grid)
    spread = draw(st.one_of(st.none(), st.lists(st.floats(0, 1e6), min_size=n, max_size=n))) if wide else None
    values = draw(st.lists(values_like, min_size=n, max_size=n))
    return Scan.build(grid, values, draw(st.sampled_from(UNITS)), draw(meta), expanded_uncertainty=spread)


def same(back: Scan, scan: Scan, meta: bool = True) -> None:
    assert back.wavelength.tobytes() == scan.wavelength.tobytes()
    assert back.values.tobytes() == scan.values.tobytes()
    assert back.unit == scan.unit
    assert back.flags == ()
    if meta:
        assert dict(back.meta) == dict(scan.meta)


def through(scan: Scan, to: str) -> tuple[Scan, list[str]]:
    document, notes = text_of([scan], to)
    [back] = read_bytes(document.encode(), "x")
    return back, notes


@settings(max_examples=300, deadline=None)
@given(scans(metadata, wide=True), st.sampled_from(["tm27", "jcamp"]))
def test_any_metadata_through_tm27_and_jcamp(scan: Scan, to: str) -> None:
    back, notes = through(scan, to)
    same(back, scan)
    if to == "jcamp" and scan.expanded_uncertainty is not None:
        assert back.expanded_uncertainty is not None
        assert back.expanded_uncertainty.tobytes() == scan.expanded_uncertainty.tobytes()
    elif scan.expanded_uncertainty is not None:
        assert back.expanded_uncertainty is None and len(notes) == 1 and "uncertainty" in notes[0]
    else:
        assert notes == []


@settings(max_examples=100, deadline=None)
@given(scans(plain_metadata), st.sampled_from(list(permutations(FORMATS))))
def test_the_three_formats_in_every_order(scan: Scan, order: tuple[str, ...]) -> None:
    back = scan
    for to in order:
        back, notes = through(back, to)
        assert notes == []
    same(back, scan)


@settings(max_examples=300, deadline=None)
@given(scans(metadata, wide=True), st.sampled_from([",", "\t"]))
def test_csv_holds_the_numbers_whatever_the_metadata_and_tells_what_it_cannot_hold(scan: Scan, delimiter: str) -> None:
    document, notes = text_of([scan], "csv", delimiter)
    [back] = read_bytes(document.encode(), "x")
    same(back, scan, meta=False)
    lost = [key for key, value in scan.meta.items() if back.meta.get(key) != value]
    assert len(lost) == len(notes)
    if scan.expanded_uncertainty is not None:
        assert back.expanded_uncertainty is not None
        assert back.expanded_uncertainty.tobytes() == scan.expanded_uncertainty.tobytes()


@settings(max_examples=100, deadline=None)
@given(scans(plain_metadata, wide=True))
def test_the_fast_reader_reads_our_csv_as_the_tolerant_one(scan: Scan) -> None:
    document, _ = text_of([scan], "csv")
    fast = read_fast(document.encode(), "x")
    # It leaves what is not printable (a no-break space) to the tolerant reader.
    assert (fast is not None) == all(line.isprintable() for line in document.split("\n"))
    if fast is not None:
        same(fast[0], scan)


@settings(max_examples=100, deadline=None)
@given(scans(plain_metadata), st.lists(anything, min_size=1, max_size=4), st.booleans())
def test_several_scans_of_one_grid(scan: Scan, titles: list[str], with_uncertainty: bool) -> None:
    several = [
        Scan.build(
            scan.wavelength,
            scan.values * 0.5 if n % 2 else scan.values,
            scan.unit,
            dict(scan.meta) | {"title": title},
            expanded_uncertainty=np.abs(scan.values) / 4 if with_uncertainty and n % 2 else None,
        )
        for n, title in enumerate(["one", *titles])
    ]
    for part in [several] if len(csvtext.parts(several)) == 1 else []:
        document, notes = text_of(part, "csv")
        back = read_bytes(document.encode(), "x")
        assert notes == [] and len(back) == len(part)
        for there, here in zip(back, part, strict=True):
            same(there, here)
            assert (there.expanded_uncertainty is None) == (here.expanded_uncertainty is None)
    document, notes = text_of(several, "jcamp")
    assert notes == []
    for there, here in zip(read_bytes(document.encode(), "x"), several, strict=True):
        same(there, here)


def test_plain_titles_share_a_csv(tmp_path: Path) -> None:
    several = [Scan.build([400, 410], [n, 2 * n], "W/m2/nm", {"title": f"bar, {n}", "place": "bay 3"}) for n in (1, 2)]
    assert write(several, tmp_path / "a.csv") == []
    back = read_csv((tmp_path / "a.csv").read_bytes(), "a.csv")
    assert [dict(scan.meta) for scan in back] == [dict(scan.meta) for scan in several]


@pytest.mark.parametrize("to", FORMATS)
def test_a_scan_without_a_unit_stays_one_where_the_format_knows_that(to: str) -> None:
    back, notes = through(Scan.build([400, 410], [1, 2]), to)
    assert back.unit == "relative" and notes == []
    assert back.given_unit == ("relative" if to == "tm27" else None)
    [applied] = read_bytes(text_of([back], to)[0].encode(), "x", unit="mW/m2/nm")
    assert applied.unit == "W/m2/nm" and applied.values.tolist() == [1e-3, 2e-3]


BASE = Scan.build(
    [400, 400.5, 402, 410],
    [0.1, -1e-17, 3, 4],
    "W/m2/nm",
    {"title": "bar", "taken_at": "2031-05-06T07:08", "a": "b\nc"},
    expanded_uncertainty=[0.1, 0.2, 0.3, 0.4],
)
EVEN = BASE.with_(wavelength=np.array([400.0, 401.0, 402.0, 403.0]))
DOCUMENTS = [text_of([scan], to)[0] for to in ("tm27", "jcamp") for scan in (BASE, EVEN)]
DOCUMENTS.append(text_of([BASE, EVEN], "jcamp")[0])
scraps = st.one_of(
    st.sampled_from(["##", "##END=", "$$", "=", "?", "%", "J9", "s99", "1E999", "9" * 5000, "nan", "<", "<a>", "]]>"]),
    st.sampled_from(
        ["&#0;", "\n", '"', "<!DOCTYPE x>", "<?xml?>", "</SpectralData>", "##TITLE=\n", "-1E-999", "\ud800"]
    ),
    st.text(max_size=5),
)


@settings(max_examples=500, deadline=None)
@given(
    st.sampled_from(DOCUMENTS),
    st.lists(st.tuples(st.floats(0, 1), st.integers(0, 40), scraps), min_size=1, max_size=4),
    st.booleans(),
)
def test_a_damaged_file_is_read_or_told_and_nothing_else(
    document: str, changes: list[tuple[float, int, str]], skip_gaps: bool
) -> None:
    for place, cut, scrap in changes:
        at = int(place * len(document))
        document = document[:at] + scrap + document[at + cut :]
    data = document.encode("utf-8", "surrogatepass")
    for read in (tm27.read, jcamp.read):
        try:
            scans = read(data, "x", skip_gaps=skip_gaps)
        except SpectuiError as error:
            assert str(error).startswith("x: ") or "unknown unit" in str(error)
        else:
            assert all(np.isfinite(scan.values).all() for scan in scans)
