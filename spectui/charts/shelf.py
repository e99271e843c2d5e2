"""The rows of the shelf: which scan is where, its two first numbers, and a word where something is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from spectui.charts.cells import FULL, Form, Line, Span, cell_width, cut_end, cut_middle, ellipsis, fitted, pad
from spectui.charts.glyphs import glyphs
from spectui.files.safe import safe

PPFD, RATIO, WORD, WIDE = 6, 6, 6, 60


class ShelfRow(NamedTuple):
    """One scan of the shelf. mark: "A", "B" or empty. word: "fault", "doubt", "error" or empty; `place` and `when`
    show only in the wide form. A number that is not there yet is empty.
    """

    name: str
    ppfd: str = ""
    ratio: str = ""
    word: str = ""
    mark: str = ""
    place: str = ""
    when: str = ""


def shelf_head(folder: str, count: int, width: int, form: Form = FULL) -> list[Line]:
    """Draw the shelf's two top lines: folder and number of scans, and the names of the columns."""
    said = f"{count} scan{'' if count == 1 else 's'}"
    name = cut_middle(safe(folder, ascii=form.ascii), width - len(said) - 2, form)
    first = [*fitted([Span(name, "bright", bold=True)], width - len(said)), Span(said, "dim")]
    title, place, when = _rooms(width)
    spans = [Span("    " + "name".ljust(title), "dim")]
    if place:
        spans.append(Span("  " + "place".ljust(place) + "  " + "taken".ljust(when), "dim"))
    spans.append(Span("PPFD".rjust(PPFD) + "R:FR".rjust(RATIO), "dim"))
    return [fitted(first, width), fitted(spans, width)]


def shelf_row(row: ShelfRow, at_cursor: bool, width: int, form: Form = FULL) -> Line:
    """Draw one row of the shelf, `width` cells: only the rows in sight are asked for."""
    title, place, when = _rooms(width)
    ground = "selected" if at_cursor and form.color else "bg"
    put = bool(row.mark)
    name_ink = "bright" if put or at_cursor else "text"

    def text(words: str, cells: int, right: bool = False, middle: bool = False) -> str:
        clean = safe(words, ascii=form.ascii)
        clean = cut_middle(clean, cells, form) if middle else cut_end(clean, cells, form)
        return " " * (cells - cell_width(clean)) + clean if right else pad(clean, cells)

    def number(words: str, cells: int) -> str:
        words = glyphs(words, form)
        # A number is never cut: what is left of it would be another one.
        return words.rjust(cells) if cell_width(words) < cells else ellipsis(form, cells).rjust(cells)

    spans = [
        Span("> " if at_cursor else "  ", "bright", ground, bold=at_cursor),
        Span((row.mark or " ") + " ", "bright", ground, bold=put),
        Span(text(row.name, title, middle=True), name_ink, ground, bold=put and at_cursor),
    ]
    if place:
        quiet = "text" if at_cursor else "dim"
        spans.append(Span("  " + text(row.place, place) + "  " + text(row.when, when), quiet, ground))
    spans += [
        Span(number(row.ppfd, PPFD) + number(row.ratio, RATIO), name_ink if put else "text", ground),
        Span(text(row.word, WORD, right=True), "bright", ground, bold=True),
    ]
    return fitted(spans, width, ground)


def shelf_rows(
    rows: Sequence[ShelfRow], first: int, cursor: int, height: int, width: int, form: Form = FULL
) -> list[Line]:
    """Draw `height` lines of the shelf from row `first` on; blank lines after the last."""
    shown = rows[first : first + height]
    lines = [shelf_row(row, first + i == cursor, width, form) for i, row in enumerate(shown)]
    return lines + [fitted([], width)] * (height - len(lines))


def shelf_foot(
    faults: int, doubts: int, unsaid: Sequence[tuple[str, int]], width: int, form: Form = FULL, errors: int = 0
) -> list[Line]:
    """Draw the shelf's two last lines: errors, faults and doubts, then what is unsaid and in how many scans."""
    ranks = ((errors, "error"), (faults, "fault"), (doubts, "doubt"))
    counts = [f"{n} {word}{'' if n == 1 else 's'}" for n, word in ranks if n]
    parts = [f"{what} unsaid in {n}" for what, n in unsaid if n]
    second = ""
    for part in parts:
        joined = f"{second}, {part}" if second else part
        if cell_width(joined) > width:
            break
        second = joined
    return [
        fitted([Span(", ".join(counts) or "no fault, no doubt", "text" if counts else "dim")], width),
        fitted([Span(second, "dim")], width),
    ]


def _rooms(width: int) -> tuple[int, int, int]:
    """Return the cells of name, place and time; the last two are 0 in the narrow form."""
    rest = width - 4 - PPFD - RATIO - WORD
    if width < WIDE:
        return max(rest, 1), 0, 0
    place = min(16, rest // 4)
    when = 16
    return rest - place - when - 4, place, when
