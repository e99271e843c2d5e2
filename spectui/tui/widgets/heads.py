"""Who is in the panes and how far to trust them: the desk's top rows."""

from __future__ import annotations

from spectui.charts.cells import Form, Line, Span, fitted
from spectui.charts.heads import Head, head, heads, pane_heads
from spectui.core.quality import trust, worst
from spectui.core.results import Result
from spectui.tui.layout import Box, Layout
from spectui.tui.state import Desk
from spectui.tui.widgets.beside import beside


def lines(desk: Desk, lay: Layout, box: Box, form: Form) -> list[Line]:
    """Return the heads of the panes; the position of A stands here where the keys have no room for it."""
    a = _head(desk.result_a, desk.position if box.width > 80 or lay.beside or lay.apart else "")
    b = _head(desk.result_b, "")
    width = box.width - 1
    if lay.apart and a is not None and b is not None:
        pane = lay.pane(box)
        return beside(pane_heads("A", a, pane, form), pane_heads("B", b, pane, form, a), box.width, form)
    if a is None:
        return [fitted([Span("No scan to show yet", "bright", bold=True)], width)]
    return heads(a, b, width, form)


def _head(result: Result | None, position: str) -> Head | None:
    if result is None:
        return None
    return head(result.scan, trust(result.flags), worst(result.flags) is not None, position)
