"""The wavelength axis: a ribbon in the colours of the wavelengths, and under it the names of the bands."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from spectui.charts.cells import FULL, Form, Line, Span, cell_width, fitted
from spectui.charts.glyphs import glyphs
from spectui.charts.view import GUTTER, View, column, plot_width

VISIBLE = (400.0, 730.0)  # beyond, the ribbon is hatched: there is little or nothing to see
EDGES = (400.0, 500.0, 600.0, 700.0)
SHORT = {"far_red": "FR"}  # as in R:FR, where the band is cut short
STEP = 2  # cells of one colour
ZOOMED_NM = 150.0  # a narrower view says where it begins, and one that does not begin here
USUAL_NM = (380.0, 400.0)
# name, from, to; the keys are those of core's bands.
BANDS = (
    ("uv", "uv", 280.0, 400.0),
    ("blue", "blue", 400.0, 500.0),
    ("green", "green", 500.0, 600.0),
    ("red", "red", 600.0, 700.0),
    ("far_red", "far red", 700.0, 800.0),
)


@lru_cache(maxsize=32)
def ribbon(view: View, width: int, form: Form = FULL, dim: bool = False) -> Line:
    """Draw the ribbon, `width` cells, gutter included.

    In colour: cells of `#rrggbb` ink in steps of two. dim, without colour and in ASCII: segments with a gap at each
    band edge. Hatched beyond 400 and 730 nm in every form.
    """
    cells = plot_width(width)
    first, last = column(view, VISIBLE[0], width) - GUTTER, column(view, VISIBLE[1], width) - GUTTER
    edges = {column(view, nm, width) - GUTTER for nm in EDGES}
    plainly = dim or form.shapes
    spans = [Span(" " * GUTTER, "hatch")]
    for i in range(cells):
        if not first <= i <= last:
            spans.append(Span("/" if form.ascii else "╱", "hatch"))
        elif plainly:
            mark = "=" if form.ascii else "━"
            spans.append(Span(" " if i in edges else mark, "dim" if form.color else "text"))
        else:
            spans.append(Span("█", _step_colour(view, cells, max(first, 0), i)))
    return fitted(spans, width)


def _step_colour(view: View, cells: int, first: int, cell: int) -> str:
    """Return the colour at the middle of the step that the cell belongs to."""
    from spectui.charts.spectral_colours import colour_of

    middle = first + (cell - first) // STEP * STEP + STEP / 2
    return colour_of(view.lo + (view.hi - view.lo) * middle / cells)


def bands_line(
    view: View,
    width: int,
    form: Form = FULL,
    differences: Mapping[str, tuple[str, bool]] | None = None,
    tag: str = "",
) -> Line:
    """Draw band edges and band names under the ribbon, `width` cells, gutter included.

    differences: band key → (text, bold), set after the band's name. tag: the words in the gutter (B-A).
    Edges start exactly at their column. A name that finds no room is left out, its difference with it; where there is
    room for the name alone the name stands alone; far red is FR where that makes room.
    """
    edges: list[tuple[int, str]] = []
    for nm in EDGES:
        at = column(view, nm, width)
        clear = not edges or at > edges[-1][0] + 3
        if view.lo <= nm < view.hi and at + 3 <= GUTTER + plot_width(width) and clear:
            edges.append((at, f"{nm:.0f}"))
    without = _names(view, width, form, differences, edges)
    ends = _ends(view, width, edges)
    names = _names(view, width, form, differences, edges + ends)
    if _cells_of(names) < _cells_of(without):  # a name says more than the end of the axis
        names, ends = without, []
    row = [*names, *((at, [Span(text, "dim")]) for at, text in edges + ends)]
    spans = [Span(tag, "bright", bold=True)] if tag else []
    place = cell_width(tag)
    for at, part in sorted(row, key=lambda item: item[0]):
        spans += [Span(" " * (at - place)), *part]
        place = at + _cells(part)
    return fitted(spans, width)


_Placed = list[tuple[int, list[Span]]]


def _names(
    view: View,
    width: int,
    form: Form,
    differences: Mapping[str, tuple[str, bool]] | None,
    numbers: list[tuple[int, str]],
) -> _Placed:
    """Return the band names, each in the middle of what the numbers leave of its part of the axis."""
    end = GUTTER + plot_width(width)
    found: _Placed = []
    for key, name, lo, hi in BANDS:
        if hi <= view.lo or lo >= view.hi:
            continue
        left, right = max(column(view, lo, width), GUTTER), min(column(view, hi, width), end)
        if hi >= view.hi:
            right = end
        for at, text in numbers:
            if at <= left <= at + len(text):
                left = at + len(text) + 1
            elif left < at <= right:
                right = at - 1
        difference = differences.get(key) if differences else None
        short = SHORT.get(key, name)
        for spans in (_named(name, difference, form), _named(short, difference, form), [Span(name)], [Span(short)]):
            spare = right - left - _cells(spans)
            if spare >= 0:
                found.append((left + (spare + 1) // 2, spans))
                break
    return found


def _ends(view: View, width: int, edges: list[tuple[int, str]]) -> list[tuple[int, str]]:
    """Return the wavelengths at the plot's ends: the right one, and an unusual left one too, clear of the edges."""
    end = GUTTER + plot_width(width)
    right = f"{view.hi:.0f}"
    found = [(end - len(right), right)]
    if view.hi - view.lo < ZOOMED_NM or not USUAL_NM[0] <= view.lo <= USUAL_NM[1]:
        found.append((GUTTER, f"{view.lo:.0f}"))
    return [
        (at, text)
        for at, text in found
        if all(at >= edge + len(name) + 1 or at + len(text) + 1 <= edge for edge, name in edges)
    ]


def _cells_of(placed: _Placed) -> int:
    return sum(_cells(spans) for _, spans in placed)


def _named(name: str, difference: tuple[str, bool] | None, form: Form) -> list[Span]:
    if difference is None:
        return [Span(name, "text")]
    text, bold = difference
    return [Span(name, "text"), Span(" " + glyphs(text, form), "bright" if bold else "dim", bold=bold)]


def _cells(spans: list[Span]) -> int:
    return sum(cell_width(span.text) for span in spans)
