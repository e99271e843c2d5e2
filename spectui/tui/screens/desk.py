"""The desk: two panes, their cards, the shelf beside them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from textual import events
from textual.app import ComposeResult
from textual.message import Message
from textual.worker import get_current_worker

from spectui.charts.cells import Line, Span
from spectui.core.scan import Scan
from spectui.shelf.folder import Found
from spectui.tui import loading, moves
from spectui.tui.field import Field
from spectui.tui.layout import SMALLEST, Layout, layout, shelf_shown
from spectui.tui.results import Colours, colours_of
from spectui.tui.rows import Row
from spectui.tui.screens.openings import Openings
from spectui.tui.state import Desk
from spectui.tui.widgets import bars, beside, foot, heads, picture, shelf, strip, teach
from spectui.tui.widgets.lines import Lines

# In the order in which they lie on each other: `ground` is what shows between the others.
PANELS = ("ground", "heads", "picture", "strip", "bars", "foot", "shelf")


class FilesRead(Message):
    """The worker has read some files."""

    def __init__(self, read: list[tuple[Path, list[Row]]]) -> None:
        super().__init__()
        self.read = read


class ColoursComputed(Message):
    """The worker has colour numbers of some scans."""

    def __init__(self, computed: list[tuple[Scan, Colours]]) -> None:
        super().__init__()
        self.computed = computed


class DeskScreen(Openings):
    """The main screen."""

    def __init__(self, waiting: list[Found]) -> None:
        super().__init__()
        self._waiting = waiting
        self._left = len(waiting)
        self._placed: Layout | None = None
        self._colouring = False

    def compose(self) -> ComposeResult:
        """Make the panels, placed and with their lines, so that the first frame is whole."""
        self._panels = {name: Lines(name) for name in PANELS}
        self.draw()
        yield from self._panels.values()

    def on_mount(self) -> None:
        """Read the other files of the shelf in the background."""
        if self._waiting:
            self.run_worker(self._read, thread=True, exclusive=True)

    def _read(self) -> None:
        for batch in loading.batches(self._waiting, get_current_worker(), self.desk.unit):
            self.post_message(FilesRead(batch))

    def on_idle(self) -> None:
        """The first time nothing is left to do, the first frame is out."""
        super().on_idle()
        self.host.started()
        if self.desk.uncoloured and not self._colouring:
            self._colouring = True
            self.run_worker(self._compute_colours, thread=True, group="colours")

    def _compute_colours(self) -> None:
        """Compute what the panes show, and nothing of what they showed before."""
        self.post_message(ColoursComputed([(scan, colours_of(scan)) for scan in self.desk.uncoloured]))

    def on_colours_computed(self, message: ColoursComputed) -> None:
        """Show the colour numbers."""
        self._colouring = False
        self.desk.results.take(message.computed)
        self.redraw()

    def on_files_read(self, message: FilesRead) -> None:
        """Put what was read on the shelf."""
        self._left -= len(message.read)
        self.desk.take(message.read)
        self.redraw()

    def on_resize(self, event: events.Resize) -> None:
        """Draw for the new size."""
        self.redraw()

    def _place(self, width: int, height: int) -> Layout:
        lay = arranged(self.desk, width, height)
        if self._placed is None or lay.boxes != self._placed.boxes:
            for name, panel in self._panels.items():
                if name == "ground":
                    continue
                box = lay.boxes.get(name)
                panel.display = box is not None
                if box is not None:
                    styles = panel.styles
                    styles.offset, styles.width, styles.height = (box.x, box.y), box.width, box.height
        self._placed = lay
        return lay

    def draw(self) -> None:
        """Give each panel its lines."""
        width, height = self.app.size
        lay = self._place(width, height)
        for name, lines in panels(self.desk, lay, width, height, self.host, self.field, self._left).items():
            self._panels[name].show(lines)

    def forget(self) -> None:
        """Draw everything anew, in other colours."""
        for panel in self._panels.values():
            panel.forget()
        self.redraw()

    # Actions

    def key(self, key: str) -> None:
        """Where there is no room for the desk only the key that is told does something: nothing happens unseen."""
        if self._placed is None or not self._placed.small or self.host.keymap.action(key, self.WHERE) == "quit":
            super().key(key)

    def run(self, action: str) -> None:
        """Run an action: those that only change the state stand in a table."""
        move = moves.MOVES.get(action)
        if move is None:
            super().run(action)
            return
        move(self.desk)
        if action.startswith("shelf_"):
            self._tell_cursor()
        elif action in ("put_a", "put_b", "step_on", "step_back"):
            self.desk.news = "   ".join(part for part in (self.desk.news, self.host.fairness()) if part)
        self.redraw()

    def _tell_cursor(self) -> None:
        """Where the shelf is folded, the news say what the cursor is on."""
        desk = self.desk
        if desk.rows and (self._placed is None or "shelf" not in self._placed.boxes):
            desk.news = f"at {desk.cursor + 1}/{len(desk.rows)}: {desk.rows[desk.cursor].name}"

    def do_shelf(self) -> None:
        desk = self.desk
        desk.shelf = not shelf_shown(desk.shelf, self.app.size.width, len(desk.rows), desk.apart)

    def do_apart(self) -> None:
        moves.apart(self.desk, self.app.size.width)

    def _page_of_shelf(self) -> int:
        box = self._placed.boxes.get("shelf") if self._placed is not None else None
        return shelf.page(box) if box is not None else 10

    def do_shelf_page_up(self) -> None:
        self.desk.move(-self._page_of_shelf())
        self._tell_cursor()

    def do_shelf_page_down(self) -> None:
        self.desk.move(self._page_of_shelf())
        self._tell_cursor()

    def do_back(self) -> None:
        desk = self.desk
        if self._placed is not None and "shelf" in self._placed.boxes and not self._placed.beside:
            desk.shelf = False
        elif desk.apart:
            moves.apart(desk, self.app.size.width)
        else:
            desk.news = f"this is the desk; {self.host.keymap.of('quit')} leaves spectui"

    def do_quit(self) -> None:
        self.app.exit()


def arranged(desk: Desk, width: int, height: int) -> Layout:
    """Return where the panels of this desk stand."""
    return layout(
        width,
        height,
        two=desk.scan_b is not None,
        shelf=shelf_shown(desk.shelf, width, len(desk.rows), desk.apart),
        apart=desk.apart,
        cards=len(desk.cards),
    )


def panels(
    desk: Desk, lay: Layout, width: int, height: int, host: Any, field: Field | None = None, left: int = 0
) -> dict[str, list[Line]]:
    """Return the lines of every panel of the desk. No screen is needed: snapshots and `write` use it too.

    host: what has `form`, `keymap` and `paint`. left: how many files are still to be read.
    """
    form, boxes = host.form, lay.boxes
    if lay.small:
        least = f"spectui needs {SMALLEST[0]} x {SMALLEST[1]} cells"
        words = f"{least}, here are {width} x {height}; {host.keymap.of('quit')} quits"
        typing = [field.line(desk.news, form.ascii)] if field is not None else []
        return {"heads": [(Span(words, "bright", bold=True),), *typing]}
    reading = f"{left} file{'' if left == 1 else 's'} still to read" if left else ""
    drawn = {
        "heads": heads.lines(desk, lay, boxes["heads"], form),
        "foot": foot.lines(desk, host.keymap, width, form, field, reading, "shelf" in boxes),
        "strip": strip.lines(desk, lay, boxes["strip"], form),
    }
    if desk.scan_a is None:
        drawn["picture"] = teach.lines(desk, boxes["picture"], form)
    else:
        drawn["picture"] = picture.lines(desk, lay, boxes["picture"], form, not host.paint.colourful)
    drawn["ground"] = beside.rule(width, height - 3, form) if lay.apart else []
    if "bars" in boxes:
        drawn["bars"] = bars.lines(desk, boxes["bars"], form)
    if "shelf" in boxes:
        drawn["shelf"] = shelf.lines(desk, boxes["shelf"], form)
    return drawn
