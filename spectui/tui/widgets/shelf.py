"""The shelf: the scans of the folder, their first numbers, and what is wrong with them."""

from __future__ import annotations

from math import floor, log10

from spectui.charts.cells import Form, Line, Span, fitted
from spectui.charts.shelf import ShelfRow, shelf_foot, shelf_head, shelf_rows
from spectui.core.quality import worst
from spectui.report.numbers import number
from spectui.tui.layout import Box
from spectui.tui.state import Desk

HEAD, FOOT = 2, 2


def page(box: Box) -> int:
    """Return how many rows of the shelf are in sight."""
    return max(box.height - HEAD - FOOT - 1, 1)


def lines(desk: Desk, box: Box, form: Form) -> list[Line]:
    """Return the shelf with a rule on its right."""
    width, height = box.width - 2, page(box)
    first = desk.first_in_sight(height)
    rows = [_row(desk, n) for n in range(first, min(first + height, len(desk.rows)))]
    found = desk.tally
    unsaid = sorted(found.unsaid.items(), key=lambda item: item[0] not in ("place", "time", "dark"))
    body = [
        *shelf_head(desk.folder, len(desk.rows), width, form),
        *shelf_rows(rows, 0, desk.cursor - first, height, width, form),
        fitted([], width),
        *shelf_foot(found.faults, found.doubts, unsaid, width, form, sum(row.error is not None for row in desk.rows)),
    ]
    rule = Span(" |" if form.ascii else " │", "faint")
    return [fitted([*line, rule], box.width) for line in body[: box.height]]


def _row(desk: Desk, n: int) -> ShelfRow:
    row = desk.rows[n]
    mark = "A" if n == desk.a else "B" if n == desk.b else ""
    if row.result is None:
        return ShelfRow(row.name, word="error" if row.error is not None else "", mark=mark)
    ppfd, ratio = row.result["ppfd"].value, row.result["r_fr"].value
    return ShelfRow(row.name, _short(ppfd), _short(ratio), worst(row.result.flags) or "", mark)


def _short(value: float | None) -> str:
    """Three digits are enough to find a scan by, and whole numbers from 100 on."""
    if not value:
        return number(value)
    return number(value, 5.0 * 10.0 ** min(floor(log10(abs(value))) - 2, 0))
