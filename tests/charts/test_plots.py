"""The adapter to plotext: what is drawn where, in which glyphs, on a figure of its own."""

from __future__ import annotations

from math import cos, pi, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.cells import Form, line_width, plain
from spectui.charts.grid import Cells, Mark, Window, cell_of, equal
from spectui.charts.plots import Bars, Curve, bars, plot
from spectui.charts.strokes import inside, walk

FORMS = [Form(), Form(color=False), Form(ascii=True)]
WINDOW = Window(0.0, 10.0, 0.0, 10.0)
CIRCLE = [(cos(2 * pi * k / 90), sin(2 * pi * k / 90)) for k in range(91)]


def drawn(cells: Cells) -> list[str]:
    return ["".join(cell.char for cell in row) for row in cells.rows]


@settings(deadline=None)
@given(st.floats(0, 10), st.floats(0, 10), st.integers(5, 90), st.integers(3, 40), st.sampled_from(FORMS))
def test_a_point_is_drawn_in_the_cell_that_holds_it(x: float, y: float, width: int, height: int, form: Form) -> None:
    cells = plot([Curve([(x, y), (x, y)])], [], WINDOW, width, height, form)
    found = [(k, r) for r, row in enumerate(cells.rows) for k, cell in enumerate(row) if cell.char != " "]
    assert len(found) == 1
    # plotext shrinks the canvas by 0.0033 of a cell: at the very edge of a cell the neighbour may have it.
    (column, row), across, down = found[0], x / 10 * width, (10 - y) / 10 * height
    assert column - 0.01 <= across <= column + 1.01 and row - 0.01 <= down <= row + 1.01


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(("width", "height"), [(40, 12), (30, 30), (61, 17)])
def test_a_circle_is_round_to_the_eye(form: Form, width: int, height: int) -> None:
    window = equal(Window(-1.2, 1.2, -1.2, 1.2), width, height)
    rows = [
        (r, row) for r, row in enumerate(drawn(plot([Curve(CIRCLE)], [], window, width, height, form))) if row.strip()
    ]
    across = max(len(row.rstrip()) for _, row in rows) - min(len(row) - len(row.lstrip()) for _, row in rows)
    up = rows[-1][0] - rows[0][0] + 1
    assert abs(across - 2 * up) <= 3


def test_inks_of_curves_and_their_order() -> None:
    across = Curve([(0, 5), (10, 5)], "dim")
    up = Curve([(5, 0), (5, 10)], "bright")
    cells = plot([across, up], [], WINDOW, 20, 10)
    assert cells.rows[5][0].ink == "dim" and cells.rows[0][10].ink == "bright" and cells.rows[5][10].ink == "bright"


def test_a_dotted_line_is_lighter_than_a_solid_one_and_in_ascii_has_its_own_mark() -> None:
    def dots(every: int) -> int:
        text = "".join(drawn(plot([Curve(CIRCLE, every=every)], [], Window(-1.2, 1.2, -1.2, 1.2), 40, 20)))
        return sum((ord(c) - 0x2800).bit_count() for c in text if c != " ")

    assert dots(0) > 1.5 * dots(2) > 2 * dots(4)
    text = "".join(drawn(plot([Curve(CIRCLE, every=2, mark="*")], [], WINDOW, 20, 10, Form(ascii=True))))
    assert set(text) == {" ", "*"}


@given(st.lists(st.tuples(st.floats(-30, 30), st.floats(-30, 30)), min_size=2, max_size=8))
def test_what_is_cut_lies_inside_and_on_the_line(points: list[tuple[float, float]]) -> None:
    for piece in inside(points, WINDOW):
        assert len(piece) >= 2
        assert all(0 <= x <= 10 and 0 <= y <= 10 for x, y in piece)


def test_a_line_that_leaves_comes_back_as_two() -> None:
    assert len(inside([(1, 1), (1, 20), (2, 20), (2, 1)], WINDOW)) == 2
    assert inside([(1, 1), (float("nan"), 2), (3, 3)], WINDOW) == []
    assert inside([(11, 0), (12, 10)], WINDOW) == []


def test_dots_are_an_even_way_apart() -> None:
    spots = walk([(0, 0), (3, 0), (3, 9)], (0.5, 1.0), 4)
    assert spots[:3] == [(0, 0), (2, 0), (3, 2)] and spots[-1] == (3, 6)


def test_a_word_that_must_is_written_over_and_another_looks_for_room() -> None:
    line = Curve([(0, 5), (10, 5)])
    marks = [Mark(5, 5, "A", "bright", must=True), Mark(2, 5, "name", places=((0, 0), (0, 1))), Mark(9, 5, "lost")]
    rows = drawn(plot([line], marks, WINDOW, 20, 10))
    assert rows[5][10] == "A" and "name" in rows[4] and not any("lost" in row for row in rows)


def test_cells_outside_the_window_have_none() -> None:
    assert cell_of(10.5, 3, WINDOW, 20, 10) is None and cell_of(10, 0, WINDOW, 20, 10) == (19, 9)


@settings(deadline=None)
@given(
    st.lists(st.one_of(st.none(), st.just(float("nan")), st.floats(-300, 300)), min_size=1, max_size=6),
    st.integers(8, 60),
    st.sampled_from(FORMS),
)
def test_lying_bars_end_at_their_value(values: list[float | None], width: int, form: Form) -> None:
    for a, b in ((values, []), ([], values)):
        cells = bars(Bars(a, b, -100, 100), width, len(values), form)
        assert len(cells.rows) == len(values) and {len(row) for row in cells.rows} == {width}
        zero, unit = width / 2, width / 200
        for value, row in zip(values, cells.rows, strict=True):
            at = [k for k, cell in enumerate(row) if cell.char != " "]
            if value is None or value != value:
                assert not at
                continue
            end = zero + min(max(value, -100), 100) * unit
            lo, hi = sorted((zero, end))
            assert all(lo - 1.01 < k + 0.5 < hi + 1.01 for k in at)
            if hi - lo > 1.1:
                reach = max(at) + 1 if value > 0 else min(at)
                assert abs(reach - end) <= 1.01 and len(at) >= hi - lo - 1.5


def test_dots_over_the_fill_lie_on_it_or_are_reversed() -> None:
    what = Bars([80.0], [40.0], 0, 100)
    assert {cell.ground for cell in bars(what, 20, 1).rows[0][:7]} == {"fill"}
    assert all(cell.reverse for cell in bars(what, 20, 1, Form(color=False)).rows[0][:7])
    assert drawn(bars(what, 20, 1, Form(ascii=True))) == ["********::::::::    "]


def test_upright_bars_stand_on_zero() -> None:
    rows = drawn(bars(Bars([10.0, -10.0, 5.0], [], -10, 10, True, 3, 2), 9, 4))
    assert rows == ["██       ", "██    ██ ", "   ██    ", "   ██    "]


def test_every_chart_is_a_figure_of_its_own_whatever_the_terminal_has() -> None:
    first = drawn(plot([Curve(CIRCLE)], [], Window(-1.2, 1.2, -1.2, 1.2), 200, 70))
    plot([Curve([(0, 0), (1, 1)])], [], WINDOW, 10, 5)
    again = plot([Curve(CIRCLE)], [], Window(-1.2, 1.2, -1.2, 1.2), 200, 70)
    assert drawn(again) == first and len(first) == 70 and {len(row) for row in first} == {200}
    assert {line_width(line) for line in again.lines()} == {200} and plain(again.lines()[3]) == first[3]
