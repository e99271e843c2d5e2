"""The cards: one ruled strip of numbers, a column a metric, rows A, B and B-A, aligned on the decimal point.

The texts come formatted (report/numbers.py is the one place that rounds); the strip only lays them out.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from spectui.charts.cells import FULL, Form, Line, Span, cell_width, cut_end, fitted
from spectui.charts.glyphs import glyphs

GUTTER, FIRST, OTHER = 6, 13, 12  # cells of the row tags, of the first card, of every other


class Cell(NamedTuple):
    """One number of a card, as text: "412", "±21", "%". bold: what weighs (PPFD, a difference beyond its ±)."""

    number: str
    uncertainty: str = ""
    unit: str = ""
    bold: bool = False


class Card(NamedTuple):
    """One column: a short name, A's number, and with a second scan B's and the difference."""

    name: str
    a: Cell
    b: Cell | None = None
    difference: Cell | None = None


def strip(
    cards: Sequence[Card], selected: int | None, width: int, form: Form = FULL, tags: str = "AB", blank: int = 0
) -> list[Line]:
    """Draw the header and the rows A, B, B-A (only A where no card has a B): each `width` cells.

    selected: index of the chosen card, kept in view; cards left and right of what fits are counted at the ends of the
    header. tags: "AB", or "B" for B's pane alone (rows B and B-A). blank: empty rows under the others.
    """
    first, last = window(len(cards), selected, width)
    shown = cards[first:last]
    two = any(card.b is not None for card in cards)
    minus = "-" if form.ascii else "\N{MINUS SIGN}"
    rows: list[tuple[str, list[Cell | None]]] = []
    if "A" in tags:
        rows.append(("A", [card.a for card in shown]))
    if two and "B" in tags:
        rows += [("B", [card.b for card in shown]), (f"B{minus}A", [card.difference for card in shown])]
    rows += [("", [None] * len(shown))] * blank
    before, after = first, len(cards) - last
    lines = [_header(shown, selected, first, before, after, width, form)]
    laid = [_laid(card, [cells[i] for _, cells in rows], i + first, form) for i, card in enumerate(shown)]
    for r, (tag, _) in enumerate(rows):
        spans = [Span(f" {tag}".ljust(GUTTER - 1), "bright", _ground(form), bold=True)]
        for i in range(len(shown)):
            spans += _tile(laid[i][r], i + first, selected, form, i + first == 0)
        lines.append(fitted(spans, width, _ground(form)))
    return lines


def unit_shown(card: Card, index: int, form: Form = FULL) -> bool:
    """Return whether the card at that place has room for its unit beside the numbers of A and B."""
    rows = [card.a, card.b]
    laid = _laid(card, [card.a, card.b, card.difference], index, form)
    return all(
        any(span.text == " " + glyphs(cell.unit, form) for span in spans)
        for cell, spans in zip(rows, laid, strict=False)
        if cell is not None and cell.unit
    )


def window(count: int, selected: int | None, width: int) -> tuple[int, int]:
    """Return (first, past last) of the cards shown: as many as fit, moved just so far that the selected one is seen."""
    fits = max((width - GUTTER - (FIRST - OTHER) + 1) // OTHER, 1)
    if count <= fits:
        return 0, count
    # Scrolled, the first card is as wide as any other; the marks for more stand in the gutter and at the end.
    first = 0 if selected is None else min(max(selected - fits + 1, 0), count - fits)
    return first, first + fits


def note_line(text: str, width: int, form: Form = FULL) -> Line:
    """Draw the dim line over the strip (unit, k, what ≈ means), right-aligned; ruled where there is no panel below."""
    text = f" {glyphs(text, form)} "
    before = width - cell_width(text)
    if before < 0:
        return fitted([Span(cut_end(text, width, form), "dim")], width)
    rule = ("-" if form.ascii else "─") if form.shapes else " "
    return fitted([Span(rule * before, "faint" if form.shapes else "dim"), Span(text, "dim")], width)


def _header(
    shown: Sequence[Card], selected: int | None, first: int, before: int, after: int, width: int, form: Form
) -> Line:
    back, on = ("<", ">") if form.ascii else ("‹", "›")
    ground = _ground(form)
    mark = f"{after}{on}" if after else ""
    spans = [Span((f" {back}{before}" if before else "").ljust(GUTTER - 1), "dim", ground)]
    for i, card in enumerate(shown):
        chosen = i + first == selected
        # The count of the cards that follow stands clear of the last name.
        left = width - cell_width(mark) - 2 - sum(cell_width(span.text) for span in spans) - (2 if i + first else 1)
        name = cut_end(glyphs(card.name, form), min(OTHER - 2, left) if mark else OTHER - 2, form)
        spans += _tile([Span(name, "bright" if chosen else "dim", bold=chosen)], i + first, selected, form,
                       i + first == 0, header=True)  # fmt: skip
    if not mark:
        return fitted(spans, width, ground)
    return fitted([*fitted(spans, width - len(mark) - 1, ground), Span(mark + " ", "dim", ground)], width)


def _tile(
    texts: list[Span], index: int, selected: int | None, form: Form, wide: bool, header: bool = False
) -> list[Span]:
    """Lay one card's cells of one row out: a blank before, the text, blanks after; chosen, they are a lifted tile."""
    chosen = index == selected
    room = (FIRST if wide else OTHER) - 2
    used = sum(cell_width(span.text) for span in texts)
    rule = Span(" ", ground=_ground(form))
    if form.shapes and index:
        rule = Span("|" if form.ascii else "│", "faint", _ground(form))
    if chosen and form.shapes and header:
        body = [Span("[", "bright", bold=True), *texts, Span("]", "bright", bold=True), Span(" " * (room - used - 1))]
    else:
        body = [Span(" "), *texts, Span(" " * (room - used))]
    ground = "selected" if chosen and form.color else _ground(form)
    # On the lifted tile dim is too close to the ground: it becomes text.
    body = [s._replace(ground=ground, ink="text" if s.ink == "dim" and ground == "selected" else s.ink) for s in body]
    return [*([] if wide else [rule]), *body]


def _laid(card: Card, cells: list[Cell | None], index: int, form: Form) -> list[list[Span]]:
    """Return the spans of each row of a card, the numbers aligned on their decimal points."""
    whole = max((_whole(glyphs(cell.number, form)) for cell in cells if cell), default=0)
    return [_spans(cell, whole, (FIRST if index == 0 else OTHER) - 2, form) if cell else [] for cell in cells]


def _spans(cell: Cell, whole: int, room: int, form: Form) -> list[Span]:
    number = glyphs(cell.number, form)
    # Where the room is short the alignment gives way, not the number.
    number = " " * min(whole - _whole(number), max(room - cell_width(number), 0)) + number
    ink = "bright" if cell.bold else "text"
    spans = [Span(cut_end(number, room, form), ink, bold=cell.bold)]
    used = cell_width(spans[0].text)
    for extra in (cell.uncertainty, cell.unit):
        text = " " + glyphs(extra, form)
        # Only whole words: what does not fit stands in the card's detail.
        if extra and used + cell_width(text) <= room:
            spans.append(Span(text, "dim"))
            used += cell_width(text)
    return spans


def _whole(number: str) -> int:
    """Return the cells before the decimal point."""
    return cell_width(number.partition(".")[0])


def _ground(form: Form) -> str:
    return "panel" if form.color and not form.ascii else "bg"
