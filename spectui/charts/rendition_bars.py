"""Bars of colour rendition: R1-R14, and chroma shift and fidelity of the hue bins. A filled, B dotted."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import NamedTuple

from spectui.charts.cells import FULL, Form, Line, Span, cell_width, fitted
from spectui.charts.glyphs import glyphs
from spectui.charts.grid import Cells
from spectui.charts.plots import Bars, bars
from spectui.charts.scale import fixed
from spectui.core.results import Result
from spectui.report.numbers import number

TESTS, BINS = 14, 16
KEYS = (
    "rf",
    "rg",
    "ra",
    *(f"r{k + 1}" for k in range(TESTS)),
    *(f"{word}_h{k + 1}" for word in ("rf", "rcs", "rhs") for k in range(BINS)),
)
_NAN = float("nan")


class Numbers(NamedTuple):
    """What the charts need of one light, NaN where a number is missing; `unavailable` says why there are none at all.

    r: R1-R14. local, chroma [%], hue: local fidelity, chroma shift and hue shift of the 16 hue bins.
    """

    rf: float = _NAN
    rg: float = _NAN
    ra: float = _NAN
    r: Sequence[float] = (_NAN,) * TESTS
    local: Sequence[float] = (_NAN,) * BINS
    chroma: Sequence[float] = (_NAN,) * BINS
    hue: Sequence[float] = (_NAN,) * BINS
    unavailable: str | None = None


def numbers_of(result: Result) -> Numbers:
    """Take the numbers from a result that holds KEYS."""

    def value_of(key: str) -> float:
        value = result[key].value
        return _NAN if value is None else value

    def each(word: str, count: int) -> tuple[float, ...]:
        return tuple(value_of(f"{word}{k + 1}") for k in range(count))

    rf, rg, ra = (value_of(key) for key in ("rf", "rg", "ra"))
    reason = None
    if not isfinite(rf) and not isfinite(ra):
        reason = result["ra"].unavailable or result["rf"].unavailable
    local, chroma, hue = (each(word, BINS) for word in ("rf_h", "rcs_h", "rhs_h"))
    return Numbers(rf, rg, ra, each("r", TESTS), local, chroma, hue, reason)


def colour_bars(a: Numbers | None, b: Numbers | None, width: int, form: Form = FULL, columns: int = 1) -> list[Line]:
    """Draw R1-R14 with their numbers, one row each, in one or two columns; a negative one goes to the left of zero.

    The scale reaches from -50, or -100 where one lies below -50, to 100; a bar that lies further out ends in a mark.
    """
    rows = -(-TESTS // columns)
    room = (width - 2 * (columns - 1)) // columns
    blocks = [_block(a, b, k * rows, min((k + 1) * rows, TESTS), room, form) for k in range(columns)]
    lines = []
    for y in range(rows + 1):
        spans: list[Span] = []
        for k, block in enumerate(blocks):
            spans += [Span("  " if k else ""), *block[y]]
        lines.append(fitted(spans, width))
    return lines


def bin_bars(a: Numbers | None, b: Numbers | None, width: int, height: int, form: Form = FULL) -> list[Line]:
    """Draw local chroma shift and local fidelity of the 16 hue bins, bars side by side; `height` lines, 10 at least."""
    height = max(height, 10)
    gutter = 6
    each = max(min((width - gutter) // BINS, 5), 1)
    chroma, local = (a.chroma if a else (), b.chroma if b else ()), (a.local if a else (), b.local if b else ())
    most = max((abs(v) for side in chroma for v in side if isfinite(v)), default=0.0)
    end = next((step for step in (10, 20, 30, 50, 100) if most <= step), 200)
    upper = (height - 3) * 3 // 5 // 2 * 2
    lower = height - 3 - upper
    shift, faithful = (
        bars(Bars(*of, lo, hi, True, each, max(each - 1, 1)), each * BINS, rows, form)
        for of, lo, hi, rows in ((chroma, -end, end, upper), (local, 0, 100, lower))
    )
    names = Cells(each * BINS, 1)
    for k in range(BINS):
        text = str(k + 1)
        if each >= 3 or k % 2 == 0:
            names.write(k * each + (max(each - 1, 1) - 1) // 2 - (len(text) - 1) // 2, 0, text)
    lines = [_caption("local chroma shift, %", _extremes(a, b, "chroma", form), width, form)]
    lines += _axis(shift, {upper // 2 - 1: "0", 0: f"+{end}", upper - 1: f"-{end}"}, gutter, width, form)
    lines += [fitted([Span(" " * gutter), *names.lines()[0]], width)]
    lines += [_caption("local fidelity", _extremes(a, b, "local", form), width, form)]
    return lines + _axis(faithful, {0: "100", lower - 1: "0"}, gutter, width, form)


def _block(a: Numbers | None, b: Numbers | None, first: int, past: int, width: int, form: Form) -> list[list[Span]]:
    """Return a header with the scale, then rows of R1-R14: name, A's and B's number, bar with its zero."""
    lights = [(tag, light.r) for tag, light in (("A", a), ("B", b)) if light is not None]
    lowest = min((v for _, r in lights for v in r if isfinite(v)), default=0.0)
    lo = -50 if lowest >= -50 else -100
    # Four digits, as everywhere; whole numbers where the block is narrow.
    digits = 6 if width >= 24 else 4
    room = max(width - 4 - (digits + 1) * len(lights) - 1, 4)
    # Zero stands between two cells, its rule in a cell of its own.
    half = max(round(room * -lo / (100 - lo)), 1)
    end = -half * 100 / (room - half)
    of_a, of_b = (light.r[first:past] if light is not None else () for light in (a, b))
    drawn = bars(Bars(of_a, of_b, end, 100), room, past - first, form)
    scale = fixed(lo, 0, form).ljust(half) + "0" + "100".rjust(room - half)
    tags = "".join(f"{tag:>{digits}} " for tag, _ in lights)
    rows = [[Span(" " * 4), Span(tags, "bright", bold=True), Span(scale if room >= 12 else "", "dim")]]
    for k in range(first, past):
        low = any(r[k] < 0 for _, r in lights)
        spans = [Span(f"R{k + 1}".ljust(4), "bright" if low else "dim", bold=low)]
        for _, r in lights:
            text = glyphs(number(r[k]), form) if digits > 4 else _whole(r[k], form)
            spans.append(Span(f"{text:>{digits}} ", "bright" if r[k] < 0 else "text", bold=r[k] < 0))
        cells = [Span(*cell) for cell in drawn.rows[k - first]]
        if any(r[k] < end - 1 for _, r in lights):
            cells[0] = Span("<" if form.ascii else "‹", "bright", bold=True)
        rows.append([*spans, *cells[:half], Span("|" if form.ascii else "│", "faint"), *cells[half:]])
    return [list(fitted(row, width)) for row in rows]


def _axis(cells: Cells, labels: dict[int, str], gutter: int, width: int, form: Form) -> list[Line]:
    """Put the y axis before a plot; `labels` by row."""
    lines = []
    for y, line in enumerate(cells.lines()):
        label = labels.get(y)
        text = "" if label is None else label if form.ascii else label.replace("-", "−")
        tick = "+" if form.ascii else "┤"
        rule = "|" if form.ascii else "│"
        lines.append(
            fitted(
                [Span(text.rjust(gutter - 2) + " ", "dim"), Span(rule if label is None else tick, "faint"), *line],
                width,
            )
        )
    return lines


def _caption(what: str, told: str, width: int, form: Form) -> Line:
    lead = Span(glyphs(what, form), "text")
    if cell_width(what) + 2 + cell_width(told) > width:
        return fitted([lead], width)
    return fitted([lead, Span("  " + told, "dim")], width)


def _extremes(a: Numbers | None, b: Numbers | None, field: str, form: Form) -> str:
    """Say the lowest bin and, of a shift, the highest: of the first light that has any, named where there are two."""
    sides = [(tag, getattr(light, field)) for tag, light in (("A", a), ("B", b)) if light is not None]
    for tag, values in sides:
        known = [(v, k + 1) for k, v in enumerate(values) if isfinite(v)]
        if not known:
            continue
        lead = f"{tag}: " if len(sides) > 1 else ""
        low, high = min(known), max(known)
        if field == "local":
            return f"{lead}lowest {_whole(low[0], form)} in bin {low[1]}"
        told = [f"{fixed(v, 0, form, sign=True)} in bin {k}" for v, k in (low, high)]
        return f"{lead}{told[0]}, {told[1]}"
    return ""


def _whole(value: float, form: Form) -> str:
    """Return an index as a whole number with a real minus, a dash where there is none."""
    return glyphs("–", form) if not isfinite(value) else fixed(value, 0, form)
