"""The difference of two scans by band, as bars: thick as far as it is sure, thin over its uncertainty."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from spectui.charts.cells import FULL, Form, Line, Span, cell_width, fitted
from spectui.charts.glyphs import glyphs

NAMES = 6  # column of the band names
NUMBERS = 18  # column where the numbers end
_STEPS = (1.0, 2.0, 3.0, 5.0)
# One cell from the weight of its left and its right half: 0 nothing, 1 thin, 2 thick.
_GLYPHS = {
    (0, 0): " ",
    (1, 1): "─",
    (2, 2): "━",
    (1, 0): "╴",
    (0, 1): "╶",
    (2, 0): "╸",
    (0, 2): "╺",
    (1, 2): "╼",
    (2, 1): "╾",
}


class Bar(NamedTuple):
    """One band: the difference and its expanded uncertainty (k = 2; None where it is not known), and both as text.

    value: None where the band is not available. within: the difference is within its uncertainty.
    """

    name: str
    value: float | None
    uncertainty: float | None = None
    number: str = ""
    spread: str = ""
    within: bool = False


def bars(rows: Sequence[Bar], unit: str, width: int, form: Form = FULL) -> list[Line]:
    """Draw a header, a line a band and the scale beneath; each `width` cells.

    Thick from zero to what is sure, |v| - U; thin over v ± U; a cross at v. Within ±, thin alone. Where U is not known
    nothing is sure: thin from zero to v, and the header says so.
    """
    left, half = room(width)
    zero = left + half
    ends = [abs(bar.value) + (bar.uncertainty or 0.0) for bar in rows if bar.value is not None]
    end = scale_end(max(ends, default=0.0))
    lines = [_header(rows, unit, width, form)]
    for bar, number in zip(rows, _aligned(rows, left, form), strict=True):
        ink = "dim" if bar.within or bar.value is None else "bright"
        spans = [Span(" " * NAMES + bar.name, "text"), Span(number, ink, bold=ink == "bright")]
        extra = " " + glyphs(bar.spread, form)
        if NAMES + cell_width(bar.name + number + extra) <= left:
            spans.append(Span(extra, "dim"))
        lines.append(fitted([*fitted(spans, left), *_drawn(bar, end, half, form)], width))
    lines.append(_scale(end, left, zero, half, width, form))
    return lines


def _aligned(rows: Sequence[Bar], left: int, form: Form) -> list[str]:
    """Return the numbers with the blanks before them that stand them on their decimal points, after the names."""
    numbers = [glyphs(bar.number, form) for bar in rows]
    wholes = [cell_width(number.partition(".")[0]) for number in numbers]
    fraction = max((cell_width(n) - w for n, w in zip(numbers, wholes, strict=True)), default=0)
    names = [NAMES + cell_width(bar.name) for bar in rows]
    point = max(max(names, default=0) + 1 + max(wholes, default=0), NUMBERS - fraction)
    found = []
    for name, number, whole in zip(names, numbers, wholes, strict=True):
        # Where the room is short the alignment gives way, not the number.
        found.append(" " * max(min(point - whole, left - cell_width(number)) - name, 1) + number)
    return found


def room(width: int) -> tuple[int, int]:
    """Return (column where the bars begin, cells of the scale on either side of its zero cell)."""
    left = min(max(NUMBERS + 7, width // 4), max(width - 8, 0))
    return left, max((width - 3 - left) // 2, 1)


def scale_end(most: float) -> float:
    """Return the end of the scale: the next of 1, 2, 3, 5 times a power of ten, so that it steps and does not creep."""
    from math import floor, log10

    if most <= 0.0:
        return 1.0
    power = 10.0 ** floor(log10(most))
    return next((float(f"{s * power:.6g}") for s in (*_STEPS, 10.0) if s * power >= most * (1 - 1e-9)), 10.0 * power)


def _header(rows: Sequence[Bar], unit: str, width: int, form: Form) -> Line:
    known = [bar.uncertainty is not None for bar in rows if bar.value is not None]
    legend = "thick: sure   thin: ±, k = 2"
    if not any(known):
        legend = "thin: ± not known"
    elif not all(known):
        legend = "thick: sure   thin: ±, k = 2, or not known"
    minus = "-" if form.ascii else "\N{MINUS SIGN}"
    legend = glyphs(legend, form) + " "
    lead = [Span(f"B{minus}A".ljust(NAMES), "bright", bold=True), Span("by band, " + glyphs(unit, form), "dim")]
    if NAMES + 9 + cell_width(unit) + 2 + cell_width(legend) > width:
        return fitted(lead, width)
    return fitted([*fitted(lead, width - cell_width(legend)), Span(legend, "dim")], width)


def _drawn(bar: Bar, end: float, half: int, form: Form) -> list[Span]:
    """Draw one bar in 2 · half + 1 cells around the zero line, in halves of a cell."""
    axis = "|" if form.ascii else "│"
    cells = 2 * half + 1
    weights = [0] * (2 * cells)
    cross = half
    if bar.value is not None:
        unit = half / end
        wide = bar.uncertainty

        def stop(value: float) -> int:
            # Halves from the left edge to `value`; zero is the middle of the middle cell.
            return min(max(round((value * unit + half + 0.5) * 2), 0), 2 * cells)

        thin = sorted((0.0, bar.value)) if wide is None else [bar.value - wide, bar.value + wide]
        _paint(weights, stop(thin[0]), stop(thin[1]), 1)
        sure = abs(bar.value) - wide if wide is not None else 0.0
        if sure > 0.0:
            far = stop(sure if bar.value > 0 else -sure)
            _paint(weights, min(far, stop(0.0)), max(far, stop(0.0)), 2)
        cross = min(max(round(bar.value * unit) + half, 0), cells - 1)
    spans = []
    for i in range(cells):
        pair = (weights[2 * i], weights[2 * i + 1])
        thick = max(pair) == 2
        glyph = ("=" if thick else "-" if max(pair) else " ") if form.ascii else _GLYPHS[pair]
        ink = "bright" if thick else "dim"
        if bar.value is not None and i == cross:
            # Within ± the bar is thin alone: a cross would claim a place for it.
            glyph, ink = ("+" if form.ascii else "┿" if thick else "┼"), "bright"
            if bar.within and i == half:
                glyph, ink = axis, "dim"
        elif i == half:
            glyph, ink = axis, "dim"
        spans.append(Span(glyph, ink, bold=thick and i != half))
    return spans


def _paint(weights: list[int], start: int, stop: int, weight: int) -> None:
    for i in range(start, stop):
        weights[i] = weight


def _scale(end: float, left: int, zero: int, half: int, width: int, form: Form) -> Line:
    text = f"{end:g}" if end < 1e6 else f"{end:.0e}"
    minus = "-" if form.ascii else "\N{MINUS SIGN}"
    marks = [(zero - half, f"{minus}{text}"), (zero, "0"), (zero + half, f"+{text}")]
    spans: list[Span] = []
    place = 0
    for at, mark in marks:
        start = min(max(at - len(mark) // 2, place), width - len(mark))
        spans += [Span(" " * (start - place), "dim"), Span(mark, "dim")]
        place = start + len(mark)
    return fitted(spans, width)
