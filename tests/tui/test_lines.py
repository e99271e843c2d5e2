"""What is repainted when a line changes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spectui.charts.cells import Line, Span
from spectui.tui.widgets.lines import changed

PLAIN = (Span("one two three"),)


@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [
        (PLAIN, (Span("one 2wo three"),), (4, 5)),
        (PLAIN, (Span("one "), Span("two", "dim"), Span(" three")), (4, 7)),
        # Of a blank only the ground is seen.
        ((Span("a b"),), (Span("a"), Span(" ", "dim", bold=True), Span("b")), (0, 20)),
        ((Span("a b"),), (Span("a"), Span(" ", ground="panel"), Span("b")), (1, 2)),
        ((), (Span("x"),), (0, 1)),
        ((Span("x" * 30),), (Span("x" * 19 + "y"),), (19, 20)),
        # A wide character: all of the line.
        ((Span("光 a"),), (Span("光 b"),), (0, 20)),
    ],
)
def test_the_cells_that_differ(before: Line, after: Line, expected: tuple[int, int]) -> None:
    assert changed(before, after, 20) == expected


spans = st.lists(
    st.builds(Span, st.text("ab ", max_size=5), st.sampled_from(["text", "dim"]), st.sampled_from(["bg", "panel"])),
    max_size=5,
).map(tuple)


def cells(line: Line, width: int) -> list[tuple[str, str, str]]:
    found = [(c, "" if c == " " else s.ink, s.ground) for s in line for c in s.text]
    return (found + [(" ", "", "bg")] * width)[:width]


@given(spans, spans)
def test_outside_of_them_nothing_differs(before: Line, after: Line) -> None:
    left, right = changed(before, after, 12)
    old, new = cells(before, 12), cells(after, 12)
    assert old[:left] == new[:left]
    assert old[right:] == new[right:]
