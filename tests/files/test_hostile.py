"""Untrusted files: whatever the bytes, an answer or an error of ours, and soon."""

import contextlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.core.errors import FileError, SpectuiError
from spectui.core.scan import Scan
from spectui.files.layout import Layout, propose, read_with
from spectui.files.read import read_bytes
from spectui.files.series import is_series, read_series

MIB = 1 << 20
starts = st.sampled_from(
    [
        b"",
        b"\xef\xbb\xbf",
        b"\xff\xfe",
        b"\xfe\xff",
        b"<",
        b"<?xml ",
        b"##TITLE=",
        b"time,400,410\n",
        b"# unit: counts\n",
        b"nm;x\n",
        b"400,1\n",
        b"\0",
        b"PK\x03\x04",
        b"%PDF-1.4\n",
    ]
)
pieces = st.sampled_from(
    [
        "400",
        "410",
        "0.5",
        "0,5",
        "1e400",
        "nan",
        "inf",
        "1_0",
        "-",
        ",",
        ";",
        "\t",
        " ",
        "\n",
        "\r",
        "\r\n",
        "#",
        "# unit: ",
        "counts",
        "W/m2/nm",
        "[",
        "]",
        "(",
        ")",
        '"',
        ":",
        "time",
        "2026-03-14T09:12:00Z",
        "# gap: ",
        "wavelength",
        "title",
        "expanded_uncertainty",
        "\x1b[31m",
        "\u202e",
        "\x85",
        "\u2028",
        "٣",
        "<",
        "&",
        "=",
        "##",
        "$$",
        "\x0c",
        "é",
    ]
)
texts = st.lists(pieces, max_size=40).map("".join)


def settled(data: bytes, **options: object) -> None:
    """Read; only an error of ours may come, and scans that come are sound."""
    with contextlib.suppress(SpectuiError):
        scans = read_bytes(data, "hostile/file", **options)  # type: ignore[arg-type]
        assert scans and all(isinstance(scan, Scan) for scan in scans)
        for scan in scans:
            assert scan.wavelength.size == scan.values.size >= 2
            assert (scan.wavelength[1:] > scan.wavelength[:-1]).all()
            assert abs(scan.values).max() < float("inf")
            assert not any("\0" in text or "\n" in text or "\r" in text for item in scan.meta.items() for text in item)


@given(starts, st.binary(max_size=300), st.booleans())
@settings(max_examples=300)
def test_any_bytes(start: bytes, data: bytes, skip_gaps: bool) -> None:
    settled(start + data, skip_gaps=skip_gaps)


@given(starts, texts, st.sampled_from(["utf-8", "latin-1", "utf-16"]), st.booleans())
@settings(max_examples=500)
def test_any_text_of_the_words_that_mean_something(start: bytes, text: str, code: str, skip_gaps: bool) -> None:
    settled(start + text.encode(code, "replace"), skip_gaps=skip_gaps)


@given(starts, texts)
@settings(max_examples=200)
def test_a_proposal_for_any_text(start: bytes, text: str) -> None:
    data = start + text.encode()
    with contextlib.suppress(SpectuiError):
        layout, notes = propose(data, "hostile/file.dat")
        assert notes and Layout.parse(layout.dump().encode(), "x") == layout
        with contextlib.suppress(SpectuiError):
            assert read_with(layout, data, "x")


@given(
    texts,
    st.builds(
        Layout,
        delimiter=st.sampled_from([",", ";", " ", "\t"]),
        decimal=st.sampled_from(".,"),
        orientation=st.sampled_from(["column", "row"]),
        blocks=st.sampled_from(["one", "stacked", "apart"]),
        first_line=st.integers(1, 4),
        labels=st.integers(0, 2),
        columns=st.sampled_from([(), (1, 2), (2, 1)]),
        date=st.sampled_from([None, "%d/%m/%Y", "%", "%Q"]),
    ),
    st.booleans(),
)
@settings(max_examples=300)
def test_any_layout_on_any_text(text: str, layout: Layout, skip_gaps: bool) -> None:
    settled(text.encode(), layout=layout, skip_gaps=skip_gaps)


@given(st.binary(max_size=200) | texts.map(str.encode))
def test_any_bytes_as_a_layout(data: bytes) -> None:
    with contextlib.suppress(SpectuiError):
        Layout.parse(data, "own.toml")


@given(texts, st.booleans())
def test_any_text_as_a_series(text: str, skip_gaps: bool) -> None:
    data = b"time,flags,400,410\n2026-03-14T09:12:00Z,," + text.encode()
    assert is_series(data)
    with contextlib.suppress(SpectuiError):
        read_series(data, "day.txt", skip_gaps=skip_gaps).scans()


LARGE = {
    "one line of digits": b"1" * (60 * MIB),
    "one line of cells": b"400," * (15 * MIB),
    "one line of quotes": b'"' * (4 * MIB),
    "quoted cells": b'"a",' * (MIB // 5) + b'"b',
    "a million columns": b"400" + b",1" * 1_000_000 + b"\n410" + b",1" * 1_000_000 + b"\n",
    "many columns": (b"400" + b",1" * 100_000 + b"\n") * 4,
    "only line ends": b"\n" * (60 * MIB),
    "rows without end": b"400,1\n" * (8 * MIB),
    "a comment without end": b"#" + b" x" * (4 * MIB) + b"\n400,1\n410,2\n",
    "a key a hundred thousand times": b"# own: "
    + b"x" * 90
    + b"\n"
    + b"".join(b"# own: %090d\n" % at for at in range(100_000)),
    "a header of one long word": b"nm " + b"x" * (MIB // 2) + b"\n400 1\n410 2\n",
    "a header of brackets": b"nm " + b"(" * (MIB // 2) + b"\n400 1\n410 2\n",
    "a header of many cells": b"nm" + b" x" * (MIB // 4) + b"\n400 1\n410 2\n",
    "a number of many digits": b"400,0." + b"1" * (MIB // 2) + b"\n410,1" + b"0" * (MIB // 2) + b"\n",
    "a series with a long header": b"time" + b",400" * (MIB // 2) + b"\n",
    "rows with one bad cell": b"nm,x\n"
    + b"".join(b"%d.%04d,1\n" % (100 + at // 5000, at % 5000) for at in range(150_000))
    + b"x\n",
    "spaces": b"400" + b" " * MIB + b"1\n410" + b" " * MIB + b"2\n",
    "xml": b"<a>" * (MIB // 2),
    "jcamp": b"##TITLE=" + b"x" * (8 * MIB),
}


# What is odd and still a scan.
READ = ("a comment without end", "a header of one long word", "a header of brackets")


@pytest.mark.parametrize("name", [name for name in LARGE if name not in READ])
def test_large_and_odd_files_end_in_an_error(name: str) -> None:
    with pytest.raises(FileError):
        read_bytes(LARGE[name], "hostile/file")


@pytest.mark.parametrize("name", READ)
def test_large_and_odd_heads_end(name: str) -> None:
    with contextlib.suppress(FileError):
        assert len(read_bytes(LARGE[name], "hostile/file")) == 1


@pytest.mark.parametrize("name", ["one line of cells", "only line ends", "many columns", "spaces", "quoted cells"])
def test_a_proposal_for_a_large_and_odd_file_ends(name: str) -> None:
    with contextlib.suppress(FileError):
        propose(LARGE[name], "hostile/file")
