"""The cards: the numbers of the panes in one ruled strip, or in several where there is room and they are many."""

from __future__ import annotations

from spectui.charts.cells import Form, Line, Span, cell_width, fitted
from spectui.charts.strip import Card, note_line, strip, unit_shown
from spectui.report.numbers import unit
from spectui.report.text import needs_caution
from spectui.tui.layout import Box, Layout
from spectui.tui.numbers import card, note
from spectui.tui.state import Desk
from spectui.tui.widgets.beside import beside

CAUTION = "bright or UV light can hurt eyes, skin"


def lines(desk: Desk, lay: Layout, box: Box, form: Form) -> list[Line]:
    """Return the note and the strips; the note stands over them where space is short, else under them."""
    a, b = desk.result_a, desk.result_b
    if a is None:
        return []
    width = box.width - 1
    cards = [card(key, desk.known, a, b, desk.comparison) for key in desk.cards]
    words = note(a, b)
    if lay.apart:
        pane = lay.pane(box)
        one = _strips([c._replace(b=None, difference=None) for c in cards], desk.selected, lay, pane, form, "A", 1)
        two = _strips(cards, desk.selected, lay, pane, form, "B")
        rows = beside(one, two, box.width, form)
    else:
        rows = _strips(cards, desk.selected, lay, width, form, "AB")
        words = "" if lay.bars else words  # the bars' heading tells it
    key = desk.card
    if key is not None and not unit_shown(cards[desk.cards.index(key)], desk.cards.index(key) % lay.across, form):
        words = f"{desk.known[key].name} in {unit(desk.known[key].unit)}"
    caution = any(needs_caution(result) for result in (a, b) if result is not None)
    if lay.apart:
        pane = lay.pane(box)
        over = beside([_over("", caution, pane, form)], [_over(words, False, pane, form)], box.width, form)
        return [*over, *rows]
    return [_over(words, caution, width, form), *rows]


def _over(words: str, caution: bool, width: int, form: Form) -> Line:
    """The row over the strip."""
    if not caution:
        return note_line(words, width, form) if words else fitted([], width)
    told = Span(f"Caution: {CAUTION}", "bright", bold=True)
    rest = width - cell_width(told.text) - 1
    if rest < cell_width(words) + 2:
        return fitted([told], width)
    return fitted([told, Span(" "), *note_line(words, rest, form)], width)


def _strips(
    cards: list[Card], selected: int, lay: Layout, width: int, form: Form, tags: str, blank: int = 0
) -> list[Line]:
    """blank: rows of the panel's ground under each strip, so that A's is as tall as B's."""
    rows: list[Line] = []
    gap = [fitted([], width)] if lay.roomy else []
    for n in range(lay.strips):
        start = n * lay.across
        # The last strip takes what is left, and scrolls when it is too much.
        part = cards[start : start + lay.across] if n < lay.strips - 1 else cards[start:]
        mine = selected - start if start <= selected and (selected < start + len(part)) else None
        rows += [*(gap if n else []), *strip(part, mine, width, form, tags, blank)]
    return rows
