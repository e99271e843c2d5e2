"""B - A by band, as bars in µmol."""

from __future__ import annotations

from spectui.charts.bars import bars
from spectui.charts.cells import Form, Line
from spectui.report.numbers import unit
from spectui.tui import numbers
from spectui.tui.layout import Box
from spectui.tui.state import Desk


def lines(desk: Desk, box: Box, form: Form) -> list[Line]:
    """Return the bars of the four bands."""
    compared = desk.comparison
    return [] if compared is None else bars(numbers.bars(compared), unit("umol/m2/s"), box.width - 1, form)
