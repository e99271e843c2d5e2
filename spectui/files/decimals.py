"""Columns of plain decimal numbers read all at once: for the fast path, exact to the bit.

A number of up to 15 digits is a whole number below 2**53 over a power of ten up to 10**22; both are exact in
float64, so one division rounds correctly and gives what float() gives (Clinger 1990, "How to read floating point
numbers accurately", from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

_MOST_DIGITS = 15
_LONGEST_NAME = 32
_POWERS = 10.0 ** np.arange(_MOST_DIGITS + 1)
# For each width: what its places are worth, and in row c ones in the last c of them.
_WORTH = [_POWERS[:width][::-1].copy() for width in range(_MOST_DIGITS + 1)]
_KEPT = [np.tri(width + 1, width, -1, np.uint8)[:, ::-1].copy() for width in range(_MOST_DIGITS + 1)]
_ZERO = np.uint8(48)


def columns_of(body: bytes, mark: bytes, columns: int) -> tuple[bytes, list[NDArray[np.float64]]] | None:
    """Return (the text of the first column, to know it by; the numbers of each other column).

    body: rows of `columns` cells, cells divided by `mark`, rows by a line feed and none at the end. None where a cell
    of the other columns is anything but digits with one dot, 15 digits at most: those are for float(). The first
    column may have a dot or none, and is not judged.
    """
    text = body + b"\n"
    letters = np.frombuffer(text, np.uint8)
    # What is no digit, and where: a row has its dots and marks in one order, and every row has it.
    others = np.flatnonzero(letters - _ZERO > 9)  # what lies below "0" wraps round
    row = text[: text.index(b"\n") + 1].translate(None, b"0123456789")
    lead = len(row) - 2 * columns + 1
    rows = others.size // len(row)
    if row[max(lead, 0) :] != (mark + b".") * (columns - 1) + b"\n" or row[:lead] not in (b"", b"."):
        return None
    if letters.take(others).tobytes() != row * rows:
        return None
    at = others.reshape(rows, -1)
    ends, dots = at[:, lead::2], at[:, lead + 1 :: 2]
    digits = ends[:, 1:] - ends[:, :-1] - 2
    if digits.min() < 1 or digits.max() > _MOST_DIGITS:
        return None
    name = _names(text, ends)
    if name is None:
        return None
    decimals = ends[:, 1:] - dots - 1
    plain = b"0" * _MOST_DIGITS + text.translate(None, b".")
    found = []
    for k in range(columns - 1):
        # Dots left of the end of each cell, this row's and those of the rows above.
        passed = lead + k + 1 + np.arange(rows) * (columns - 1 + lead)
        count = digits[:, k]
        width = int(count.max())
        digit = _windows(plain, width)[ends[:, k + 1] - passed + (_MOST_DIGITS - width)] - _ZERO
        digit *= _KEPT[width].take(count, axis=0)
        found.append((digit.astype(np.float64) @ _WORTH[width]) / _POWERS[decimals[:, k]])
    return name, found


def _windows(text: bytes, width: int) -> NDArray[np.uint8]:
    """Return a view of every run of `width` letters."""
    return np.ndarray((len(text) - width + 1, width), np.uint8, text, 0, (1, 1))


def _names(text: bytes, ends: NDArray[np.intp]) -> bytes | None:
    """Return the first cells of the rows, filled up to one width, and that width: no other column gives these bytes.

    None where a cell is too long to be a wavelength: a single one would make all of them as long.
    """
    first = np.zeros_like(ends[:, 0])
    first[1:] = ends[:-1, -1] + 1
    size = ends[:, 0] - first
    even = bool((size == size[0]).all())
    width = int(size[0] if even else size.max())
    if width > _LONGEST_NAME:
        return None
    name = _windows(text + b" " * width, width)[first]
    if not even:
        name *= np.arange(width) < size[:, None]
    return b"%d " % width + name.tobytes()
