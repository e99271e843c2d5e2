"""Data to stdout, talk to stderr, in whatever characters the terminal has."""

from __future__ import annotations

import sys


def data(text: str) -> None:
    """Print text on stdout; where stdout cannot carry a character the plain form of the whole text is printed."""
    try:
        text.encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:
        from spectui.report.numbers import ascii_only

        text = ascii_only(text)
    sys.stdout.write(text if text.endswith("\n") or not text else text + "\n")


def talk(text: str) -> None:
    """Print text on stderr, control characters of files made visible."""
    from spectui.files.safe import safe

    wide = (sys.stderr.encoding or "").lower().replace("-", "") == "utf8"
    print("\n".join(safe(line, ascii=not wide) for line in text.split("\n")), file=sys.stderr)


def plain() -> bool:
    """True where stdout carries ASCII alone, so that charts choose the ASCII set."""
    try:
        "█⣿µ−".encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return True
    return False
