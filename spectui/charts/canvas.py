"""The spectrum: A a neutral fill with an edge in eighths of a cell, B a thin dotted line over it.

Where A's edge and B share a cell only one shape fits. The dots win, and the cell takes the fill as its ground when A
covers at least half of it, never when B is a dot or more above A: so the order of the two is never shown reversed.
Differences under half a row are not truthful in the picture; the numbers carry them.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from spectui.charts.cells import FULL, Form, Line, Span, merge
from spectui.charts.legend import add_legend, words_of
from spectui.charts.reduce import Columns, axis_kind, columns, dot_rows, peak_of
from spectui.charts.scale import Scale, scale, ticks
from spectui.charts.view import GUTTER, NOISE_SHARE, View, plot_width
from spectui.core.scan import Scan

Grid = NDArray[np.int64]
Floats = NDArray[np.float64]

_EIGHTHS = np.array([ord(c) for c in " ▁▂▃▄▅▆▇█"])
_BRAILLE = 0x2800
# The dots of a braille cell, two a row from its upper edge, in the order of its bits from the highest.
_DOT_ORDER = [7, 6, 5, 3, 1, 4, 2, 0]
_ROWS_OF_BITS = (0x80 | 0x40, 0x20 | 0x04, 0x10 | 0x02, 0x08 | 0x01)  # from the lower edge
# The upper edge of each pattern's highest dot and the lower edge of its lowest, as shares of the cell from below.
_HIGHEST = np.array(
    [max([(r + 1) / 4 for r, row in enumerate(_ROWS_OF_BITS) if bits & row] or [0]) for bits in range(256)]
)
_LOWEST = np.array([min([r / 4 for r, row in enumerate(_ROWS_OF_BITS) if bits & row] or [1]) for bits in range(256)])
BLANK, FILL, DOTS, DOTS_ON_FILL, HUNG, GHOST, DOTS_ON_GHOST, GHOST_HUNG = range(8)
_STYLES = [  # ink, ground, bold, reverse, of each of these
    ("faint", "bg", False, False),
    ("fill", "bg", False, False),
    ("dots", "bg", False, False),
    ("dots", "fill", False, False),
    ("fill", "bg", False, True),
    ("ghost", "bg", False, False),
    ("dots", "ghost", False, False),
    ("ghost", "bg", False, True),
]
# The look of a blank after each style: the same ink on the plain ground.
_BESIDE = np.array([BLANK, FILL, DOTS, DOTS, FILL, GHOST, DOTS, GHOST])


def canvas(
    a: Scan | None,
    b: Scan | None,
    view: View,
    width: int,
    height: int,
    form: Form = FULL,
    *,
    ghost: Scan | None = None,
    outline: bool = False,
    legend: bool = True,
) -> list[Line]:
    """Draw A filled and B dotted: `height` lines of `width` cells, the y axis in the first GUTTER of them.

    ghost: a scan drawn as a faint fill where A would be (B's pane, when A and B stand apart).
    outline: A's edge alone, for the thinnest lines. legend: the unit, and what stands for what, in the top right.
    The axis has the unit of the first of a, ghost, b that is given. A scan of another unit is scaled to its peak,
    and the legend says so. A scan draws nothing where it does not reach.
    """
    lead = next((scan for scan in (a, ghost, b) if scan is not None), None)
    cells = plot_width(width)
    on = scale(view, height)
    codes = np.full((height, cells), ord(" "), dtype=np.int64)
    styles = np.zeros((height, cells), dtype=np.int64)
    body = a if a is not None else ghost
    cover = np.zeros((height, cells))
    if body is not None:
        cover = _fill(codes, styles, columns(body, view, cells), on, form, ghost=a is None, outline=outline)
    if b is not None and lead is not None:
        _dots(codes, styles, cover, b, _match(b, lead, view), view, on, form)
    lines = _spans(codes[::-1], styles[::-1], form)
    labels = ticks(view, height, axis_kind(lead, view), form) if lead is not None else {}
    drawn = [(*_axis(labels.get(height - 1 - i), form), *line) for i, line in enumerate(lines)]
    if legend and lead is not None:
        add_legend(drawn, styles[::-1] != BLANK, words_of(a, b, lead, view, form))
    return [merge(line) for line in drawn]


def _match(b: Scan, lead: Scan, view: View) -> float:
    """Return the factor B is drawn with: 1, or where the units differ what brings its peak to the lead's."""
    if axis_kind(b, view) == axis_kind(lead, view):
        return 1.0
    peaks = peak_of(lead, view), peak_of(b, view)
    return peaks[0] / peaks[1] if min(peaks) > 0.0 else 1.0


def _fill(codes: Grid, styles: Grid, reduced: Columns, on: Scale, form: Form, *, ghost: bool, outline: bool) -> Floats:
    """Draw the fill from zero to each column's extremes; return how much of each cell it covers, 0 to 1, from below.

    What hangs below zero covers its cell from above: its share is negative.
    """
    rows = np.arange(on.rows)[:, None]
    eighths = np.nan_to_num(np.rint(reduced.upper * on.per_unit * 8.0), posinf=0.0)
    hung = np.nan_to_num(np.rint(reduced.lower * on.per_unit * 8.0))
    up = np.clip(eighths - (rows - on.zero) * 8, 0, 8) * (rows >= on.zero)
    down = np.clip(-hung - (on.zero - 1 - rows) * 8, 0, 8) * (rows < on.zero)
    if outline:
        up = up * (rows - on.zero >= _edge_from(eighths))
        down = down * (on.zero - 1 - rows >= _edge_from(-hung))
    style, hanging = (GHOST, GHOST_HUNG) if ghost else (FILL, HUNG)
    if form.ascii:
        mark = ord("." if ghost else ":")
        for part in (up, down):
            codes[part >= 4] = mark
            styles[part >= 4] = style
        return (up - down) / 8.0
    above, below, full = up > 0, (down > 0) & (down < 8), down == 8
    codes[above] = _EIGHTHS[up[above].astype(np.int64)]
    styles[above] = style
    codes[full], styles[full] = _EIGHTHS[8], style
    # No block hangs from a cell's upper edge: the block of the rest, reversed, does.
    codes[below] = _EIGHTHS[8 - down[below].astype(np.int64)]
    styles[below] = hanging
    if ghost and not form.color:
        codes[above | full] = ord("░")
        codes[below], styles[below] = ord("░"), style
    return (up - down) / 8.0


def _edge_from(eighths: Floats) -> Floats:
    """Return the lowest row of each column's outline: its edge's, or what joins it to a lower neighbour's edge."""
    rows = np.ceil(eighths / 8.0) - 1  # -1 where the column is empty
    beside = np.minimum(np.concatenate((rows[:1], rows[:-1])), np.concatenate((rows[1:], rows[-1:])))
    # An edge of less than half a cell would float above its neighbour's: it takes the cell beneath with it.
    thin = eighths - rows * 8 < 4
    return np.asarray(np.clip(np.minimum(rows, beside + 1 - thin), 0, None))


def _dots(codes: Grid, styles: Grid, cover: Floats, b: Scan, factor: float, view: View, on: Scale, form: Form) -> None:
    """Draw the dotted line over what is there, by the rule for shared cells (see the module's text)."""
    across, up = (1, 1) if form.ascii else (2, 4)
    height, cells = codes.shape
    reduced = columns(b, view, cells * across)
    slack = NOISE_SHARE * view.top if view.floor >= 0.0 else 0.0
    # Noise below an axis that stands at zero lies on it: the line does not break there.
    scaled = (values * factor for values in reduced)
    reduced = Columns(*(np.where((v < 0.0) & (v >= -slack), 0.0, v) for v in scaled))
    dots = dot_rows(reduced, on.per_unit * up, on.zero * up, height * up)
    if form.ascii:
        codes[dots], styles[dots] = ord("*"), DOTS
        return
    parts = dots.reshape(height, up, cells, across)[:, ::-1].transpose(0, 2, 1, 3).reshape(height, cells, 8)
    bits = np.packbits(parts[..., _DOT_ORDER], axis=2)[..., 0]
    here = bits != 0
    codes[here] = _BRAILLE + bits[here].astype(np.int64)
    highest, lowest = _HIGHEST[bits], _LOWEST[bits]
    beyond = np.where(cover >= 0, highest - cover, 1.0 - lowest + cover)
    covered = np.logical_and(np.abs(cover) >= 0.5, beyond < 0.25)
    ghosted = np.isin(styles, (GHOST, GHOST_HUNG))
    styles[here] = np.where(covered, np.where(ghosted, DOTS_ON_GHOST, DOTS_ON_FILL), DOTS)[here]


def _spans(codes: Grid, styles: Grid, form: Form) -> list[list[Span]]:
    """Turn the grid into runs; blanks look like what stands before them, so that they cost nothing."""
    blank = styles == BLANK
    places = np.where(blank, 0, np.arange(styles.shape[1]))
    looks = np.take_along_axis(styles, np.maximum.accumulate(places, axis=1), axis=1)
    looks = np.where(blank, _BESIDE[looks], looks)
    changes: Grid = looks[:, 1:] != looks[:, :-1]
    styled = _STYLES if form.color else [_plainly(*style) for style in _STYLES]
    lines = []
    for row, look, change in zip(codes, looks, changes, strict=True):
        text = row.astype("<u4").tobytes().decode("utf-32-le")
        stops = [0, *(np.flatnonzero(change) + 1).tolist(), len(text)]
        lines.append([Span(text[i:j], *styled[look[i]]) for i, j in pairwise(stops)])
    return lines


def _plainly(ink: str, ground: str, bold: bool, reverse: bool) -> tuple[str, str, bool, bool]:
    """Return a style without colour: the fill is the text's own colour, dots over it are what it leaves free."""
    return ink, "bg", bold, reverse or ground == "fill"


def _axis(label: str | None, form: Form) -> tuple[Span, Span]:
    """Return the y axis of one row: the label ends two cells before the plot."""
    if label is None:
        return Span(" " * (GUTTER - 1), "dim"), Span("|" if form.ascii else "│", "faint")
    text = label.rjust(GUTTER - 2)[-(GUTTER - 2) :] + " "
    return Span(text, "dim"), Span("+" if form.ascii else "┤", "faint")
