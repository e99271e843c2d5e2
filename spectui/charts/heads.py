"""What is shown, at the top: title, place and time of A and B, and how far to trust each, in words.

The trust words are never cut. Where room is short the place is cut first, then the title in its middle, then the time
is left out. B's line says only what differs from A's.
"""

from __future__ import annotations

from typing import NamedTuple

from spectui.charts.cells import FULL, Form, Line, Span, cell_width, cut_end, cut_middle, fitted, pad
from spectui.core.scan import Scan
from spectui.files.safe import safe

LEAST_PLACE, LEAST_TITLE = 5, 8


class Head(NamedTuple):
    """What a head line says of one scan. raised: the trust words are a doubt or a fault. position: "3/14" or empty."""

    title: str
    trust: str = ""
    raised: bool = False
    place: str = ""
    date: str = ""
    time: str = ""
    position: str = ""


class _Row(NamedTuple):
    tag: str
    title: str
    place: Span
    when: Span
    trust: str
    raised: bool
    position: str


def head(scan: Scan, trust: str, raised: bool, position: str = "") -> Head:
    """Return the head of a scan; date and time as the file says them, to the minute."""
    date, _, time = (scan.taken_at or "").replace(" ", "T", 1).partition("T")
    return Head(scan.title, trust, raised, scan.meta.get("place", ""), date, time[:5], position)


def heads(a: Head | None, b: Head | None, width: int, form: Form = FULL) -> list[Line]:
    """Draw one line for each of A and B that is given, their columns aligned, `width` cells each."""
    rows = []
    if a is not None:
        rows.append(_row("A", a, None, form))
    if b is not None:
        rows.append(_row("B", b, a, form))
    if not rows:
        return []
    position = max(cell_width(row.position) for row in rows)
    start = 5 + (position + 1 if position else 0)
    title = max(cell_width(row.title) for row in rows)
    place = max(cell_width(row.place.text) for row in rows)
    time = True

    def excess() -> int:
        """Return by how many cells the fullest row is too long."""
        fixed = start + title + (3 + place if place else 0)
        gap = 2 if place else 3
        whens = [gap + cell_width(row.when.text) if time and row.when.text else 0 for row in rows]
        return max(fixed + when + _trust_cells(row) for when, row in zip(whens, rows, strict=True)) - width

    if excess() > 0 and place:
        place = place - excess() if place - excess() >= LEAST_PLACE else 0
    if excess() > 0:
        title = max(title - excess(), min(title, LEAST_TITLE))
    if excess() > 0:
        time = False
    if excess() > 0:
        title = max(title - excess(), 0)
    lines = []
    for row in rows:
        spans = _tag(row.tag, form)
        if position:
            spans.append(Span(pad(row.position, position + 1), "dim"))
        spans.append(Span(pad(cut_middle(row.title, title, form), title), "bright", bold=True))
        if place:
            spans += [Span("   "), row.place._replace(text=pad(cut_end(row.place.text, place, form), place))]
        if time and row.when.text:
            spans += [Span("  " if place else "   "), row.when]
        lines.append(_with_trust(spans, row, width, form))
    return lines


def pane_heads(tag: str, this: Head, width: int, form: Form = FULL, reference: Head | None = None) -> list[Line]:
    """Draw the two lines over one pane when A and B stand apart; reference: A's head, for B's "same place"."""
    row = _row(tag, this, reference, form)
    position = 3 + cell_width(row.position) if row.position else 0
    room = max(width - 5 - position - _trust_cells(row), 0)
    title = cut_middle(row.title, room, form)
    first = [*_tag(tag, form), Span(title, "bright", bold=True)]
    if position and room >= LEAST_TITLE:
        first.append(Span("   " + row.position, "dim"))
    place = cut_end(row.place.text, max(width - 8 - cell_width(row.when.text), 0), form)
    second = [Span("     "), row.place._replace(text=place), Span("   " if place else ""), row.when]
    return [_with_trust(first, row, width, form), fitted(second, width)]


def _row(tag: str, this: Head, reference: Head | None, form: Form) -> _Row:
    def clean(text: str) -> str:
        return safe(text, ascii=form.ascii)

    place, date = Span(clean(this.place), "text"), " ".join(filter(None, (this.date, this.time)))
    when = Span(clean(date), "text")
    if reference is not None:
        if this.place and this.place == reference.place:
            place = Span("same place", "dim")
        if this.date and this.date == reference.date:
            same = this.time == reference.time
            when = Span("same time", "dim") if same else Span(clean(this.time), "text")
    return _Row(tag, clean(this.title), place, when, clean(this.trust), this.raised, clean(this.position))


def _tag(tag: str, form: Form) -> list[Span]:
    if tag == "A":
        swatch = Span("::" if form.ascii else "██", "fill")
    else:
        swatch = Span("**" if form.ascii else "⠒⠒", "dots")
    return [Span(f"{tag} ", "bright", bold=True), swatch, Span(" ")]


def _trust_cells(row: _Row) -> int:
    """Return the cells that the trust words take: a blank on either side, which their tile also covers."""
    return cell_width(row.trust) + 2 if row.trust else 0


def _with_trust(spans: list[Span], row: _Row, width: int, form: Form) -> Line:
    words = f" {row.trust} " if row.trust else ""
    words = cut_end(words, width, form)
    before = fitted(spans, width - cell_width(words))
    if not row.raised:
        return fitted([*before, Span(words, "dim")], width)
    return fitted([*before, Span(words, "bright", "selected" if form.color else "bg", bold=True)], width)
