"""The wavelength axis: a ribbon in the colours of the wavelengths, and under it the names of the bands."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from spectui.charts.cells import Form, Line, Span, cell_width, fitted
from spectui.charts.view import GUTTER, View, column, plot_width

VISIBLE = (400.0, 730.0)  # beyond, the ribbon is hatched: there is little or nothing to see
EDGES = (400.0, 500.0, 600.0, 700.0)
STEP = 2  # cells of one colour
# name, from, to; the keys are those of core's bands.
BANDS = (
    ("uv", "uv", 280.0, 400.0),
    ("blue", "blue", 400.0, 500.0),
    ("green", "green", 500.0, 600.0),
    ("red", "red", 600.0, 700.0),
    ("far_red", "far red", 700.0, 800.0),
)


@lru_cache(maxsize=32)
def ribbon(view: View, width: int, form: Form = Form(), dim: bool = False) -> Line:
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
    form: Form = Form(),
    differences: Mapping[str, tuple[str, bool]] | None = None,
    tag: str = "",
) -> Line:
    """Draw band edges and band names under the ribbon, `width` cells, gutter included.

    differences: band key → (text, bold), set after the band's name. tag: the words in the gutter (B-A).
    Edges start exactly at their column. A name that finds no room is left out, its difference with it; where there is
    room for the name alone the name stands alone.
    """
    end = GUTTER + plot_width(width)
    row: list[tuple[int, list[Span]]] = []
    taken: list[tuple[int, int]] = []
    for nm in EDGES:
        at = column(view, nm, width)
        if view.lo <= nm < view.hi and at + 3 <= end:
            row.append((at, [Span(f"{nm:.0f}", "dim")]))
            taken.append((at, at + 3))
    free_ends = _ends(view, width, differences, taken)
    row += free_ends
    taken += [(at, at + 3) for at, _ in free_ends]
    for key, name, lo, hi in BANDS:
        left = max(column(view, lo, width), GUTTER) if lo < view.hi else end
        right = min(column(view, hi, width), end) if hi > view.lo else GUTTER
        left = max([stop + 1 for start, stop in taken if start <= left < stop] or [left])
        right = min([start - 1 for start, stop in taken if start < right <= stop or start == right] or [right])
        difference = differences.get(key) if differences else None
        spans = _named(name, difference, form)
        if _cells(spans) > right - left:
            spans = spans[:1]
        spare = right - left - _cells(spans)
        if spare >= 0:
            row.append((left + (spare + 1) // 2, spans))
    spans = [Span(tag, "bright", bold=True)] if tag else []
    place = cell_width(tag)
    for at, part in sorted(row, key=lambda item: item[0]):
        spans += [Span(" " * (at - place)), *part]
        place = at + _cells(part)
    return fitted(spans, width)


def _ends(
    view: View, width: int, differences: object, taken: list[tuple[int, int]]
) -> list[tuple[int, list[Span]]]:
    """Return the wavelengths at the plot's two ends, where they are no band edge and nothing else needs the room."""
    end = GUTTER + plot_width(width)
    found = []
    zoomed = view.hi - view.lo < 150.0
    for nm, at in ((view.lo, GUTTER), (view.hi, end - 3)):
        clear = all(at >= stop + 1 or at + 3 <= start - 1 for start, stop in taken)
        room = zoomed or (at > GUTTER and differences is None)
        if clear and room:
            found.append((at, [Span(f"{nm:.0f}", "dim")]))
    return found


def _named(name: str, difference: tuple[str, bool] | None, form: Form) -> list[Span]:
    if difference is None:
        return [Span(name, "text")]
    text, bold = difference
    return [Span(name, "text"), Span(" " + _glyphs(text, form), "bright" if bold else "dim", bold=bold)]


def _glyphs(text: str, form: Form) -> str:
    from spectui.report.numbers import ascii_only

    return ascii_only(text) if form.ascii else text


def _cells(spans: list[Span]) -> int:
    return sum(cell_width(span.text) for span in spans)
