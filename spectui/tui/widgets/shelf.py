"""The shelf: the scans of the folder."""

from __future__ import annotations

from spectui.charts.cells import Form, Line, Span, fitted
from spectui.tui.layout import Box
from spectui.tui.state import Desk


def lines(desk: Desk, box: Box, form: Form) -> list[Line]:
    """Return the shelf with the rule on its right."""
    return [fitted([Span(("> " if n == desk.cursor else "  ") + row.name)], box.width) for n, row in enumerate(desk.rows)]
