"""Data to stdout, talk to stderr, in whatever characters the terminal has."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from spectui.core.errors import FileError


def settle() -> None:
    """Give each stream that the caller closed an end that takes nothing: print() would turn to another instead."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115 - open to the end


def data(text: str) -> None:
    """Print text on stdout; where stdout cannot carry a character the plain form of the whole text is printed.

    A lone surrogate (an odd byte of a path) is no such character: it alone is replaced.
    """
    text = _ended(text)
    try:
        text.encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:
        text = re.sub("[\ud800-\udfff]", "\ufffd", text)
        try:
            text.encode(sys.stdout.encoding or "utf-8")
        except UnicodeEncodeError:
            from spectui.report.numbers import ascii_only

            text = ascii_only(text)
    with _told():
        sys.stdout.write(_shown(text) if sys.stdout.isatty() else text)
        sys.stdout.flush()


def file(text: str) -> None:
    """Print a document as the file that it is, UTF-8 whatever the locale; a terminal gets it as it gets any data."""
    if sys.stdout.isatty():
        data(text)
        return
    with _told():
        sys.stdout.flush()
        sys.stdout.buffer.write(_ended(text).encode("utf-8", "replace"))
        sys.stdout.buffer.flush()


@contextmanager
def _told() -> Iterator[None]:
    """Make a FileError of what standard output refuses (a full disk behind it), but for a reader that is gone."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        # What is left in the buffer would fail again at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise FileError("standard output", f"cannot be written: {error.strerror or error}") from None


def _ended(text: str) -> str:
    return text if text.endswith("\n") or not text else text + "\n"


def _shown(text: str) -> str:
    """Make control characters of files visible: CSV and documents hold them as they are."""
    from spectui.files.safe import safe

    return "\n".join(safe(line.replace("\t", "    ")) for line in text.split("\n"))


def talk(text: str) -> None:
    """Print a sentence on stderr, on one line, control characters of files made visible."""
    from spectui.files.safe import safe

    wide = (sys.stderr.encoding or "").lower().replace("-", "") == "utf8"
    print(safe(text, ascii=not wide), file=sys.stderr)


def plain() -> bool:
    """True where stdout carries ASCII alone, so that charts choose the ASCII set."""
    try:
        "█⣿µ−".encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return True
    return False
