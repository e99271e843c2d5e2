"""Colour rendition: colour vector graphic, bars of test colours and hue bins. A is solid or filled, B dotted.

The numbers that are drawn are `Numbers`; `numbers_of` takes them from a result that holds `KEYS`.
"""

from __future__ import annotations

from math import cos, isfinite, pi, sin

from spectui.charts.cells import FULL, Form, Line, Span, cut_end, fitted, plain
from spectui.charts.glyphs import glyphs
from spectui.charts.grid import Cells, Mark, Window, equal
from spectui.charts.plots import Curve, plot
from spectui.charts.rendition_bars import BINS, KEYS, TESTS, Numbers, bin_bars, colour_bars, numbers_of
from spectui.core.results import Result
from spectui.report.numbers import number

__all__ = ["KEYS", "OF_BINS", "OF_TESTS", "Numbers", "numbers_of", "rendition", "text_rendition"]

# What a half of the screen shows beside the vector graphic where it has no room for both.
OF_TESTS, OF_BINS = "tests", "bins"
_STEPS = 8  # points of the closed curve from one bin's middle to the next
_SPREAD = 1.32  # from the middle to the edge of the graphic, in radii of the reference circle
BIN_ROWS = 13
_LABELS = 1.18  # where the bin numbers stand


def closed_curve(of: Numbers) -> list[tuple[float, float]]:
    """Return the light's hue bins against the reference's as a closed curve; the reference is the circle of radius 1.

    In the middle of a bin at θ the light lies at cos θ (1 + rcs) − sin θ · rhs, sin θ (1 + rcs) + cos θ · rhs: its
    mean a′, b′ as the reference's bin shifted by rcs along and rhs across, divided by the reference's chroma. Between
    two middles rcs and rhs change evenly with θ, so that a light without shifts is the circle itself. A bin without
    samples breaks the curve.
    """
    points = []
    for n in range(BINS * _STEPS + 1):
        k, part = divmod(n, _STEPS)
        share = part / _STEPS
        one, two = k % BINS, (k + 1) % BINS
        along, across = (
            values[one] if part == 0 else (1 - share) * values[one] + share * values[two]
            for values in (of.chroma, of.hue)
        )
        theta = 2 * pi * (k + 0.5 + share) / BINS
        reach = 1 + along / 100
        points.append((cos(theta) * reach - sin(theta) * across, sin(theta) * reach + cos(theta) * across))
    return points


def vector_graphic(a: Numbers | None, b: Numbers | None, width: int, height: int, form: Form = FULL) -> Cells:
    """Draw A's closed curve solid and B's dotted against the faintly dotted reference circle, round to the eye."""
    curves = [Curve([(cos(t), sin(t)) for t in _turn(96)], "dim", 4, ".")]
    for light, ink, every, mark in ((a, "bright", 0, "#"), (b, "dots", 2, "*")):
        if light is not None and light.unavailable is None:
            curves.append(Curve(closed_curve(light), ink, every, mark))
    reach = max((max(abs(x), abs(y)) for c in curves for x, y in c.points if isfinite(x)), default=1.0)
    spread = max(_SPREAD, min(reach * 1.05, 2.0))
    window = equal(Window(-spread, spread, -spread, spread), width, height)
    out = max(_LABELS, _LABELS * spread / _SPREAD)
    every = 1 if height >= 14 else 2  # where all would crowd, every second bin is named
    numbers = [Mark(out * cos(t), out * sin(t), str(k + 1)) for k, t in list(enumerate(_middles()))[::every]]
    return plot(curves, [Mark(0, 0, "+", "faint", must=True), *numbers], window, width, height, form)


def rendition(
    a: Numbers | None,
    b: Numbers | None,
    width: int,
    height: int,
    form: Form = FULL,
    *,
    beside: str = OF_TESTS,
) -> list[Line]:
    """Draw the rendition half of a screen, `height` lines of `width` cells: numbers, vector graphic, bars.

    Where the room is short, `beside` says which bars stand by the graphic: those of the test colours or of the bins.
    A light without rendition has the reason in its place.
    """
    lines = _heads(a, b, width, form)
    lights = [light for light in (a, b) if light is not None and light.unavailable is None]
    room = height - len(lines) - 1
    blank = fitted([], width)
    if lights:
        lines += [*_pictures(a, b, width, room, form, beside), _legend(a, b, width, form)]
    return [*lines, *[blank] * (height - len(lines))][:height]


def _pictures(a: Numbers | None, b: Numbers | None, width: int, height: int, form: Form, beside: str) -> list[Line]:
    """Put the graphic and as many bars as have room together."""
    if width < 56:  # one below the other
        low = -(-TESTS // 2) + 1 if beside == OF_TESTS else 10
        graphic = vector_graphic(a, b, width, max(height - low, 1), form).lines()
        return [
            *graphic,
            *(colour_bars(a, b, width, form, 2) if beside == OF_TESTS else bin_bars(a, b, width, low, form)),
        ]
    both = height >= TESTS + 1 + BIN_ROWS
    wide = both and width >= 100
    high = height - BIN_ROWS if both and not wide else height
    left = min(round(high * 2), width - (62 if wide else 24))
    right = width - left - 2
    graphic = vector_graphic(a, b, left, high, form).lines()
    tests = colour_bars(a, b, min(right, 60), form)
    if wide:
        side = [*tests, *[()] * (height - len(tests) - BIN_ROWS), *bin_bars(a, b, right, BIN_ROWS, form)]
    elif both or beside == OF_TESTS:
        side = tests
    else:
        side = bin_bars(a, b, right, min(high, 16), form)
    side = [*[()] * ((high - len(side)) // 2), *side]
    side = [*side, *[()] * (high - len(side))][:high]
    top = [fitted([*one, Span("  "), *two], width) for one, two in zip(graphic, side, strict=True)]
    return top if wide or not both else [*top, *bin_bars(a, b, width, BIN_ROWS, form)]


def text_rendition(
    a: Numbers | Result, b: Numbers | Result | None = None, width: int = 79, form: Form = FULL, height: int = 32
) -> list[str]:
    """Return the charts of one light, or of two, as plain text for the commands; blanks at line ends left out."""
    one, two = (numbers_of(light) if isinstance(light, Result) else light for light in (a, b))
    lines = rendition(one, two, width, height, form._replace(color=False))
    text = [plain(line).rstrip() for line in lines]
    while text and not text[-1]:
        text.pop()
    return text


def _heads(a: Numbers | None, b: Numbers | None, width: int, form: Form) -> list[Line]:
    """Return the lines of numbers, or why there are none."""
    lines = []
    for tag, light in (("A", a), ("B", b)):
        if light is None:
            continue
        lead = Span(f"{tag}  ", "bright", bold=True)
        if light.unavailable is not None:
            from textwrap import wrap

            told = wrap(glyphs(f"no colour rendition: {light.unavailable}", form), max(width - 3, 10))
            lines += [fitted([lead if k == 0 else Span("   "), Span(part)], width) for k, part in enumerate(told)]
            continue
        spans = [lead]
        for name, value in (("Rf", light.rf), ("Rg", light.rg), ("Ra", light.ra), ("R9", light.r[8])):
            spans += [Span(f"{name} ", "dim"), Span(f"{glyphs(number(value), form):<8}", "bright", bold=value < 0)]
        lines.append(fitted(spans, width))
    return lines


def _legend(a: Numbers | None, b: Numbers | None, width: int, form: Form) -> Line:
    words = [
        tag
        for tag, light in (("A solid or filled", a), ("B dotted", b))
        if light is not None and light.unavailable is None
    ]
    return fitted([Span(cut_end(glyphs(", ".join([*words, "circle: reference"]), form), width, form), "dim")], width)


def _turn(count: int) -> list[float]:
    return [2 * pi * k / count for k in range(count + 1)]


def _middles() -> list[float]:
    return [2 * pi * (k + 0.5) / BINS for k in range(BINS)]
