"""Series files; values by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spectui.core.errors import FileError, UnitError
from spectui.files.read import read_bytes
from spectui.files.series import is_series, read_series

HEAD = "# title: bench 3\n# unit: mW/m2/nm\n"
TEXT = HEAD + (
    "time,integration_ms,temperature_c,dark_taken_at,flags,400,410,420.5\n"
    "2026-03-14T09:00:00+01:00,20,24.5,2026-03-14T08:50:00+01:00,,1,2,3\n"
    "2026-03-14T09:00:20+01:00,20,,,near_saturation own_code,4,5,6\n"
    "# gap: 2026-03-14T09:00:40+01:00 the command failed\n"
    "2026-03-14T09:01:00+01:00,,,,,7,8,9e-3\n"
)


def test_each_row_is_a_reading() -> None:
    series = read_series(TEXT.encode(), "day.txt")
    assert len(series) == 3 and series.values.shape == (3, 3)
    np.testing.assert_array_equal(series.wavelength, [400, 410, 420.5])
    np.testing.assert_array_equal(series.values, np.array([[1, 2, 3], [4, 5, 6], [7, 8, 9e-3]]) * 1e-3)
    np.testing.assert_array_equal(series.seconds - series.seconds[0], [0, 20, 60])
    assert series.seconds[0] == 1773475200.0  # 2026-03-14 08:00 UTC
    assert [(gap.time, gap.reason, gap.line) for gap in series.gaps] == [
        ("2026-03-14T09:00:40+01:00", "the command failed", 6)
    ]
    assert series.notes == () and (series.unit, series.given_unit) == ("W/m2/nm", "mW/m2/nm")
    assert dict(series.meta) == {"title": "bench 3"}


def test_readings_as_scans_share_the_arrays() -> None:
    series = read_series(TEXT.encode(), "day.txt")
    scans = series.scans()
    assert [scan.index for scan in scans] == [0, 1, 2]
    for row, scan in enumerate(scans):
        assert scan.wavelength is series.wavelength and np.shares_memory(scan.values, series.values)
        assert scan.values.tobytes() == series.values[row].tobytes() and not scan.values.flags.writeable
    assert dict(scans[0].meta) == {
        "title": "bench 3",
        "taken_at": "2026-03-14T09:00:00+01:00",
        "integration_ms": "20",
        "temperature_c": "24.5",
        "dark_taken_at": "2026-03-14T08:50:00+01:00",
    }
    assert [(flag.code, flag.rank) for flag in scans[1].flags] == [("near_saturation", "fault"), ("own_code", "doubt")]
    assert "integration_ms" not in scans[2].meta and scans[2].flags == ()


def test_the_one_door_reads_a_series() -> None:
    for data in (
        TEXT.encode(),
        TEXT.encode("utf-8-sig"),
        TEXT.replace("\n", "\r\n").encode(),
        TEXT.replace(",", "\t").encode(),
    ):
        assert is_series(data[:100])
        scans = read_bytes(data, "day.txt")
        assert [scan.taken_at for scan in scans][2] == "2026-03-14T09:01:00+01:00"
        assert scans[2].values[2] == 9e-3 * 1e-3
    assert read_bytes(TEXT.replace(",", ";").encode(), "d")[1].values[0] == 4 * 1e-3


@pytest.mark.parametrize("header", ["time,400,410", "Time , 400 nm, 410nm", "time,flags,400,410", "TIME\t400\t410"])
def test_no_reserved_column_is_required(header: str) -> None:
    mark = "\t" if "\t" in header else ","
    cells = ["2026-03-14T09:00:00Z", *([""] if "flags" in header else []), "1", "2"]
    (scan,) = read_bytes(f"{header}\n{mark.join(cells)}\n".encode(), "d")
    assert scan.unit == "relative" and scan.index == 0
    np.testing.assert_array_equal(scan.wavelength, [400, 410])


def test_a_row_cut_short_at_any_place_is_told_and_left_out() -> None:
    whole = TEXT.encode()
    last = whole.rindex(b"2026")
    for end in range(last + 1, len(whole)):
        series = read_series(whole[:end], "day.txt")
        assert len(series) == 2 and "line 7" in series.notes[0]
        earlier, latest = series.scans()
        assert earlier.flags == () and "row_cut_short" in {flag.code for flag in latest.flags}
    assert read_series(whole[:last], "day.txt").notes == ()


ERRORS = [
    ("2026-03-14T09:00:00Z,1,abc\n", ["line 2", "column 3", "'abc'"]),
    ("2026-03-14T09:00:00Z,1,\n", ["line 2", "column 3", "empty", "--skip-gaps"]),
    ("2026-03-14T09:00:00Z,1,nan\n", ["line 2", "column 3", "--skip-gaps"]),
    ("2026-03-14T09:00:00Z,1,inf\n", ["line 2", "column 3", "'inf'"]),
    ("2026-03-14T09:00:00Z,1,1e400\n", ["line 2", "column 3"]),
    ("2026-03-14T09:00:00Z,1,1_0\n", ["line 2", "column 3"]),
    ("2026-03-14T09:00:00Z,1\n", ["line 2", "3 cells"]),
    ("2026-03-14T09:00:00Z,1,2,3\n", ["line 2", "3 cells", "got 4"]),
    ("2026-03-14T09:00:00Z\n", ["line 2", "3 cells"]),
    ("2026-03-14T09:00:00,1,2\n", ["line 2", "offset"]),
    ("yesterday,1,2\n", ["line 2", "offset", "'yesterday'"]),
    ("2026-03-14T09:00:00Z,1,2\n# gap: soon lamp off\n", ["line 3", "offset"]),
    ("", ["rows of readings"]),
]


@pytest.mark.parametrize(("rows", "words"), ERRORS)
def test_an_error_names_its_place(rows: str, words: list[str]) -> None:
    with pytest.raises(FileError) as error:
        read_bytes(("time,400,410\n" + rows).encode(), "day.txt")
    assert all(word in str(error.value) for word in ["day.txt", *words]), str(error.value)


@pytest.mark.parametrize(
    ("header", "words"),
    [
        ("time,400", "at least 2 columns"),
        ("time,400,x", "column 3"),
        ("time,400,flags", "column 3"),
        ("time,40,50", "column 2"),
        ("time,flags,flags,400,410", "flags heads two columns"),
        ("time,400,400", "heads two columns"),
    ],
)
def test_an_error_in_the_header(header: str, words: str) -> None:
    with pytest.raises(FileError, match=words):
        read_bytes(f"{header}\n2026-03-14T09:00:00Z{',1' * header.count(',')}\n".encode(), "day.txt")


def test_gaps_in_a_row_are_left_out_of_that_reading_on_request() -> None:
    text = "time,400,410,420\n2026-03-14T09:00:00Z,1,,3\n2026-03-14T09:00:10Z,4,5,6\n"
    first, second = read_bytes(text.encode(), "d", skip_gaps=True)
    np.testing.assert_array_equal(first.wavelength, [400, 420])
    np.testing.assert_array_equal(first.values, [1, 3])
    assert [flag.code for flag in first.flags] == ["gaps_skipped"] and second.flags == ()


def test_unsorted_columns_are_sorted_and_times_that_go_back_are_told() -> None:
    text = "time,410,400\n2026-03-14T09:00:00Z,1,2\n2026-03-14T08:00:00Z,3,4\n"
    series = read_series(text.encode(), "d")
    np.testing.assert_array_equal(series.wavelength, [400, 410])
    np.testing.assert_array_equal(series.values, [[2, 1], [4, 3]])
    assert [flag.code for flag in series.flags] == ["unsorted"] and "line 3" in series.notes[0]


def test_a_unit_that_contradicts() -> None:
    with pytest.raises(UnitError):
        read_bytes(TEXT.encode(), "d", unit="counts")


@given(st.lists(st.lists(st.floats(-1e9, 1e9), min_size=3, max_size=3), min_size=1, max_size=5))
def test_values_come_back_to_the_bit(rows: list[list[float]]) -> None:
    lines = [f"2026-03-14T09:00:{at:02d}Z,{','.join(map(repr, row))}" for at, row in enumerate(rows)]
    series = read_series(("time,400,410,420\n" + "\n".join(lines) + "\n").encode(), "d")
    assert series.values.tobytes() == np.array(rows).tobytes()
