"""The cards: the numbers of the panes in one ruled strip."""

from __future__ import annotations

from spectui.charts.cells import Form, Line, Span, fitted
from spectui.report.numbers import number
from spectui.tui.layout import Box, Layout
from spectui.tui.state import Desk


def lines(desk: Desk, lay: Layout, box: Box, form: Form) -> list[Line]:
    """Return the strip."""
    result = desk.result_a
    if result is None:
        return []
    words = "  ".join(f"{key} {number(result[key].value)}" for key in desk.cards)
    return [fitted([Span(words)], box.width)]
