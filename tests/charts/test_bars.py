"""The bars of the differences: thick never beyond what is sure, the scale stepped and printed."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.bars import Bar, bars, room, scale_end
from spectui.charts.cells import Form, line_width, plain
from tests.charts.scenes import BARS

UNIT = "µmol m⁻² s⁻¹"
FORMS = [Form(), Form(color=False), Form(ascii=True)]
VALUES = st.floats(-1e4, 1e4).filter(lambda v: abs(v) > 1e-3)


@pytest.mark.parametrize(("most", "end"), [(27, 30), (30, 30), (31, 50), (0.04, 0.05), (7, 10), (0, 1), (1001, 2000)])
def test_the_scale_steps(most: float, end: float) -> None:
    assert scale_end(most) == end


def test_the_picture_in_ascii() -> None:
    assert [plain(line).rstrip() for line in bars(BARS, UNIT, 78, Form(ascii=True))] == [
        "B-A   by band, umol/m2/s                        thick: sure   thin: +-, k = 2",
        "      blue     -12 +-5              ----+---======|",
        "      green    -16 +-11     ---------+--------====|",
        "      red      -13 +-11       ---------+---------=|",
        "      far red    ~ +-2                           -|--",
        "                        -30                       0                       +30",
    ]


@settings(deadline=None)
@given(
    st.lists(st.tuples(VALUES, st.floats(1e-3, 1e4)), min_size=1, max_size=5),
    st.integers(40, 150),
    st.sampled_from(FORMS),
)
def test_thick_ends_at_what_is_sure_and_thin_at_the_uncertainty(
    numbers: list[tuple[float, float]], width: int, form: Form
) -> None:
    rows = [Bar("band", v, u, "x", "±y", within=abs(v) <= u) for v, u in numbers]
    lines = bars(rows, UNIT, width, form)
    assert [line_width(line) for line in lines] == [width] * (len(rows) + 2)
    end = scale_end(max(abs(v) + u for v, u in numbers))
    left, half = room(width)
    zero, unit = left + half, half / end
    for (v, u), line in zip(numbers, lines[1:-1], strict=True):
        text = plain(line)[left:]
        thick = [i + left - zero for i, c in enumerate(text) if c in "━╸╺╼╾┿="]
        thin = [i + left - zero for i, c in enumerate(text) if c in "─╴╶╼╾┼-+"]
        sure = max(abs(v) - u, 0.0)
        assert all(abs(cell) <= sure * unit + 1.01 and cell * v >= 0 for cell in thick)
        if sure * unit > 1.6:
            assert thick
        assert all(v * unit - u * unit - 1.01 <= cell <= v * unit + u * unit + 1.01 for cell in thin)


def test_an_unknown_uncertainty_has_no_thick_part_and_is_said() -> None:
    lines = bars([Bar("blue", -12, None, "−12"), Bar("red", 4, None, "+4")], UNIT, 78)
    assert "thin: ± not known" in plain(lines[0])
    assert not any(c in plain(line) for line in lines[1:3] for c in "━╸╺╼╾┿")
    assert "─" in plain(lines[1]) and "┼" in plain(lines[1])
    mixed = bars([Bar("blue", -12, None, "−12"), Bar("red", 4, 1, "+4")], UNIT, 90)
    assert "or not known" in plain(mixed[0])


def test_a_band_that_is_not_available_has_no_bar() -> None:
    lines = bars([Bar("blue", -12, 5, "−12", "±5"), Bar("uv", None, None, "–")], UNIT, 78)
    assert plain(lines[2]).split() == ["uv", "–", "│"]


def test_numbers_stand_on_their_decimal_points() -> None:
    rows = [Bar("blue", -8.95, None, "−8.95"), Bar("green", -13.7, None, "−13.7"), Bar("FR to 750", 0.934, 1, "+0.934")]
    texts = [plain(line)[: room(79)[0]] for line in bars(rows, UNIT, 79)[1:-1]]
    assert len({text.index(".") for text in texts}) == 1
    assert texts[2] == "      FR to 750  +0.934  "
    # Where there is no room for both, the number is whole and its spread left out.
    assert plain(bars([*rows[:2], rows[2]._replace(spread="±0.025")], UNIT, 79)[3]).startswith(texts[2])
