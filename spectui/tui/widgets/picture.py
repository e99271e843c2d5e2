"""The spectrum with its ribbon, the names of the bands and the caret line."""

from __future__ import annotations

from spectui.charts.canvas import canvas
from spectui.charts.cells import Form, Line, Span, fitted
from spectui.charts.ribbon import bands_line, ribbon
from spectui.tui.layout import Box, Layout
from spectui.tui.state import Desk


def lines(desk: Desk, lay: Layout, box: Box, form: Form, dim: bool) -> list[Line]:
    """Return the picture of the panes, together or apart."""
    chart = canvas(desk.scan_a, desk.scan_b, desk.view, box.width, box.height - 3, form)
    caret = fitted([Span(f"{desk.nm:g} nm")], box.width)
    return [*chart, ribbon(desk.view, box.width, form, dim), bands_line(desk.view, box.width, form), caret]
