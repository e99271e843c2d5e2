"""The Textual application: what all screens share, and how the desk is made ready before the first frame."""

from __future__ import annotations

import asyncio
import codecs
import os
import signal
import sys
import threading
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any

from textual._compositor import LayoutUpdate
from textual.app import App
from textual.binding import Binding

from spectui import cards, places
from spectui.charts.cells import Form
from spectui.core.errors import SpectuiError
from spectui.tui import keymap as keymaps
from spectui.tui import loading, memory, themes
from spectui.tui.rows import Row
from spectui.tui.screens.desk import DeskScreen
from spectui.tui.state import Desk
from spectui.tui.terminal import Terminal


def _forgive_noise() -> None:
    """Let a byte that is no UTF-8 (noise on the line, an old mouse report) come as U+FFFD, which is no key of ours.

    Textual decodes strictly, and its input thread would end, the screen with it.
    """
    if sys.platform != "win32":
        from textual.drivers import linux_driver

        decoder = codecs.getincrementaldecoder("utf-8")
        linux_driver.getincrementaldecoder = lambda name: partial(decoder, "replace")


class SpectuiApp(App[None], inherit_bindings=False):
    """The Textual application: holds what all screens share."""

    ENABLE_COMMAND_PALETTE = False
    BINDINGS = [Binding("ctrl+q", "quit", priority=True), Binding("ctrl+c", "interrupt", priority=True)]
    # Here and not on the screens: the default screen's own CSS_PATH is never loaded.
    CSS_PATH = ["widgets/lines.tcss", "widgets/shelf.tcss"]

    def __init__(self, desk: Desk, first: DeskScreen, able: Terminal) -> None:
        # Our styles carry the terminal's own colours; Textual must neither convert nor filter them.
        super().__init__(ansi_color=True)
        self.desk, self.able = desk, able
        self._first = first
        self._frame: str | None = None
        self.form = Form(able.ascii, able.depth != "none")
        # The last state of lists and pages, by name: there when one returns.
        self.typed: dict[str, str] = {}
        self.scrolled: dict[str, int] = {}
        self.keymap = keymaps.load(places.config() / "keys.toml")
        self.memory, forgotten = memory.load()
        self.sets, unkept = cards.load(desk.known)
        theme, problem = themes.choose(self.memory.theme)
        self.paint = themes.Paint(theme, able.depth)
        desk.take_cards(self.sets.keys)
        desk.hours = self.memory.hours
        # What was not taken from the user's own files: in the news first, then on the keys screen.
        self.told = [*([problem] if problem else []), *forgotten, *unkept, *self.keymap.news, *desk.told]
        desk.news = self._first_of_told() if self.told else self.fairness()

    def fairness(self) -> str:
        """Say that A and B were not taken alike, and where that is told; empty where nothing differs."""
        count = self.desk.differing
        if not count:
            return ""
        return f"{count} condition{'s differ' if count > 1 else ' differs'}: {self.keymap.of('conditions')}"

    def _first_of_told(self) -> str:
        """The first thing that was not taken, short enough for a row, and where the others are."""
        first = self._short(self.told[0])
        more = len(self.told) - 1
        return f"+{more} more on {self.keymap.of('help')}: {first}" if more else first

    @staticmethod
    def _short(sentence: str) -> str:
        return sentence.replace(f"{places.config()}{os.sep}", "")

    def on_mount(self) -> None:
        """Leave cleanly on a signal; after the terminal was lent to another program, draw everything anew."""
        self.app_resume_signal.subscribe(self, self._forget_frame)
        if sys.platform != "win32" and threading.current_thread() is threading.main_thread():
            loop = asyncio.get_running_loop()
            for number in (signal.SIGTERM, signal.SIGHUP):
                loop.add_signal_handler(number, self.exit, None, 128 + number)

    def action_interrupt(self) -> None:
        """Leave as every program does on ctrl+c."""
        self.exit(return_code=130)

    def _forget_frame(self, _: object) -> None:
        self._frame = None

    def _display(self, screen: Any, renderable: Any) -> None:
        """Send no frame twice: Textual draws a new screen whole three times, and over a thin line each counts."""
        frame = renderable.render_segments(self.console) if isinstance(renderable, LayoutUpdate) else None
        if frame is not None and frame == self._frame:
            return
        if renderable is not None:
            self._frame = frame
        super()._display(screen, renderable)

    def take_theme(self, name: str) -> str:
        """Change to a theme and remember it; return the news."""
        theme, problem = themes.choose(name)
        self.paint = themes.Paint(theme, self.able.depth)
        for screen in self.screen_stack:
            screen.forget()  # type: ignore[attr-defined]
        if problem:
            # Whole on the keys screen; a row has room for its beginning.
            self.told = list(dict.fromkeys([*self.told, problem]))
            return self._short(problem)
        self.memory = memory.Memory(name, self.memory.hours)
        return memory.save(self.memory) or f"theme {name}"

    def started(self) -> None:
        """The first frame is out: collect garbage again, but never look at what the start left."""
        import gc

        if not gc.isenabled():
            gc.freeze()
            gc.enable()

    def get_default_screen(self) -> DeskScreen:
        """Open on the desk."""
        return self._first


def build(paths: Sequence[str], able: Terminal, unit: str | None = None) -> SpectuiApp:
    """Make the program with the first scan read and the other files waiting for the worker.

    Two files named: the second goes into pane B. Raises FileError where not one of the paths exists.
    """
    _forgive_noise()
    files = loading.found(paths or ["."])
    missing = [file.error for file in files if file.named and file.error is not None]
    if missing and len(missing) == len(files):
        raise missing[0]
    desk = Desk(rows=[Row(Path(file.path)) for file in files], folder=_folder(paths), unit=unit)
    _own_settings(desk)
    waiting = list(files)
    pair = len(files) == 2 and all(file.named for file in files)
    for file in files[: 2 if pair else 8]:
        waiting.remove(file)
        desk.take([(Path(file.path), loading.read(file, unit))])
        if desk.scan_a is not None and not pair:
            break
    if pair and desk.scan_a is not None and len(desk.rows) == 2 and desk.rows[1].scan is not None:
        desk.put_b(1)
        desk.fit()
        desk.news = ""
    return SpectuiApp(desk, DeskScreen(waiting), able)


def _own_settings(desk: Desk) -> None:
    """The user's limits of doubt and action spectra; what is malformed in them is told and left out."""
    if not places.config().is_dir():
        return
    from spectui import settings

    try:
        desk.limits = settings.limits()
    except SpectuiError as error:
        desk.told.append(str(error))
    try:
        desk.more = tuple(settings.actions())
    except SpectuiError as error:
        desk.told.append(str(error))


def _folder(paths: Sequence[str]) -> str:
    """The name over the shelf."""
    if len(paths) == 1:
        return Path(os.path.abspath(paths[0])).name or paths[0]
    return "files named" if paths else Path.cwd().name
