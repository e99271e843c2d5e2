"""A grid of cells that charts are put together on, and what it shows: a window of two values."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor
from typing import NamedTuple

from spectui.charts.cells import Form, Line, Span, cell_width, merge
from spectui.charts.glyphs import glyphs

# A cell is about twice as high as wide; a braille cell has 2 × 4 dots, so dots are about square.
CELL_RATIO = 2.0


class Window(NamedTuple):
    """What a plot shows: the values at its left, right, lower and upper edge."""

    left: float
    right: float
    lower: float
    upper: float


class Mark(NamedTuple):
    """A word at a point, its middle there.

    must: written over whatever is drawn; else only where all its cells and the one on either side are free, at the
    first of `places` that is: (columns to the right, rows up) from the point.
    """

    x: float
    y: float
    text: str
    ink: str = "dim"
    bold: bool = False
    must: bool = False
    places: Sequence[tuple[int, int]] = ((0, 0),)


class Cell(NamedTuple):
    """One cell of a plot."""

    char: str = " "
    ink: str = "dim"
    ground: str = "bg"
    bold: bool = False
    reverse: bool = False


EMPTY = Cell()


class Cells:
    """A grid of cells, row 0 at the top, one character each."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self.rows = [[EMPTY] * width for _ in range(height)]

    def free(self, x: int, y: int, cells: int) -> bool:
        """Return whether `cells` cells from column x of row y are inside and empty."""
        inside = 0 <= y < self.height and x >= 0 and x + cells <= self.width
        return inside and all(self.rows[y][x + k].char == " " for k in range(cells))

    def write(self, x: int, y: int, text: str, ink: str = "dim", bold: bool = False) -> None:
        """Write a text over what is there; what is outside is left out."""
        for k, char in enumerate(text):
            if 0 <= y < self.height and 0 <= x + k < self.width:
                # A wide or a combining character would move the rest of the row.
                self.rows[y][x + k] = Cell(char if cell_width(char) == 1 else "?", ink, "bg", bold)

    def lines(self) -> list[Line]:
        """Return the rows as lines."""
        return [merge(Span(*cell) for cell in row) for row in self.rows]


def equal(window: Window, width: int, height: int) -> Window:
    """Widen a window so that one unit is as long to the eye across as it is up, in a plot of so many cells."""
    across, up = (window.right - window.left) / width, (window.upper - window.lower) / (height * CELL_RATIO)
    unit = max(across, up)
    dx = (unit * width - (window.right - window.left)) / 2
    dy = (unit * height * CELL_RATIO - (window.upper - window.lower)) / 2
    return Window(window.left - dx, window.right + dx, window.lower - dy, window.upper + dy)


def cell_of(x: float, y: float, window: Window, width: int, height: int) -> tuple[int, int] | None:
    """Return (column, row from the top) of the cell that holds a point, None where the window does not show it."""
    if not (window.left <= x <= window.right and window.lower <= y <= window.upper):
        return None
    across = (x - window.left) / (window.right - window.left) * width
    down = (window.upper - y) / (window.upper - window.lower) * height
    return min(floor(across), width - 1), min(floor(down), height - 1)


def put(cells: Cells, mark: Mark, window: Window, form: Form) -> None:
    """Write a word where it belongs, if it must or if there is room."""
    at = cell_of(mark.x, mark.y, window, cells.width, cells.height)
    if at is None:
        return
    text = glyphs(mark.text, form)
    wide = cell_width(text)
    for right, up in mark.places:
        x, y = at[0] - (wide - 1) // 2 + right, at[1] - up
        if mark.must or _alone(cells, x, y, wide):
            cells.write(x, y, text, mark.ink, mark.bold)
            return


def _alone(cells: Cells, x: int, y: int, wide: int) -> bool:
    """Return whether a word there would touch no other: its cells are free, and those beside it hold no letter."""
    if not cells.free(x, y, wide):
        return False
    row = cells.rows[y]
    return not any(0 <= k < cells.width and (row[k].char.isalnum() or row[k].char in "+−-") for k in (x - 1, x + wide))
