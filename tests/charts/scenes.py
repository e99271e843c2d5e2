"""Whole screens put together from the charts, with invented lights and numbers: what look.py renders."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from spectui.charts.bars import Bar, bars
from spectui.charts.canvas import canvas
from spectui.charts.caret import caret_line
from spectui.charts.cells import Form, Line, Span, fitted
from spectui.charts.heads import Head, head, heads, pane_heads
from spectui.charts.lines import keys_line, news_line
from spectui.charts.ribbon import bands_line, ribbon
from spectui.charts.shelf import ShelfRow, shelf_foot, shelf_head, shelf_rows
from spectui.charts.strip import Card, Cell, note_line, strip
from spectui.charts.view import View, fit
from spectui.core.scan import Scan
from tests.charts import lights
from tests.charts.lights import A, B, scan

DIFFERENCES = {"blue": ("−12", True), "green": ("−16", True), "red": ("−13", True), "far_red": ("≈ 0", False)}
CARDS = [
    Card("PPFD", Cell("412", "±21", bold=True), Cell("371", "±19", bold=True), Cell("−10", unit="%", bold=True)),
    Card("DLI 16 h", Cell("23.7"), Cell("21.4"), Cell("−10", unit="%", bold=True)),
    Card("blue", Cell("18.2", unit="%"), Cell("16.9", unit="%"), Cell("−1.3", unit="pt", bold=True)),
    Card("red", Cell("41.0", unit="%"), Cell("42.1", unit="%"), Cell("+1.1", unit="pt", bold=True)),
    Card("far red", Cell("6.2", unit="%"), Cell("6.8", unit="%"), Cell("+0.6", unit="pt", bold=True)),
    Card("R:FR", Cell("6.6"), Cell("6.2"), Cell("≈")),
    Card("ePPFD", Cell("437", "±22"), Cell("396", "±20"), Cell("−9", unit="%", bold=True)),
    Card("green", Cell("40.8", unit="%"), Cell("41.0", unit="%"), Cell("≈")),
]
KEYS = [(", .", "A 3/14"), ("a b", "put"), ("s", "shelf"), ("g", "go"), ("/", "find"), ("x", "card"), ("?", "keys")]
WIDE_KEYS = [(", .", "step A"), ("a b", "put"), ("v", "apart"), ("s", "fold shelf"), ("y", "fit scale"), ("g", "go"),
             ("/", "find"), ("x", "card"), ("?", "keys")]  # fmt: skip
BARS = [
    Bar("blue", -12, 5, "−12", "±5"), Bar("green", -16, 11, "−16", "±11"), Bar("red", -13, 11, "−13", "±11"),
    Bar("far red", 0.4, 2, "≈", "±2", within=True),
]  # fmt: skip
NOTE = "µmol m⁻² s⁻¹, k = 2, ≈ within ±"
HEAD_A = head(A, "trust ok", False)
HEAD_B = head(B, "doubt: dark 47 min old", True)


def chart(a: Scan | None, b: Scan | None, view: View, nm: float, width: int, height: int, form: Form, dim: bool,
          differences: dict[str, tuple[str, bool]] | None = None, **more: object) -> list[Line]:  # fmt: skip
    """Return canvas, ribbon, band names and caret line."""
    tag = ("B-A" if form.ascii else "B−A") if differences else ""
    return [
        *canvas(a, b, view, width, height, form, **more),  # type: ignore[arg-type]
        ribbon(view, width, form, dim),
        bands_line(view, width, form, differences, tag),
        caret_line(a or more.get("ghost"), b, view, nm, width, form, without_a=a is None),  # type: ignore[arg-type]
    ]


def desk(
    a: Scan, b: Scan | None, view: View, nm: float, form: Form, dim: bool, trust_b: str = "trust ok"
) -> list[Line]:
    """Return a desk of 80 × 24."""
    blank: Line = (Span(" " * 80),)
    top = heads(head(a, "trust ok", False), head(b, trust_b, trust_b != "trust ok") if b else None, 79, form)
    high = 11 if b else 14
    cards = CARDS if b else [card._replace(b=None, difference=None) for card in CARDS]
    lines = [*top, *chart(a, b, view, nm, 79, high, form, dim, DIFFERENCES if b else None),
             note_line(NOTE, 79, form), *strip(cards, 2, 79, form), blank,
             news_line([f"y scale held at {view.top:g}", "B put from 7/14" if b else ""], 79, form),
             keys_line(KEYS, 79, form)]  # fmt: skip
    return [fitted(line, 80) for line in lines]


def desk80(form: Form, dim: bool) -> list[Line]:
    """A white bar, new and aged."""
    return desk(A, B, fit([A, B]), 453, form, dim, "doubt: dark 47 min old")


def _one(values: Callable[[], object], title: str) -> Callable[[Form, bool], list[Line]]:
    def scene(form: Form, dim: bool) -> list[Line]:
        light = scan(values(), title, place="bay 1", taken_at="2026-03-14T10:00")  # type: ignore[arg-type]
        return desk(light, None, fit([light]), 661, form, dim)

    return scene


redblue80 = _one(lights.red_blue, "Red bar, bench 4")
sodium80 = _one(lights.sodium, "Sodium lamp, bay 2")
sun80 = _one(lights.sun, "Sun, open")


def zoomed80(form: Form, dim: bool) -> list[Line]:
    """Zoomed to 640-680 nm."""
    return desk(A, B, replace(fit([A, B]), lo=640.0, hi=680.0), 661.5, form, dim)


def partly80(form: Form, dim: bool) -> list[Line]:
    """B covers 430-690 nm only."""
    nm = lights.NM[50:311]
    b = scan(lights.white(0.9, nm=nm), "Narrow", nm=nm)
    return desk(A, b, fit([A, b]), 700, form, dim)


def units80(form: Form, dim: bool) -> list[Line]:
    """B is relative: scaled to A's peak."""
    b = scan(lights.red_blue(), "Red bar", None)
    return desk(A, b, fit([A, b]), 661, form, dim)


def negative80(form: Form, dim: bool) -> list[Line]:
    """Noise and an offset below zero."""
    import numpy as np

    random = np.random.default_rng(1)
    a = scan(lights.white(0.1) - 0.008 + random.normal(0, 0.003, 421), "Weak, offset")
    b = scan(lights.white(0.08) - 0.004 + random.normal(0, 0.003, 421), "Weak, less offset")
    return desk(a, b, fit([a, b]), 420, form, dim)


def sodium_sun80(form: Form, dim: bool) -> list[Line]:
    """A spiky lamp dotted over daylight."""
    a, b = scan(lights.sun(), "Sun, open"), scan(lights.sodium(), "Sodium lamp")
    return desk(a, b, fit([a, b]), 589, form, dim)


def _beside(left: list[Line], right: list[Line], rule: str) -> list[Line]:
    return [fitted([*one, Span(f" {rule} ", "faint"), *two], 120) for one, two in zip(left, right, strict=True)]


SHELF = [("White bar, new", "412", "6.6", "", "A"), ("White bar, worn", "398", "6.5", "", ""),
         ("White bar, 80 %", "331", "6.6", "", ""), ("White bar, aged", "371", "6.2", "doubt", "B"),
         ("Red bar, bench 4", "268", "22.1", "", ""), ("Red bar, bench 5", "–", "–", "fault", ""),
         ("Sun, open, a title that is far too long", "1\u2009702", "1.09", "", "")]  # fmt: skip


def desk120(form: Form, dim: bool) -> list[Line]:
    """The desk of 120 × 36, shelf and bars shown."""
    view, width = fit([A, B]), 78
    rows = [ShelfRow(*row) for row in SHELF]
    left = [*shelf_head("bay 3", 14, 38, form), *shelf_rows(rows, 0, 0, 29, 38, form),
            *shelf_foot(1, 2, [("place", 3)], 38, form)]  # fmt: skip
    blank = fitted([], width)
    right = [*heads(HEAD_A._replace(position="3/14"), HEAD_B, width, form), blank,
             *chart(A, B, view, 453, width, 15, form, dim), blank, *strip(CARDS, 2, width, form), blank,
             *bars(BARS, "µmol m⁻² s⁻¹", width, form), blank][:33]  # fmt: skip
    body = _beside(left, right, "|" if form.ascii else "│")
    return [*body, fitted([], 120), news_line(["y scale held at 0.7", "B put from 7/14: White bar, aged"], 120, form),
            keys_line(WIDE_KEYS, 120, form)]  # fmt: skip


def apart120(form: Form, dim: bool) -> list[Line]:
    """The desk of 120 × 36, A and B apart."""
    view, width = fit([A, B]), 58
    blank = fitted([], width)

    def pane(tag: str, this: Head, other: Head | None) -> list[Line]:
        a, b, more = (A, None, {}) if tag == "A" else (None, B, {"ghost": A})
        cards = [[card._replace(b=None) if tag == "A" else card for card in part] for part in (CARDS[:4], CARDS[4:])]
        picture = chart(a, b, view, 453, width, 17, form, dim, **more)
        lines = [*pane_heads(tag, this, width, form, other), *picture, blank,
                 *strip(cards[0], 2, width, form, tag), blank, *strip(cards[1], None, width, form, tag)]  # fmt: skip
        return [*lines, *[blank] * (33 - len(lines))]

    body = _beside(pane("A", HEAD_A._replace(position="3/14"), None), pane("B", HEAD_B, HEAD_A), "│")
    return [*body, fitted([], 120), news_line(["one y scale, held at 0.7"], 120, form), keys_line(WIDE_KEYS, 120, form)]
