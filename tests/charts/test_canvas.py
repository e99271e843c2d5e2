"""The canvas: heights to an eighth of a cell, dots to a quarter, widths exact, no glyph or colour a form has not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.canvas import canvas
from spectui.charts.cells import Form, Line, line_width, plain
from spectui.charts.reduce import columns
from spectui.charts.scale import scale, ticks
from spectui.charts.view import GUTTER, View, fit, plot_width
from spectui.core.scan import Scan
from tests.charts.lights import NM, A, B, red_blue, scan, sodium, sun, white

FORMS = [Form(), Form(color=False), Form(ascii=True), Form(ascii=True, color=False)]
LIGHTS = [A, scan(red_blue()), scan(sodium()), scan(sun()), scan(white() - 0.08), scan(np.zeros(421))]


def grid(lines: list[Line]) -> list[str]:
    return [plain(line)[GUTTER:] for line in lines]


def looks(lines: list[Line]) -> list[list[tuple[str, str, bool]]]:
    """Return (ink, ground, reverse) of every cell of the plot."""
    return [[(*tuple(span[1:3]), span.reverse) for span in line for _ in span.text][GUTTER:] for line in lines]


def height_of(rows: list[str], i: int) -> float:
    """Return the height of a filled column, in rows, from the glyphs alone."""
    return sum(" ▁▂▃▄▅▆▇█".index(row[i]) / 8 for row in rows)


@settings(max_examples=40, deadline=None)
@given(
    st.integers(20, 200), st.integers(3, 50), st.sampled_from(FORMS), st.sampled_from(LIGHTS), st.sampled_from(LIGHTS)
)
def test_every_line_has_its_width_and_only_what_the_form_has(
    width: int, height: int, form: Form, a: Scan, b: Scan
) -> None:
    view = fit([a, b])
    for lines in (
        canvas(a, b, view, width, height, form),
        canvas(None, b, view, width, height, form, ghost=a),
        canvas(a, None, view, width, height, form, outline=True),
    ):
        assert len(lines) == height
        assert [line_width(line) for line in lines] == [width] * height
        spans = [span for line in lines for span in line]
        assert not any(span.ink.startswith("#") for span in spans)
        if form.ascii:
            assert all(plain(line).isascii() for line in lines)
        if not form.color:
            assert {span.ground for span in spans} == {"bg"}


@settings(max_examples=40, deadline=None)
@given(st.integers(20, 160), st.integers(3, 50), st.sampled_from(LIGHTS[:4]))
def test_the_top_of_a_column_is_the_value_within_an_eighth_of_a_cell(width: int, height: int, a: Scan) -> None:
    view = fit([a])
    rows = grid(canvas(a, None, view, width, height, legend=False))
    expected = columns(a, view, plot_width(width)).upper * height / view.top
    got = [height_of(rows, i) for i in range(plot_width(width))]
    assert np.abs(got - expected).max() <= 1 / 16 + 1e-9


@settings(max_examples=40, deadline=None)
@given(st.integers(20, 160), st.integers(3, 50), st.sampled_from(LIGHTS[:4]))
def test_dots_lie_within_a_quarter_of_a_cell_of_the_curve(width: int, height: int, b: Scan) -> None:
    view = fit([b])
    rows = grid(canvas(None, b, view, width, height, legend=False))
    reduced = columns(b, view, plot_width(width) * 2)
    for i in range(plot_width(width)):
        for side, bits in enumerate(((1, 2, 4, 64), (8, 16, 32, 128))):
            low = reduced.low[2 * i + side] * height / view.top
            high = reduced.high[2 * i + side] * height / view.top
            seen = 0
            for r, row in enumerate(rows):
                code = ord(row[i]) - 0x2800 if row[i] != " " else 0
                for quarter, bit in enumerate(bits):
                    if code & bit:
                        middle = height - r - (quarter + 0.5) / 4
                        assert low - 0.25 <= middle <= high + 0.25
                        seen += 1
            assert seen


def test_a_spike_is_seen_in_fill_and_dots() -> None:
    values = np.zeros(421)
    values[150] = 1.0
    spike = scan(values)
    view = fit([spike])
    filled = grid(canvas(spike, None, view, 80, 12, legend=False))
    assert max(height_of(filled, i) for i in range(74)) == pytest.approx(12 / view.top, abs=1 / 16)
    dotted = grid(canvas(None, spike, view, 80, 12, legend=False))
    assert dotted[2].strip() and not dotted[0].strip()


def test_the_cell_rule_never_shows_the_order_reversed() -> None:
    """B a dot or more above A: plain ground. B at or below A, A at least half of the cell: the fill is the ground."""
    view = View(380, 800, top=4.0)

    def cell(a: float, b: float) -> tuple[str, str, bool]:
        one, two = scan(np.full(421, a)), scan(np.full(421, b))
        lines = canvas(one, two, view, 26, 4, legend=False)
        row = next(r for r in range(3, -1, -1) if "⠀" < grid(lines)[r][10] <= "⣿")
        return looks(lines)[row][10]

    assert cell(1.75, 1.1) == ("dots", "fill", False)
    assert cell(1.75, 1.6) == ("dots", "fill", False)
    assert cell(1.5, 1.9) == ("dots", "bg", False)
    assert cell(1.5, 1.6) == ("dots", "bg", False)
    assert cell(1.6, 1.6) == ("dots", "fill", False)
    assert cell(1.25, 1.1) == ("dots", "bg", False)
    assert cell(3.0, 1.1) == ("dots", "fill", False)


def test_without_colour_dots_over_the_fill_are_in_reverse_video() -> None:
    lines = canvas(scan(np.full(421, 0.9)), scan(np.full(421, 0.25)), View(380, 800), 40, 10, Form(color=False))
    assert looks(lines)[7][10] == ("dots", "bg", True)
    assert looks(lines)[8][10] == ("fill", "bg", False) and grid(lines)[8][10] == "█"


def test_where_a_scan_does_not_reach_nothing_is_drawn() -> None:
    nm = NM[50:311]
    narrow = scan(np.full(nm.size, 0.5), nm=nm)
    view = fit([A, narrow])
    for a, b in ((narrow, None), (None, narrow)):
        rows = grid(canvas(a, b, view, 79, 11, legend=False))
        assert not any(row[:8].strip() or row[55:].strip() for row in rows)
        assert any(row[9:54].strip() for row in rows)


def test_the_legend_says_what_the_picture_hides() -> None:
    view = fit([A, B])
    assert plain(canvas(A, B, view, 79, 11)[0]).endswith(" A filled, B dotted   W m⁻² nm⁻¹ ")
    assert plain(canvas(A, B, view, 79, 11, Form(ascii=True))[0]).endswith(" A filled, B dotted   W/m2/nm ")
    low = replace(view, top=0.3)
    assert "A off the scale, to 0.644" in plain(canvas(A, None, low, 120, 11)[0])
    assert "A hardly above 0" in plain(canvas(A, None, replace(view, top=100.0), 120, 11)[0])
    assert "A off the scale, to 64445   " in plain(canvas(scan(A.values * 1e5), None, view, 120, 11)[0])
    assert "A below the scale, to −0.300" in plain(canvas(scan(np.full(421, -0.3)), None, view, 120, 11)[0])
    other = scan(sodium(), unit=None)
    assert "B scaled to A's peak" in plain(canvas(A, other, view, 120, 11)[0])
    narrow = scan(np.full(261, 0.1), nm=NM[50:311])
    assert "B 430-690 nm" in plain(canvas(A, narrow, view, 120, 11)[0])
    photon = fit([A], axis="photon")
    assert plain(canvas(A, None, photon, 79, 11)[0]).endswith(" µmol m⁻² s⁻¹ nm⁻¹ ")
    assert plain(canvas(other, None, fit([other]), 79, 11)[0]).endswith(" relative ")
    raw = scan(sodium() * 20000, unit="counts")
    assert plain(canvas(raw, None, fit([raw]), 79, 11)[0]).endswith(" counts / 1000 ")


def test_of_two_units_each_peak_reaches_as_high() -> None:
    other = scan(sodium() * 700, unit="counts")
    rows = grid(canvas(A, other, fit([A]), 79, 24, legend=False))
    dots = [r for r, row in enumerate(rows) if any("⠀" < c <= "⣿" for c in row)]
    fills = [r for r, row in enumerate(rows) if any(c in "▁▂▃▄▅▆▇█" for c in row)]
    assert min(dots) == min(fills)


def test_below_zero_the_fill_hangs_from_the_zero_line() -> None:
    view = View(380, 800, top=1.0, floor=-0.5)
    rows = grid(canvas(scan(np.full(421, -0.3)), None, view, 40, 12, legend=False))
    assert [row[5] for row in rows] == [" "] * 8 + ["█", "█", "▅", " "]
    on = scale(view, 12)
    assert on.zero == 4 and on.row(1.0) == pytest.approx(12) and on.row(-0.5) >= 0
    assert looks(canvas(scan(np.full(421, -0.3)), None, view, 40, 12, legend=False))[10][5] == ("fill", "bg", True)


@pytest.mark.parametrize(
    ("top", "rows", "expected"),
    [
        (0.7, 11, {0: "0", 3: "0.2", 6: "0.4", 9: "0.6"}),
        (0.7, 15, {0: "0", 4: "0.2", 8: "0.4", 12: "0.6"}),
        (0.4, 11, {0: "0", 5: "0.2", 10: "0.4"}),  # the end of the scale is the edge of the top row
    ],
)
def test_labels_stand_in_the_row_of_their_value(top: float, rows: int, expected: dict[int, str]) -> None:
    assert ticks(View(380, 800, top=top), rows, "W/m2/nm") == expected


@settings(deadline=None)
@given(st.floats(1e-7, 1e7), st.integers(3, 60), st.floats(-0.9, 0))
def test_labels_are_short_and_never_more_than_one_a_row(top: float, rows: int, floor: float) -> None:
    labels = ticks(View(380, 800, top=top, floor=floor * top), rows, "counts")
    assert "0" in labels.values()
    assert all(len(label) <= 5 and 0 <= row < rows for row, label in labels.items())


def test_labels_end_two_cells_before_the_plot() -> None:
    line = next(plain(line) for line in canvas(A, None, fit([A]), 79, 11) if "0.4" in plain(line))
    assert line.startswith(" 0.4 ┤") and GUTTER == 6


def test_an_outline_is_the_edge_of_the_fill() -> None:
    view = fit([A])
    full = grid(canvas(A, None, view, 79, 11, legend=False))
    edge = grid(canvas(A, None, view, 79, 11, legend=False, outline=True))
    for i in range(73):
        tops = [next((r for r in range(11) if rows[r][i] != " "), 11) for rows in (full, edge)]
        assert tops[0] == tops[1]
    assert sum(row.count("█") for row in edge) < sum(row.count("█") for row in full) / 2


def test_nothing_to_show_is_an_empty_plot() -> None:
    lines = canvas(None, None, View(380, 800), 40, 5)
    assert [line_width(line) for line in lines] == [40] * 5 and not any(row.strip() for row in grid(lines))
