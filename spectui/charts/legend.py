"""What stands over a chart: what is filled and what dotted, the unit, and whatever the picture alone would hide."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from spectui.charts.cells import Form, Span, cell_width, start_of
from spectui.charts.reduce import axis_kind, extremes_of
from spectui.charts.scale import Prefix, decimals, fixed, prefix
from spectui.charts.view import GUTTER, NOISE_SHARE, View
from spectui.core.scan import Scan

GAP = "   "
UNSEEN_SHARE = 0.01  # of the scale: an eighth of a row, where rows are few
END_NM = 5.0  # a scan that ends this much short of the view says where


def words_of(a: Scan | None, b: Scan | None, lead: Scan, view: View, form: Form) -> tuple[list[str], list[str]]:
    """Return what the legend may say and what it must: what is off the scale or not on it, and the unit."""
    may = ["A filled, B dotted"] if a is not None and b is not None else []
    must = []
    unit = axis_kind(lead, view)
    shown = prefix(unit, view.top, form)
    for name, scan in (("A", a), ("B", b)):
        if scan is None:
            continue
        first, last = scan.range_nm
        if first > view.lo + END_NM or last < view.hi - END_NM:
            may.append(f"{name} {first:.0f}-{last:.0f} nm")
        lowest, highest = extremes_of(scan, view)
        if axis_kind(scan, view) != unit:
            must.append(f"{name} scaled to A's peak")
        elif highest > view.top:
            must.append(f"{name} off the scale, to {_end(highest, view, shown, form)}")
        elif lowest < view.floor - NOISE_SHARE * view.top:
            must.append(f"{name} below the scale, to {_end(lowest, view, shown, form)}")
        elif 0.0 < highest < UNSEEN_SHARE * view.top:
            must.append(f"{name} hardly above 0")
    return may, [*must, shown.unit]


def _end(value: float, view: View, shown: Prefix, form: Form) -> str:
    """Return a value off the scale: three digits where it has decimals, no more of them than the scale's readings."""
    value *= shown.factor
    return fixed(value, min(decimals(view.top * shown.factor), decimals(abs(value))), form)


def add_legend(lines: list[tuple[Span, ...]], drawn: NDArray[np.bool_], words: tuple[list[str], list[str]]) -> None:
    """Write the legend into the first of `lines`, right-aligned, where the picture leaves it room.

    What it may say and finds no room beside the rest goes further left, or is left out. What it must say is written
    even over the picture: a scale without a unit says nothing, a peak cut off is not one.
    """
    may, must = words
    free = ~drawn[0]
    if _place(free, cell_width(f" {GAP.join(must)} ")) is None:
        while len(must) > 1 and cell_width(f" {GAP.join(must)} ") > free.size:
            must = must[1:]
        text = start_of(f" {GAP.join(must)} ", free.size)
        lines[0] = _written(lines[0], GUTTER + free.size - cell_width(text), text)
        free[free.size - cell_width(text) :] = False
    else:
        may = [*may, GAP.join(must)]
    while may:
        # The rightmost place for the last part, and as many of those before it as stand there too.
        last = f" {may[-1]} "
        at = _place(free, cell_width(last))
        if at is None:
            may = may[:-1]
            continue
        end = at + cell_width(last)
        texts = [f" {GAP.join(may[first:])} " for first in range(len(may))]
        first = next(i for i, text in enumerate(texts) if _fits(free, end - cell_width(text), end))
        lines[0] = _written(lines[0], GUTTER + end - cell_width(texts[first]), texts[first])
        free[end - cell_width(texts[first]) : end] = False
        may = may[:first]


def _fits(free: NDArray[np.bool_], start: int, end: int) -> bool:
    return start >= 0 and bool(free[start:end].all())


def _place(free: NDArray[np.bool_], cells: int) -> int | None:
    """Return the rightmost place where `cells` free cells stand together."""
    if cells > free.size:
        return None
    room = np.flatnonzero(np.convolve(free, np.ones(cells, dtype=int), "valid") == cells)
    return int(room[-1]) if room.size else None


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
