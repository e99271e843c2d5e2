"""The spectrum with its ribbon, the names of the bands and the caret line."""

from __future__ import annotations

from spectui.charts.canvas import canvas
from spectui.charts.caret import caret_line
from spectui.charts.cells import Form, Line
from spectui.charts.ribbon import bands_line, ribbon
from spectui.core.scan import Scan
from spectui.tui.layout import Box, Layout
from spectui.tui.numbers import band_differences
from spectui.tui.state import Desk
from spectui.tui.widgets.beside import beside


def lines(desk: Desk, lay: Layout, box: Box, form: Form, dim: bool) -> list[Line]:
    """Return the picture of the panes, together or apart. dim: the ribbon without its colours."""
    a, b = desk.scan_a, desk.scan_b
    if lay.apart and a is not None and b is not None:
        pane = lay.pane(box)
        one = _picture(desk, a, None, None, pane, box.height, form, dim)
        two = _picture(desk, None, b, a, pane, box.height, form, dim)
        return beside(one, two, box.width, form)
    tell = band_differences(desk.comparison) if desk.comparison is not None and not lay.bars else None
    return _picture(desk, a, b, None, box.width - 1, box.height, form, dim, tell)


def _picture(
    desk: Desk,
    a: Scan | None,
    b: Scan | None,
    ghost: Scan | None,
    width: int,
    height: int,
    form: Form,
    dim: bool,
    differences: dict[str, tuple[str, bool]] | None = None,
) -> list[Line]:
    view = desk.view
    tag = ("B-A" if form.ascii else "B−A") if differences else ""
    return [
        *canvas(a, b, view, width, height - 3, form, ghost=ghost),
        ribbon(view, width, form, dim),
        bands_line(view, width, form, differences, tag),
        caret_line(a or ghost, b, view, desk.nm, width, form, without_a=a is None and b is not None),
    ]
