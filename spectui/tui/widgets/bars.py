"""B - A by band, as bars."""

from __future__ import annotations

from spectui.charts.cells import Form, Line
from spectui.tui.layout import Box, Layout
from spectui.tui.state import Desk


def lines(desk: Desk, lay: Layout, box: Box, form: Form) -> list[Line]:
    """Return the bars."""
    return []
