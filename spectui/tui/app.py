"""The program on the screen: reads the first file, opens the desk, returns the exit code."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path

from textual.app import App
from textual.binding import Binding

from spectui import places
from spectui.charts.cells import Form
from spectui.tui import keymap as keymaps
from spectui.tui import loading, themes
from spectui.tui.screens.desk import DeskScreen
from spectui.tui.state import Desk, Row
from spectui.tui.terminal import Terminal, refusal, terminal


class SpectuiApp(App[None], inherit_bindings=False):
    """The Textual application: holds what all screens share."""

    ENABLE_COMMAND_PALETTE = False
    BINDINGS = [Binding("ctrl+c,ctrl+q", "quit", show=False)]
    # Here and not on the screens: the default screen's own CSS_PATH is never loaded.
    CSS_PATH = ["widgets/lines.tcss", "widgets/shelf.tcss"]

    def __init__(self, desk: Desk, first: DeskScreen, able: Terminal, theme: str = themes.DEFAULT) -> None:
        # Our styles carry the terminal's own colours; Textual must neither convert nor filter them.
        super().__init__(ansi_color=True)
        self.desk, self.able = desk, able
        self._first = first
        self.keymap = keymaps.load(places.config() / "keys.toml")
        chosen, problem = themes.choose(theme)
        self.paint = themes.Paint(chosen, able.depth)
        self.form = Form(able.ascii, able.depth != "none")
        told = [problem] if problem else []
        self.told = [*told, *self.keymap.news]
        if self.told:
            desk.news = "   ".join(self.told)

    def get_default_screen(self) -> DeskScreen:
        """Open on the desk."""
        return self._first


def run(paths: Sequence[str], theme: str = "") -> int:
    """Show files and folders on the screen until the user quits; return the exit code."""
    why_not = refusal()
    if why_not is not None:
        print(why_not, file=sys.stderr)
        return 2
    app = build(paths, terminal(), theme)
    app.run(mouse=False)
    if app.return_code is None:
        # Textual ends so when its input thread dies, for instance of a stray byte: that is no success.
        print("spectui: the terminal sent something unreadable and the screen was closed", file=sys.stderr)
        return 1
    return app.return_code


def build(paths: Sequence[str], able: Terminal, theme: str = "") -> SpectuiApp:
    """Make the program with the first scan read and the other files waiting for the worker."""
    files = loading.found(paths or ["."])
    desk = Desk(rows=[Row(Path(file.path)) for file in files], folder=_folder(paths))
    desk.shelf = len(files) > 1
    waiting = list(files)
    for file in files[:8]:
        waiting.remove(file)
        desk.take([(Path(file.path), loading.read(file))])
        if any(row.scan is not None for row in desk.rows):
            break
    return SpectuiApp(desk, DeskScreen(waiting), able, theme or themes.DEFAULT)


def _folder(paths: Sequence[str]) -> str:
    """The name over the shelf."""
    if len(paths) == 1:
        return Path(os.path.abspath(paths[0])).name or paths[0]
    return "files named" if paths else Path.cwd().name
