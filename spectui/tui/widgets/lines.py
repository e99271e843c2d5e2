"""A panel made of lines of spans. New lines repaint only the cells that changed: a caret step costs one row."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from rich.segment import Segment
from textual.filter import LineFilter
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from spectui.charts.cells import Line, cell_width, merge

if TYPE_CHECKING:
    from spectui.tui.program import SpectuiApp


class Lines(Widget):
    """Holds lines and draws them; `show` takes the new ones."""

    can_focus = False

    def __init__(self, id: str) -> None:
        super().__init__(id=id)
        self._lines: list[Line] = []
        self._strips: dict[int, Strip] = {}

    @property
    def host(self) -> SpectuiApp:
        """The program this panel belongs to."""
        return cast("SpectuiApp", self.app)

    def show(self, lines: Sequence[Line]) -> None:
        """Take new lines and repaint what differs from the old ones."""
        old, self._lines = self._lines, list(lines)
        width = max(self.size.width, 1)
        regions = []
        for y in range(max(len(old), len(lines))):
            before = old[y] if y < len(old) else ()
            after = self._lines[y] if y < len(self._lines) else ()
            if before != after:
                self._strips.pop(y, None)
                left, right = changed(before, after, width)
                regions.append(Region(left, y, right - left, 1))
        if regions:
            self.refresh(*regions)

    def forget(self) -> None:
        """Draw everything anew: the styles have changed."""
        self._strips.clear()
        self.refresh()

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Textual would turn colours to greys under NO_COLOR; the styles have none to begin with."""
        return ()

    def notify_style_update(self) -> None:
        """Drop what was drawn with the old styles."""
        self._strips.clear()
        super().notify_style_update()

    def render_line(self, y: int) -> Strip:
        """Return one row in the width of the panel."""
        width = self.size.width
        strip = self._strips.get(y)
        if strip is None or strip.cell_length != width:
            paint = self.host.paint
            blank = paint.style("text", "bg", False, False)
            line = self._lines[y] if y < len(self._lines) else ()
            strip = Strip([Segment(span.text, paint.of(span)) for span in merge(line)])
            strip = strip.adjust_cell_length(width, blank)
            self._strips[y] = strip
        return strip


def changed(before: Line, after: Line, width: int) -> tuple[int, int]:
    """Return the columns [left, right) in which two lines differ; all where a character is wider than a cell."""
    old, new = _cells(before, width), _cells(after, width)
    if old is None or new is None:
        return 0, width
    left = next((x for x in range(width) if old[x] != new[x]), width)
    right = next((x for x in range(width, left, -1) if old[x - 1] != new[x - 1]), left)
    return (left, right) if left < right else (0, width)


def _cells(line: Line, width: int) -> list[tuple[object, ...]] | None:
    cells: list[tuple[object, ...]] = []
    for span in line:
        if cell_width(span.text) != len(span.text):
            return None
        # Of a blank only the ground is seen.
        blank = (" ", span.ground, span.reverse)
        look = span[1:]
        cells += [blank if character == " " else (character, *look) for character in span.text]
    return (cells + [(" ", "bg", False)] * (width - len(cells)))[:width]
