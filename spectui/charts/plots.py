"""The one adapter to plotext: plain data in, cells in our roles out. Every chart but the spectrum is drawn here.

plotext draws curves, dots and bars on a bare canvas; axes, names and numbers are ours, so that they keep our words,
our roles and the glyphs of the form. It takes its time to import: it is loaded when the first chart is drawn.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import Any, NamedTuple

from spectui.charts.cells import FULL, Form
from spectui.charts.grid import Cell, Cells, Mark, Window, put
from spectui.charts.strokes import Point, inside, walk


class Curve(NamedTuple):
    """A polyline.

    every: 0 a solid line, n a dotted one with a dot every n dots. mark: its character in ASCII. A point that is not
    finite breaks the line.
    """

    points: Sequence[Point]
    ink: str = "bright"
    every: int = 0
    mark: str = "#"


def plot(
    curves: Sequence[Curve], marks: Sequence[Mark], window: Window, width: int, height: int, form: Form = FULL
) -> Cells:
    """Draw curves in their order, later ones over earlier ones, then the marks; `width` × `height` cells."""
    figure = _figure(window, width, height)
    inks = []
    for curve in curves:
        inks.append(curve.ink)
        _draw(figure, curve, len(inks), window, width, height, form)
    cells = _cells(figure, inks, width, height)
    for mark in sorted(marks, key=lambda mark: not mark.must):
        put(cells, mark, window, form)
    return cells


class Bars(NamedTuple):
    """Bars from zero: A's filled, B's dotted over them. A value that is None or NaN has no bar.

    lo, hi: the ends of the scale; a bar beyond them ends there. each: cells from one bar to the next, `thick` of them
    filled. upright: the bars stand side by side, else they lie one below the other, each in a row.
    """

    a: Sequence[float | None]
    b: Sequence[float | None]
    lo: float
    hi: float
    upright: bool = False
    each: int = 1
    thick: int = 1


def bars(what: Bars, width: int, height: int, form: Form = FULL) -> Cells:
    """Draw bars on `width` × `height` cells: plotext fills A's and dots B's, both share their cells as on the desk."""
    unit = (what.hi - what.lo) / (height if what.upright else width)
    # Positions along the other axis are in cells: bar i lies in the middle of its cells.
    if what.upright:
        window = Window(0, width, what.lo, what.hi)
    else:
        window = Window(what.lo, what.hi, 0, height)
    layers = []
    for values, kind in ((what.a, "fill"), (what.b, "dots")):
        strokes: list[list[Point]] = []
        for i, value in enumerate(values):
            if value is not None and isfinite(value):
                end = min(max(value, what.lo), what.hi)
                strokes += _strokes(end, _sides(i, what, height, kind, form), what, kind, unit, form)
        if what.upright:
            strokes = [[point[::-1] for point in stroke] for stroke in strokes]
        mark = (":" if kind == "fill" else "*") if form.ascii else "hd" if kind == "fill" else "braille"
        figure = _figure(window, width, height)
        _stroke(figure, strokes, mark, 1)
        layers.append(_cells(figure, [kind], width, height))
    under, over = layers
    for y, row in enumerate(over.rows):
        for x, cell in enumerate(row):
            if cell.char != " ":
                under.rows[y][x] = _shared(under.rows[y][x], cell, form)
    return under


def _shared(below: Cell, dots: Cell, form: Form) -> Cell:
    """Return B's dots over what A has in the same cell: on a full cell they lie on the fill."""
    if below.char != "█":
        return dots
    return dots._replace(ground="fill") if form.color else dots._replace(reverse=True)


def _sides(i: int, what: Bars, height: int, kind: str, form: Form) -> list[float]:
    """Return where a bar is drawn across its length, in cells: several strokes fill it, B's dots are one stroke."""
    if not what.upright:
        middle = height - i - 0.5
        return [middle] if form.ascii or kind == "dots" else [middle - 0.25, middle + 0.25]
    if kind == "dots":
        return [i * what.each + (0.5 if form.ascii or what.thick == 1 else what.thick / 2 - 0.25)]
    if form.ascii:
        return [i * what.each + k + 0.5 for k in range(what.thick)]
    return [i * what.each + (k + 0.5) / 2 for k in range(2 * what.thick)]


def _strokes(end: float, sides: list[float], what: Bars, kind: str, unit: float, form: Form) -> list[list[Point]]:
    """Return the polylines of one bar, each (along, across); none where it is too short to be told from zero."""
    sign = 1 if end > 0 else -1
    if kind == "fill":
        # In halves of a cell, from inside the first to inside the last: on an edge it would take the next one too.
        step = unit / (2 if form.ascii else 4)
        if abs(end) < step:
            return []
        return [[(sign * step, side), (sign * max(abs(end) - step, step), side)] for side in sides]
    dots = unit if form.ascii else unit / (4 if what.upright else 2)  # the length of a dot
    count = round(abs(end) / dots)
    if not count:
        return []
    every = 2 if what.upright and not form.ascii else 1
    along = sorted({*range(0, count, every), count - 1})
    return [[(sign * (k + 0.5) * dots, side)] for k in along for side in sides]


def _figure(window: Window, width: int, height: int) -> Any:
    """Return a bare canvas of its own."""
    import plotext

    # Its size is ours to say, whatever the terminal has.
    plotext.terminal.limit(False, False)
    figure = type(plotext.figure)(plotext.terminal)
    figure.plot_size(width, height)
    figure.canvas("default")
    figure.axes(False)
    figure.legend(False)
    for axis, limits in ((0, window[:2]), (1, window[2:])):
        figure.ruler(axis).frequency(0)
        figure.ruler(axis).alignment(lim="edge")
        figure.ruler(axis).lim(*limits)
    return figure


def _draw(figure: Any, curve: Curve, number: int, window: Window, width: int, height: int, form: Form) -> None:
    """Draw one curve; its number is its colour, by which its cells are known again."""
    pieces = inside(curve.points, window)
    if curve.every and not form.ascii:
        dot = (window.right - window.left) / width / 2, (window.upper - window.lower) / height / 4
        pieces = [[spot] for piece in pieces for spot in walk(piece, dot, curve.every)]
    _stroke(figure, pieces, curve.mark if form.ascii else "braille", number)


def _stroke(figure: Any, pieces: Sequence[Sequence[Point]], mark: str, number: int) -> None:
    """Draw polylines as one signal: it is joined within each piece and broken between them."""
    import plotext

    points = [point for piece in pieces for point in piece]
    if not points:
        return
    marker = plotext.marker(mark, pixel=plotext.pixel((0, 0, number)))
    signal = figure.signal([x for x, _ in points], [y for _, y in points], marker=marker)
    at = 0
    for piece in pieces:
        for k in range(1, len(piece)):
            signal.line(at + k, True)
        at += len(piece)
    figure.draw(signal)


def _cells(figure: Any, inks: Sequence[str], width: int, height: int) -> Cells:
    """Read a figure back, every colour as the ink of its curve."""
    cells = Cells(width, height)
    built = figure.build()
    for y, text in enumerate(built.string(colorless=True).splitlines()[:height]):
        for x, char in enumerate(text[:width]):
            if char not in " \u2800":
                color = built.get(y, x).foreground() if len(inks) > 1 else None
                number = color[2] if color is not None else 1
                cells.rows[y][x] = Cell(char, inks[number - 1])
    return cells
