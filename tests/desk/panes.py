"""A tmux pane of our own: keys go in, text comes out, and everything is waited for by looking, never by sleeping."""

from __future__ import annotations

import itertools
import os
import shlex
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

LIMIT = 30.0  # s until something that was waited for counts as missed
PAUSE = 0.03  # s between two looks

_numbers = itertools.count()


class Missed(Exception):
    """Something that should have been on the screen was not; carries the last screen."""


class Pane:
    """One program in one tmux server, `columns` × `rows`, in `folder` with its own settings folder."""

    def __init__(self, command: list[str], columns: int, rows: int, folder: Path, config: Path, **extra: str) -> None:
        # Each pane has a server of its own: one that is ending must not be asked for the next.
        self._socket = str(folder / f".tmux-{next(_numbers)}")
        settings = folder / ".tmux.conf"
        settings.write_text(
            "set -g status off\nset -g escape-time 0\nset -g remain-on-exit on\nset -g default-terminal tmux-256color\n"
        )
        environment = {"LANG": "C.UTF-8", "COLORTERM": "truecolor", "XDG_CONFIG_HOME": str(config)} | extra
        words = ["env", *(f"{key}={value}" for key, value in environment.items()), *command]
        # The exit code goes through a file: tmux itself misses the end of a short-lived program now and then.
        self._code = folder / ".exit-code"
        self._code.unlink(missing_ok=True)
        ending = f'"$@"; echo $? >{shlex.quote(str(self._code))}.new; mv {shlex.quote(str(self._code))}.new "$0"'
        line = shlex.join(["sh", "-c", ending, str(self._code), *words])
        place = ("-x", str(columns), "-y", str(rows), "-c", str(folder))
        self._tmux("-u", "-f", str(settings), "new-session", "-d", "-s", "desk", *place, line)

    def __enter__(self) -> Pane:
        return self

    def __exit__(self, *_: object) -> None:
        self._tmux("kill-server")

    def _tmux(self, *words: str) -> str:
        keep = {key: value for key, value in os.environ.items() if key not in ("TMUX", "NO_COLOR", "COLORTERM")}
        done = subprocess.run(
            ["tmux", "-S", self._socket, *words], capture_output=True, text=True, encoding="utf-8", env=keep
        )
        if done.returncode != 0 and words[0] != "kill-server":
            sys.exit(f"tmux {' '.join(words)}: {done.stderr.strip()}")
        return done.stdout

    def press(self, *keys: str) -> None:
        """Send keys by tmux's names (Right, Enter, Escape) or as themselves."""
        self._tmux("send-keys", "-t", "desk", *keys)

    def text(self, colours: bool = False) -> str:
        """Return what stands in the pane; with its escape sequences where `colours`."""
        return self._tmux("capture-pane", "-p", "-t", "desk", *(["-e"] if colours else []))

    def until(self, what: str, shown: Callable[[str], object], colours: bool = False) -> str:
        """Look until `shown` holds, and return the pane's text; raises Missed with the screen."""
        end = time.monotonic() + LIMIT
        while True:
            text = self.text(colours)
            if shown(text):
                return text
            if time.monotonic() > end:
                raise Missed(f"never seen: {what}\n{self.text()}")
            time.sleep(PAUSE)

    def ended(self) -> int:
        """Wait for the program's end and return its exit code."""
        end = time.monotonic() + LIMIT
        while time.monotonic() < end:
            if self._code.exists():
                return int(self._code.read_text())
            time.sleep(PAUSE)
        raise Missed(f"the program did not end\n{self.text()}")
