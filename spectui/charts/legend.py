"""What stands over a chart: what is filled and what dotted, the unit, and whatever the picture alone would hide."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from spectui.charts.cells import Form, Span, cell_width, start_of
from spectui.charts.reduce import axis_kind, extremes_of
from spectui.charts.scale import decimals, fixed, prefix
from spectui.charts.view import GUTTER, View
from spectui.core.scan import Scan

GAP = "   "


def words_of(a: Scan | None, b: Scan | None, lead: Scan, view: View, form: Form) -> list[str]:
    """Return the parts of the legend, the most needed last: the unit."""
    parts = []
    unit = axis_kind(lead, view)
    shown = prefix(unit, view.top, form)
    for name, scan in (("A", a), ("B", b)):
        if scan is None or axis_kind(scan, view) != unit:
            continue
        highest = extremes_of(scan, view)[1]
        if highest > view.top:
            value = fixed(highest * shown.factor, decimals(view.top * shown.factor), form)
            parts.append(f"{name} off the scale, to {value}")
    if a is not None and b is not None:
        scaled = axis_kind(b, view) != unit
        parts.insert(0, "A filled, B dotted, scaled to A's peak" if scaled else "A filled, B dotted")
    return [*parts, shown.unit]


def add_legend(lines: list[tuple[Span, ...]], drawn: NDArray[np.bool_], words: list[str], width: int) -> None:
    """Write the legend into the first of `lines`, right-aligned, where the picture leaves it room.

    Moves left past what is drawn there; parts that find no room are left out, the first ones first. The unit alone is
    written even over the picture: a scale without a unit says nothing.
    """
    free = ~drawn[0]
    for first in range(len(words)):
        text = f" {GAP.join(words[first:])} "
        cells = cell_width(text)
        if cells > free.size:
            continue
        room = np.convolve(free, np.ones(cells, dtype=int), "valid") == cells
        if room.any():
            start = int(np.flatnonzero(room)[-1])
            lines[0] = _written(lines[0], GUTTER + start, text)
            return
    text = start_of(f" {words[-1]} ", free.size)
    lines[0] = _written(lines[0], GUTTER + free.size - cell_width(text), text)


def _written(line: tuple[Span, ...], at: int, text: str) -> tuple[Span, ...]:
    """Replace the cells of a line (one character each) from `at` by a dim text."""
    end = at + cell_width(text)
    written: list[Span] = []
    done = 0
    for span in line:
        stop = done + len(span.text)
        if done < at:
            written.append(span._replace(text=span.text[: at - done]))
        if done <= at < stop:
            written.append(Span(text, "dim"))
        if stop > end:
            written.append(span._replace(text=span.text[max(end - done, 0) :]))
        done = stop
    return tuple(written)
