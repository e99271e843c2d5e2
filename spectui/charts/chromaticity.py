"""The chromaticity diagram: spectrum locus, Planckian locus, nominal classes, a user's bins, and A and B as letters."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import TYPE_CHECKING

import numpy as np

from spectui.charts.cells import FULL, Form, Line, Span, cell_width, fitted, plain
from spectui.charts.diagram import (
    UV,
    WHOLE,
    XY,
    Region,
    Spot,
    around,
    border,
    centre_of,
    class_of,
    in_space,
    middle,
    near_white,
    planck,
    regions_of,
    spot_of,
    whites,
)  # fmt: skip
from spectui.charts.glyphs import glyphs
from spectui.charts.grid import Cells, Mark, Window, cell_of, equal
from spectui.charts.plots import Curve, plot
from spectui.core.chromaticity import DUV_TOLERANCE, KEYS, NOMINAL
from spectui.core.isotherms import place
from spectui.core.results import Result
from spectui.files.safe import safe
from spectui.report.numbers import number

if TYPE_CHECKING:
    from spectui.core.bins import Bins

__all__ = ["KEYS", "UV", "XY", "Region", "Spot", "chromaticity", "regions_of", "spot_of", "text_chromaticity"]

NAMED_NM = (450, 480, 490, 500, 520, 540, 560, 580, 600, 620, 700)
_GUTTER = 6
# Where a class's name may stand, in cells from where it belongs.
_NEAR = ((3, 0), (4, 0), (5, 0), (3, -1), (4, -1), (6, 0), (2, -1), (1, -1), (0, -1), (-1, -1), (0, -2))


def chromaticity(
    a: Spot | None,
    b: Spot | None,
    width: int,
    height: int,
    form: Form = FULL,
    *,
    space: str = UV,
    whole: bool | None = None,
    bins: Sequence[Region] = (),
) -> list[Line]:
    """Draw the chromaticity half of a screen, `height` lines of `width` cells: numbers, diagram, what is drawn how.

    space: UV or XY. whole: the whole diagram, or the whites with the nominal classes; None: the whites, unless a
    light lies outside them. A light without a chromaticity has the reason in its place.
    """
    lines = _heads(a, b, width, form)
    seen = [spot for spot in (a, b) if spot is not None and spot.u_prime is not None]
    blank = fitted([], width)
    if seen or (a is None and b is None):
        if whole is None:
            whole = any(near_white(spot) is None for spot in seen)
        high = max(height - len(lines) - 3, 1)
        lines += _diagram(a, b, width, high, form, space, whole, bins)
    return [*lines, *[blank] * (height - len(lines))][:height]


def text_chromaticity(
    a: Spot | Result,
    b: Spot | Result | None = None,
    width: int = 79,
    form: Form = FULL,
    height: int = 28,
    *,
    space: str = UV,
    whole: bool | None = None,
    bins: Bins | None = None,
) -> list[str]:
    """Return the diagram of one light, or of two, as plain text for the commands; blanks at line ends left out."""
    one, two = (spot_of(light) if isinstance(light, Result) else light for light in (a, b))
    shapes = regions_of(bins) if bins is not None else ()
    plainly = form._replace(color=False)
    lines = chromaticity(one, two, width, height, plainly, space=space, whole=whole, bins=shapes)
    text = [plain(line).rstrip() for line in lines]
    while text and not text[-1]:
        text.pop()
    return text


def _diagram(
    a: Spot | None, b: Spot | None, width: int, height: int, form: Form, space: str, whole: bool, bins: Sequence[Region]
) -> list[Line]:
    """Return the picture with its axes and what is drawn how: three lines more than `height`."""
    across = max(width - _GUTTER, 1)
    seen = [in_space(space, [at])[0] for at in map(near_white, (a, b)) if at is not None]
    window = equal(WHOLE[space] if whole else around(whites(space), seen), across, height)
    curves, marks = _ground(space, whole, form, bool(bins))
    for region in bins:
        corners = in_space(space, region.corners)
        curves.append(Curve([*corners, corners[0]], "text", 0, ":"))
        marks.append(
            Mark(*middle(corners), safe(region.name, ascii=form.ascii), "text", places=((0, 0), (0, 1), (0, -1)))
        )
    cells = plot(curves, marks, window, across, height, form)
    together = _letters(cells, a, b, space, window, form)
    words = [*_legend(form, whole, bool(bins)), *(["A and B share a cell"] if together else [])]
    while len(words) > 1 and cell_width(", ".join(words)) > width:
        words = words[1:]
    return [*_framed(cells, window, space, width, form), fitted([Span(", ".join(words), "dim")], width)]


def _ground(space: str, whole: bool, form: Form, binned: bool) -> tuple[list[Curve], list[Mark]]:
    """Return what is there before any light: loci, classes, and their names."""
    nm, locus = border()
    ring = in_space(space, locus)
    curves = [Curve([*ring, ring[0]], "dim", 0, "#"), Curve(in_space(space, planck()), "dim", 3, "o")]
    marks = []
    if whole:
        inner = in_space(space, [(0.21, 0.47)])[0]
        for named in NAMED_NM:
            x, y = ring[int(np.searchsorted(nm, named))]
            right = 3 if x > inner[0] else -3
            up = 1 if y > inner[1] else -1
            beside = (
                (right, 0),
                (right, up),
                (0, up),
                (right + right // 3, 0),
                (right, 2 * up),
                (0, 2 * up),
                (-right, 0),
            )
            marks.append(Mark(x, y, str(named), places=beside))
        return curves, marks
    for n in NOMINAL:
        corners = in_space(space, class_of(n.target, n.tolerance, n.duv))
        ink = "faint" if binned else "dim"
        half = len(corners) // 2
        # Whole characters are too coarse for quadrangles: in ASCII their long sides and centres stand for them.
        sides = [corners[:half], corners[half:-1]] if form.ascii else [corners]
        curves += [Curve(side, ink, 0, ".") for side in sides]
        if form.ascii:
            marks.append(Mark(*in_space(space, centre_of(n.x, n.y))[0], "+", "text", must=True))
        # The names stand on the side below the locus, where no light is likely to lie.
        u, v = place(n.target, n.duv - DUV_TOLERANCE)
        x, y = in_space(space, [(float(u), float(v))])[0]
        marks.append(Mark(x, y, str(n.cct), "text", places=_NEAR))
    return curves, marks


def _letters(cells: Cells, a: Spot | None, b: Spot | None, space: str, window: Window, form: Form) -> bool:
    """Write A and B where they lie, over whatever is drawn. In one cell, A is in it and B beside it: return that."""
    taken: tuple[int, int] | None = None
    together = False
    for tag, spot in (("A", a), ("B", b)):
        if spot is None or spot.u_prime is None or spot.v_prime is None:
            continue
        x, y = in_space(space, [(spot.u_prime, spot.v_prime)])[0]
        at = cell_of(x, y, window, cells.width, cells.height)
        if at is None:
            _beyond(cells, tag, x, y, window, form)
            continue
        column, row = at
        if taken == at:
            together = True
            column += 1 if column + 1 < cells.width else -1
        taken = taken or at
        cells.write(column, row, tag, "bright", True)
    return together


def _beyond(cells: Cells, tag: str, x: float, y: float, window: Window, form: Form) -> None:
    """Write a letter that lies outside what is shown at the edge, with a mark that points there."""
    x0, y0 = min(max(x, window.left), window.right), min(max(y, window.lower), window.upper)
    column, row = cell_of(x0, y0, window, cells.width, cells.height) or (0, 0)
    if x < window.left:
        text = ("<" if form.ascii else "‹") + tag
    elif x > window.right:
        text, column = tag + (">" if form.ascii else "›"), column - 1
    else:
        up = y > window.upper
        text = tag + (("^" if up else "v") if form.ascii else "↑" if up else "↓")
    cells.write(max(min(column, cells.width - 2), 0), row, text, "bright", True)


def _framed(cells: Cells, window: Window, space: str, width: int, form: Form) -> list[Line]:
    """Put the axes to the plot: labels at round values, each in the cell that holds its value."""
    rule, tick, corner, level, mark = "|+++-" if form.ascii else "│┤└─┴"
    if form.ascii:
        level, mark = "-", "+"
    step = _step(window, cells.height)
    ups = {
        cell_of(window.left, v, window, cells.width, cells.height): v for v in _rounds(window.lower, window.upper, step)
    }
    rows = {at[1]: v for at, v in ups.items() if at is not None}
    places = 2 if step >= 0.0099 else 3
    upright, across = (glyphs(name, form) for name in (("v′", "u′") if space == UV else ("y", "x")))
    named = next((y for y in range(cells.height) if y not in rows), 0)
    lines = []
    for y, line in enumerate(cells.lines()):
        text = f"{rows[y]:.{places}f}" if y in rows else ""
        label = Span((upright if y == named else text).rjust(_GUTTER - 2) + " ", "text" if y == named else "dim")
        lines.append(fitted([label, Span(tick if text else rule, "faint"), *line], width))
    axis, names = Cells(cells.width, 1), Cells(width, 1)
    axis.write(0, 0, level * cells.width, "faint")
    names.write(_GUTTER - 2 - len(across), 0, across, "text")
    for value in _rounds(window.left, window.right, step):
        at = cell_of(value, window.lower, window, cells.width, cells.height)
        text = f"{value:.{places}f}"
        if at is not None:
            start = min(_GUTTER + at[0] - len(text) // 2, width - len(text))
            if names.free(start - 1, 0, len(text) + 1):
                axis.write(at[0], 0, mark, "faint")
                names.write(start, 0, text, "dim")
    lines.append(fitted([Span(" " * (_GUTTER - 1)), Span(corner, "faint"), *axis.lines()[0]], width))
    return [*lines, fitted(names.lines()[0], width)]


def _step(window: Window, rows: int) -> float:
    """Return the distance of labels: 1, 2 or 5 times a power of ten, about four rows apart or more."""
    least = (window.upper - window.lower) / rows * 4
    return next(s for s in (0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0) if s >= least * 0.75)


def _rounds(lo: float, hi: float, step: float) -> list[float]:
    """Return the multiples of a step, none below zero: there is no such chromaticity."""
    return [k * step for k in range(max(int(np.ceil(lo / step)), 0), int(np.floor(hi / step)) + 1)]


def _heads(a: Spot | None, b: Spot | None, width: int, form: Form) -> list[Line]:
    """Return the lines of numbers, or why there are none."""
    lines = []
    for tag, spot in (("A", a), ("B", b)):
        if spot is None:
            continue
        lead = Span(f"{tag}  ", "bright", bold=True)
        spans = [lead]
        if spot.cct is not None and spot.duv is not None:
            sign = "+" if spot.duv > 0 else ""
            spans += [Span(number(spot.cct), "bright", bold=True), Span(" K  ", "dim"), Span("Duv ", "dim")]
            spans += [Span(sign + number(spot.duv), "bright"), Span("  ")]
        if spot.u_prime is not None and spot.v_prime is not None:
            told = [Span("u′ v′ ", "dim"), Span(f"{number(spot.u_prime)} {number(spot.v_prime)}", "text")]
            spans = [span._replace(text=glyphs(span.text, form)) for span in spans]
            told = [span._replace(text=glyphs(span.text, form)) for span in told]
            # Whole numbers only: what does not fit is left out.
            if sum(cell_width(span.text) for span in (*spans, *told)) <= width:
                spans += told
        if spot.cct is not None:
            lines.append(fitted(spans, width))
            continue
        what = "no chromaticity" if spot.u_prime is None else "no colour temperature"
        if len(spans) > 1:
            lines.append(fitted(spans, width))
            lead = Span("   ")
        told_lines = wrap(glyphs(f"{what}: {spot.unavailable or 'not available'}", form), max(width - 3, 10))
        lines += [fitted([lead if k == 0 else Span("   "), Span(part)], width) for k, part in enumerate(told_lines)]
    return lines


def _legend(form: Form, whole: bool, binned: bool) -> list[str]:
    planck = "o: Planckian locus" if form.ascii else "dotted: Planckian locus"
    if whole:
        return ["spectrum in nm", planck]
    return [planck, *(["your bins"] if binned else []), "C78.377 classes in K"]
