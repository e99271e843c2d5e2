"""The spectrum as plain text, for the commands: the same picture as the desk's, without colour."""

from __future__ import annotations

from collections.abc import Sequence

from spectui.charts.canvas import canvas
from spectui.charts.cells import FULL, Form, plain
from spectui.charts.ribbon import bands_line, ribbon
from spectui.charts.view import View, fit
from spectui.core.scan import Scan


def text_chart(
    scans: Scan | Sequence[Scan], width: int = 79, form: Form = FULL, height: int = 12, view: View | None = None
) -> list[str]:
    """Return the lines of a chart of one scan, or of A and B: `height` of the picture, then ribbon and band names.

    Blanks at the end of lines are left out. Dots over the fill need reverse video, which plain text has not: a
    second scan over the fill is drawn all the same, where both share a cell by its dots.
    """
    shown = [scans] if isinstance(scans, Scan) else list(scans[:2])
    view = fit(shown) if view is None else view
    form = form._replace(color=False)
    a, b = shown[0], shown[1] if len(shown) > 1 else None
    lines = canvas(a, b, view, width, height, form)
    return [plain(line).rstrip() for line in (*lines, ribbon(view, width, form), bands_line(view, width, form))]
