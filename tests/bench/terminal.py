"""A program in a pseudo-terminal of 120 × 36: what it wrote and when, and the screen that comes of it."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import sys
import tempfile
import termios
from collections.abc import Callable
from time import monotonic, perf_counter

import pyte

COLUMNS, ROWS = 120, 36


class Terminal:
    """Starts `words` and keeps every piece of output with the time since the start [s]."""

    def __init__(self, *words: str, columns: int = COLUMNS, rows: int = ROWS) -> None:
        self.columns, self.rows = columns, rows
        self.pieces: list[tuple[float, bytes]] = []
        self._home = tempfile.TemporaryDirectory()
        keep = {key: os.environ[key] for key in ("PATH", "HOME", "PYTHONPATH", "VIRTUAL_ENV") if key in os.environ}
        terminal = {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LANG": "C.UTF-8"}
        environment = keep | terminal | {"XDG_CONFIG_HOME": self._home.name}
        self._started = perf_counter()
        self._pid, self._fd = pty.fork()
        if self._pid == 0:
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
            os.execve(words[0], list(words), environment)

    def __enter__(self) -> Terminal:
        return self

    def __exit__(self, *_: object) -> None:
        os.kill(self._pid, signal.SIGKILL)
        os.waitpid(self._pid, 0)
        os.close(self._fd)
        self._home.cleanup()

    def press(self, keys: str) -> None:
        os.write(self._fd, keys.encode())

    def quiet(self, still: float = 0.5, limit: float = 30.0) -> int:
        """Read until nothing has come for `still` seconds; return how many bytes came. Nothing is parsed meanwhile."""
        count, end = 0, monotonic() + limit
        while monotonic() < end:
            ready, _, _ = select.select([self._fd], [], [], still)
            if not ready:
                if count or self.pieces:
                    return count
                continue
            try:
                piece = os.read(self._fd, 65536)
            except OSError:  # the program has ended
                return count
            self.pieces.append((perf_counter() - self._started, piece))
            count += len(piece)
        return count

    def first(self, shown: Callable[[list[str]], bool]) -> float:
        """Return when the screen first fulfilled `shown` [s]; where it never did, print it and exit."""
        screen = pyte.Screen(self.columns, self.rows)
        stream = pyte.ByteStream(screen)
        for at, piece in self.pieces:
            stream.feed(piece)
            if shown(screen.display):
                return at
        print("\n".join(screen.display))
        sys.exit("the screen never showed what was waited for")

    @property
    def display(self) -> list[str]:
        """The screen as it is now."""
        screen = pyte.Screen(self.columns, self.rows)
        pyte.ByteStream(screen).feed(b"".join(piece for _, piece in self.pieces))
        return screen.display
