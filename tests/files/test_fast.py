"""The fast path against the tolerant one, and numbers read at once against float(): to the bit."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from spectui.core.scan import Scan
from spectui.files import decimals, delimited, fast

# Property: where both paths read a file, they give the same scan to the bit.

numbers = st.one_of(
    st.floats(-1e6, 1e6).map(repr),
    st.integers(-1000, 70000).map(str),
    st.sampled_from(
        ["1e-5", "+2.5E3", ".5", "5.", "0", "-0.0", "1e400", "nan", "", "1_0", "inf", "0x1", "1,5", "-", "7e"]
    ),
)
plain = st.floats(-1e6, 1e6).map(repr)
heads = st.lists(
    st.sampled_from(
        [
            "# title: A",
            "# unit: mW/m2/nm",
            "#",
            "title;B",
            "place,c",
            "own\tx",
            "# \x1b: y",
            " # x: z",
            "nm,a",
            "nm;a [counts]",
            "nm,a,b",
            "nm a expanded_uncertainty",
            "\ufeff",
            "# unit: counts",
            "# title: é",
            '"q",r',
            "wavelength [um],x",
            "prose",
        ]
    ),
    max_size=4,
)


@st.composite
def files(draw: st.DrawFn) -> bytes:
    delimiter = draw(st.sampled_from([",", ";", "\t", " ", ", ", "  "]))
    columns = draw(st.integers(1, 3))
    cell = draw(st.sampled_from([plain, plain, numbers]))
    start = draw(st.sampled_from([380.0, 99.0, 250.25]))
    rows = [
        delimiter.join(
            [repr(start + draw(st.sampled_from([1, 1, 1, 0.5])) * at), *(draw(cell) for _ in range(columns))]
        )
        for at in range(draw(st.integers(1, 5)))
    ]
    if draw(st.integers(0, 9)) == 0:
        rows[draw(st.integers(0, len(rows) - 1))] = draw(
            st.sampled_from([" 400,1", "", "400", "x", "# unit: counts", '"400",1'])
        )
    end = draw(st.sampled_from(["\n", "\n", "\r\n", "\r"]))
    code = draw(st.sampled_from(["utf-8", "utf-8", "utf-8-sig", "latin-1"]))
    return (end.join([*draw(heads), *rows]) + draw(st.sampled_from([end, "", end * 2]))).encode(code, "replace")


def same(one: Scan, other: Scan) -> None:
    assert one.wavelength.tobytes() == other.wavelength.tobytes()
    assert one.values.tobytes() == other.values.tobytes()
    assert (one.expanded_uncertainty is None) == (other.expanded_uncertainty is None)
    if one.expanded_uncertainty is not None and other.expanded_uncertainty is not None:
        assert one.expanded_uncertainty.tobytes() == other.expanded_uncertainty.tobytes()
    assert (one.unit, one.given_unit, one.flags, one.index) == (other.unit, other.given_unit, other.flags, other.index)
    assert list(one.meta.items()) == list(other.meta.items())
    assert not one.values.flags.writeable and not one.wavelength.flags.writeable


def both(data: bytes, unit: str | None = None) -> bool:
    quick = fast.read(data, "f", unit)
    if quick is None:
        return False
    slow = delimited.read(data, "f", unit=unit)
    assert len(quick) == len(slow)
    for one, other in zip(quick, slow, strict=True):
        same(one, other)
    return True


@given(files(), st.sampled_from([None, "counts", "umol/m2/s/nm"]))
def test_both_paths_agree(data: bytes, unit: str | None) -> None:
    both(data, unit)


@given(st.lists(st.floats(-1e150, 1e150), min_size=2, max_size=9), st.sampled_from(",;\t "))
def test_both_paths_agree_on_plain_files_and_the_fast_one_takes_them(values: list[float], delimiter: str) -> None:
    rows = [f"{380 + at}{delimiter}{value!r}" for at, value in enumerate(values)]
    assert both(("# title: x\n# unit: umol/m2/s/nm\n" + "\n".join(rows) + "\n").encode())


cells = st.from_regex(r"[0-9]{0,9}\.[0-9]{0,9}|[0-9]{1,4}|-?[0-9]\.[0-9]{1,3}|\.|[0-9]\.[0-9]\.[0-9]", fullmatch=True)


@given(st.integers(2, 4).flatmap(lambda n: st.lists(st.lists(cells, min_size=n, max_size=n), min_size=1, max_size=6)))
def test_numbers_read_at_once_are_those_of_float(rows: list[list[str]]) -> None:
    found = decimals.columns_of("\n".join(map(",".join, rows)).encode(), ord(","), len(rows[0]))
    if found is not None:
        for at, column in enumerate(found[1], 1):
            assert column.tobytes() == np.array([float(row[at]) for row in rows]).tobytes()
        # The text of the first column is told from any other.
        other = [["9" + rows[0][0], *rows[0][1:]], *rows[1:]]
        again = decimals.columns_of("\n".join(map(",".join, other)).encode(), ord(","), len(rows[0]))
        assert again is None or again[0] != found[0]


decimal_cells = st.decimals(0, 99999, places=6, allow_nan=False).map(str) | st.decimals(0, 9, places=9).map(str)


@given(st.lists(st.lists(decimal_cells, min_size=2, max_size=2), min_size=2, max_size=8), st.booleans())
def test_plain_decimals_are_read_at_once_and_to_the_bit(values: list[list[str]], whole: bool) -> None:
    lines = [",".join([f"{380 + at}" if whole else f"{380 + at}.25", *row]) for at, row in enumerate(values)]
    found = decimals.columns_of("\n".join(lines).encode(), ord(","), 3)
    assert found is not None or any("E" in line or "." not in row for line in lines for row in line.split(",")[1:])
    if found is not None:
        for at, column in enumerate(found[1]):
            assert column.tobytes() == np.array([float(row[at]) for row in values]).tobytes()


def test_a_dot_in_the_wrong_cell_is_for_the_other_reader() -> None:
    for body in (
        b"380.0,0.1.2\n381,0.5\n382.0,0.25",
        b"380,0.1.2\n381,5",
        b"380.0.1,5\n381.0,0.5",
        b"380.0,.\n381.0,0.5",
    ):
        assert decimals.columns_of(body, ord(","), 2) is None
