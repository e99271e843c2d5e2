"""What the terminal can show, read from the environment: colour depth, characters, and whether there is one at all."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from typing import Literal, NamedTuple

Depth = Literal["true", "256", "16", "none"]


class Terminal(NamedTuple):
    """depth: the colours to use. ascii: draw with the ASCII set alone."""

    depth: Depth = "true"
    ascii: bool = False


def terminal(environ: Mapping[str, str] | None = None, encoding: str | None = None) -> Terminal:
    """Read the terminal's abilities from the environment; `encoding` defaults to that of the user's locale."""
    env = _as_started() if environ is None else environ
    term = env.get("TERM", "").lower()
    if encoding is None:
        encoding = _encoding(env)
    # The Linux console's font has 256 or 512 characters: no braille, no eighth blocks.
    ascii_only = term == "linux" or encoding.lower().replace("-", "") != "utf8"
    return Terminal(_depth(env, term), ascii_only)


def _as_started() -> Mapping[str, str]:
    """The environment as the shell gave it: in the C locale Python sets LC_CTYPE to UTF-8 for itself (PEP 538)."""
    if os.environ.get("LC_CTYPE") not in ("C.UTF-8", "C.utf8", "UTF-8"):
        return os.environ
    try:
        with open("/proc/self/environ", "rb") as file:
            given = any(entry.startswith(b"LC_CTYPE=") for entry in file.read().split(b"\0"))
    except OSError:
        given = False
    return os.environ if given else {key: value for key, value in os.environ.items() if key != "LC_CTYPE"}


def _depth(env: Mapping[str, str], term: str) -> Depth:
    if env.get("NO_COLOR"):
        return "none"
    if term == "linux":
        return "16"
    if env.get("COLORTERM", "").lower() in ("truecolor", "24bit") or term.endswith("-direct"):
        return "true"
    if "256" in term or term in ("xterm-kitty", "alacritty", "foot", "wezterm"):
        return "256"
    if term.startswith("vt") or term.endswith("-mono"):
        return "none"
    return "16"


def _encoding(env: Mapping[str, str]) -> str:
    """The locale as POSIX reads it. Python's own answer is no help: it turns the C locale into UTF-8."""
    locale = next((env[key] for key in ("LC_ALL", "LC_CTYPE", "LANG") if env.get(key)), "C")
    return locale.partition(".")[2].partition("@")[0] or ("utf-8" if "UTF" in locale.upper() else "ascii")


def refusal(environ: Mapping[str, str] | None = None) -> str | None:
    """Return one sentence where the screen cannot be drawn, None where it can."""
    env = os.environ if environ is None else environ
    instead = "`spectui metrics PATH` prints the numbers, `spectui --help` lists the commands"
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return f"spectui: the screen needs a terminal; {instead}"
    if env.get("TERM", "").lower() in ("", "dumb", "unknown"):
        return f"spectui: this terminal cannot place text (TERM={env.get('TERM', '')}); {instead}"
    return None
