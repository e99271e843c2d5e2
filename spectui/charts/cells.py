"""What every chart is made of: a line is a tuple of spans, a span is text with a role. Colour is decided later."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from spectui.files.width import cell_width as cell_width


class Span(NamedTuple):
    """A run of cells that look alike.

    ink: the role of the text (text, bright, dim, faint, fill, ghost, hatch) or `#rrggbb`, which only the ribbon uses.
    ground: the role behind it (bg, panel, selected, fill, ghost).
    """

    text: str
    ink: str = "text"
    ground: str = "bg"
    bold: bool = False
    reverse: bool = False


Line = tuple[Span, ...]


class Form(NamedTuple):
    """Which glyphs a chart may use. ascii: 7-bit characters only. color: False is the NO_COLOR form, shapes alone."""

    ascii: bool = False
    color: bool = True

    @property
    def shapes(self) -> bool:
        """True where grounds cannot be relied on: brackets and rules carry what a tile would."""
        return self.ascii or not self.color


FULL = Form()


def plain(line: Line) -> str:
    """Return the line's characters alone."""
    return "".join(span.text for span in line)


def line_width(line: Line) -> int:
    """Return how many cells a line takes."""
    return sum(cell_width(span.text) for span in line)


def start_of(text: str, cells: int) -> str:
    """Return the longest start of the text that fits in `cells`."""
    if text.isascii():
        return text[: max(cells, 0)]
    while text and cell_width(text) > cells:
        text = text[:-1]
    return text


def cut_end(text: str, cells: int, form: Form = FULL) -> str:
    """Shorten at the end, with an ellipsis, to at most `cells`."""
    if cell_width(text) <= cells:
        return text
    mark = ellipsis(form, cells)
    return start_of(text, cells - len(mark)).rstrip() + mark


def cut_middle(text: str, cells: int, form: Form = FULL) -> str:
    """Shorten in the middle, with an ellipsis, to at most `cells`: start and end tell things apart."""
    if cell_width(text) <= cells:
        return text
    mark = ellipsis(form, cells)
    room = max(cells - len(mark), 0)
    start = start_of(text, room - room // 2)
    end = start_of(text[::-1], room - cell_width(start))[::-1]
    return start + mark + end


def ellipsis(form: Form, cells: int) -> str:
    """Return the mark of a cut that still fits."""
    return ("..." if form.ascii and cells >= 5 else "." if form.ascii else "…")[: max(cells, 0)]


def pad(text: str, cells: int) -> str:
    """Fill up with blanks on the right to `cells`."""
    return text + " " * (cells - cell_width(text))


def merge(spans: Iterable[Span]) -> Line:
    """Join neighbours that look alike; a blank takes its neighbour's ink and weight, which saves a style change."""
    joined: list[Span] = []
    for span in spans:
        if not span.text:
            continue
        if joined:
            last = joined[-1]
            same_ground = last.ground == span.ground and not last.reverse and not span.reverse
            if last[1:] == span[1:] or (same_ground and span.text.isspace()):
                joined[-1] = last._replace(text=last.text + span.text)
                continue
            if same_ground and last.text.isspace():
                joined[-1] = span._replace(text=last.text + span.text)
                continue
        joined.append(span)
    return tuple(joined)


def fitted(spans: Iterable[Span], width: int, ground: str = "bg") -> Line:
    """Join spans and make the line exactly `width` cells: filled up with blanks, or cut."""
    line: list[Span] = []
    left = width
    for span in spans:
        cells = cell_width(span.text)
        if cells > left:
            span = span._replace(text=start_of(span.text, left))
            cells = cell_width(span.text)
        line.append(span)
        left -= cells
        if left <= 0:
            break
    if left > 0:
        line.append(Span(" " * left, ground=ground))
    return merge(line)
