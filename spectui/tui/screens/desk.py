"""The desk: two panes, their cards, the shelf beside them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from textual import events
from textual.app import ComposeResult
from textual.message import Message
from textual.worker import get_current_worker

from spectui.charts.cells import Line, Span
from spectui.shelf.folder import Found
from spectui.tui import loading
from spectui.tui.layout import SMALLEST, Box, Layout, layout
from spectui.tui.screens.base import KeyScreen
from spectui.tui.state import Desk, Row
from spectui.tui.widgets import bars, foot, heads, picture, shelf, strip
from spectui.tui.widgets.lines import Lines

PANELS = ("heads", "picture", "strip", "bars", "foot", "shelf")


class FilesRead(Message):
    """The worker has read some files."""

    def __init__(self, read: list[tuple[Path, list[Row]]]) -> None:
        super().__init__()
        self.read = read


class DeskScreen(KeyScreen):
    """The main screen."""

    def __init__(self, waiting: list[Found]) -> None:
        super().__init__()
        self._waiting = waiting
        self._left = len(waiting)
        self._placed: Layout | None = None

    @property
    def desk(self) -> Desk:
        """The state."""
        return self.host.desk

    def compose(self) -> ComposeResult:
        """Make the panels; they are placed before they are first drawn."""
        self._panels = {name: Lines(name) for name in PANELS}
        self._place(*self.app.size)
        yield from self._panels.values()

    def on_mount(self) -> None:
        """Read the other files of the shelf in the background."""
        if self._waiting:
            self.run_worker(self._read, thread=True, exclusive=True)

    def _read(self) -> None:
        for batch in loading.batches(self._waiting, get_current_worker()):
            self.post_message(FilesRead(batch))

    def on_files_read(self, message: FilesRead) -> None:
        """Put what was read on the shelf."""
        self._left -= len(message.read)
        self.desk.take(message.read)
        self.redraw()

    def on_resize(self, event: events.Resize) -> None:
        """Draw for the new size."""
        self.redraw()

    def _place(self, width: int, height: int) -> Layout:
        desk = self.desk
        lay = layout(
            width, height, two=desk.b is not None, shelf=desk.shelf, apart=desk.apart, cards=len(desk.cards)
        )
        if self._placed is None or lay.boxes != self._placed.boxes:
            for name, panel in self._panels.items():
                box = lay.boxes.get(name)
                panel.display = box is not None
                if box is not None:
                    styles = panel.styles
                    styles.offset, styles.width, styles.height = (box.x, box.y), box.width, box.height
        self._placed = lay
        return lay

    def draw(self) -> None:
        """Give each panel its lines."""
        lay = self._place(*self.size)
        for name, lines in self.panels(lay).items():
            self._panels[name].show(lines)

    def panels(self, lay: Layout) -> dict[str, list[Line]]:
        """Return the lines of every panel that is shown."""
        width, height = self.size
        return panels(self.desk, lay, width, height, self.host, self.field, self._left)

    # Actions

    def do_quit(self) -> None:
        self.app.exit()

    def do_step_back(self) -> None:
        self.desk.step(-1)

    def do_step_on(self) -> None:
        self.desk.step(+1)


def panels(
    desk: Desk, lay: Layout, width: int, height: int, host: Any, field: Any = None, left: int = 0
) -> dict[str, list[Line]]:
    """Return the lines of every panel of the desk. No screen is needed: this is what snapshots and `write` use."""
    form, boxes = host.form, lay.boxes
    if lay.small:
        words = f"spectui needs {SMALLEST[0]} x {SMALLEST[1]} cells, this is {width} x {height}. q quits."
        return {"heads": [(Span(words[:width], "bright", bold=True),)]}
    drawn = {
        "heads": heads.lines(desk, lay, boxes["heads"], form),
        "picture": picture.lines(desk, lay, boxes["picture"], form, not host.paint.colourful),
        "strip": strip.lines(desk, lay, boxes["strip"], form),
        "foot": foot.lines(desk, host.keymap, width, form, field, f"{left} files to read" if left else ""),
    }
    if "bars" in boxes:
        drawn["bars"] = bars.lines(desk, lay, boxes["bars"], form)
    if "shelf" in boxes:
        drawn["shelf"] = shelf.lines(desk, boxes["shelf"], form)
    return drawn
