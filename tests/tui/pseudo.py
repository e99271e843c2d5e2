"""Runs the program in a pseudo-terminal and keeps every byte it sends."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
START = "import sys; from spectui.tui.app import run; sys.exit(run(sys.argv[1:]))"
# Foreground or background colours: 30-37, 40-47, 90-97, 100-107, 38;… and 48;…, the resets 39 and 49 too.
COLOUR = re.compile(rb"\x1b\[(?:\d+;)*(?:3[0-9]|4[0-9]|9[0-7]|10[0-7])(?:;\d+)*m")


class Pseudo:
    """A child in a pseudo-terminal. Waits poll for a condition and never sleep for a fixed time."""

    def __init__(
        self, arguments: Sequence[str], width: int = 120, height: int = 36, code: str = START, **environ: str
    ) -> None:
        base = {"PATH": os.environ["PATH"], "TERM": "xterm-256color", "COLORTERM": "truecolor", "LANG": "C.UTF-8"}
        base |= {"HOME": "/nonexistent", "PYTHONPATH": str(ROOT), "TEXTUAL_ANIMATIONS": "none"}
        env = {key: value for key, value in (base | environ).items() if value}
        self.sent = b""
        self.started = time.monotonic()
        self.pid, self.terminal = pty.fork()
        if self.pid == 0:
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
            os.execve(sys.executable, [sys.executable, "-c", code, *arguments], env)

    def pump(self, seconds: float) -> bool:
        """Take what comes within `seconds`; False when nothing came."""
        if not select.select([self.terminal], [], [], seconds)[0]:
            return False
        try:
            data = os.read(self.terminal, 1 << 16)
        except OSError:
            return False
        self.sent += data
        return bool(data)

    def wait(self, met: Callable[[bytes], bool] | bytes, since: int = 0, limit: float = 20.0) -> bytes:
        """Read until what was sent after `since` meets a condition or contains a text; return it."""
        check = (lambda sent: met in sent) if isinstance(met, bytes) else met
        until = time.monotonic() + limit
        while not check(self.sent[since:]):
            if time.monotonic() > until:
                raise AssertionError(f"not met within {limit} s; sent: {self.sent[since:][-2000:]!r}")
            self.pump(0.05)
        return self.sent[since:]

    def quiet(self, seconds: float = 0.3) -> int:
        """Read until nothing comes for a while; return how many bytes were sent so far."""
        while self.pump(seconds):
            pass
        return len(self.sent)

    def type(self, keys: str | bytes) -> int:
        """Send keys; return how many bytes the program had sent before."""
        before = len(self.sent)
        os.write(self.terminal, keys.encode() if isinstance(keys, str) else keys)
        return before

    def end(self, limit: float = 10.0) -> int:
        """Wait for the child and return its exit code."""
        until = time.monotonic() + limit
        while time.monotonic() < until:
            self.pump(0.02)
            done, status = os.waitpid(self.pid, os.WNOHANG)
            if done:
                self.pid = 0
                return os.waitstatus_to_exitcode(status)
        raise AssertionError(f"still running; sent: {self.sent[-2000:]!r}")

    def close(self) -> None:
        """End the child, if it is still there."""
        if self.pid:
            os.kill(self.pid, signal.SIGKILL)
            os.waitpid(self.pid, 0)
        os.close(self.terminal)
