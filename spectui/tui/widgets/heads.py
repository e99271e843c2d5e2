"""Who is in the panes and how far to trust them: the desk's top rows."""

from __future__ import annotations

from spectui.charts.cells import Form, Line, Span, fitted
from spectui.core.quality import trust
from spectui.tui.layout import Box, Layout
from spectui.tui.state import Desk


def lines(desk: Desk, lay: Layout, box: Box, form: Form) -> list[Line]:
    """Return the heads of the panes."""
    found = []
    for tag, result in (("A", desk.result_a), ("B", desk.result_b)):
        if result is not None:
            words = f"{tag} {result.scan.title}  {trust(result.flags)}"
            found.append(fitted([Span(words, "bright", bold=True)], box.width))
    return found
