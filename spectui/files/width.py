"""How wide a text stands in a terminal: what columns and charts are aligned by."""

from __future__ import annotations

import re

# Ranges without a wide or combining character (a test goes through them): our own glyphs need no look-up each.
_NARROW = re.compile(
    "[ -~\u00a0-\u00ac\u00ae-\u02ff\u2010-\u2027\u2030-\u205e\u2070-\u20cf\u2190-\u22ff\u2500-\u25fc\u2800-\u28ff]*"
).fullmatch


def cell_width(text: str) -> int:
    """Return how many terminal cells a text takes: 2 for East Asian wide, 0 for combining marks, else 1 each."""
    if text.isascii() or _NARROW(text):
        return len(text)
    from unicodedata import category, east_asian_width

    cells = 0
    for char in text:
        if east_asian_width(char) in "WF":
            cells += 2
        elif category(char) not in ("Mn", "Me", "Cf"):
            cells += 1
    return cells
