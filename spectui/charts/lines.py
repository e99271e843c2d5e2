"""The two lines at the foot of every screen: what is new, and which keys do what."""

from __future__ import annotations

from collections.abc import Sequence

from spectui.charts.cells import FULL, Form, Line, Span, cell_width, cut_end, fitted
from spectui.charts.glyphs import glyphs
from spectui.files.safe import safe

GAP = 3


def news_line(parts: Sequence[str], width: int, form: Form = FULL) -> Line:
    """Draw what is new, `width` cells: the parts one after the other, cut at the end where they are too long."""
    words = (" " * GAP).join(part for part in parts if part)
    words = glyphs(words, form)
    return fitted([Span(cut_end(safe(words), width, form), "text")], width)


def keys_line(keys: Sequence[tuple[str, str]], width: int, form: Form = FULL) -> Line:
    """Draw (key, label) pairs, `width` cells. What does not fit is left out before the last pair, which is help."""
    shown = list(keys)
    while len(shown) > 1 and _cells(shown) > width:
        del shown[-2]
    spans: list[Span] = []
    for key, label in shown:
        words = glyphs(label, form)
        spans += [Span(" " * GAP if spans else ""), Span(key, "bright", bold=True), Span(f" {words}", "dim")]
    return fitted(spans, width)


def _cells(keys: list[tuple[str, str]]) -> int:
    return sum(cell_width(key) + 1 + cell_width(label) for key, label in keys) + GAP * (len(keys) - 1)
