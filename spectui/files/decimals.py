"""Columns of plain decimal numbers read all at once: for the fast path, exact to the bit.

A number of up to 15 digits is a whole number below 2**53 over a power of ten up to 10**22; both are exact in
float64, so one division rounds correctly and gives what float() gives (Clinger 1990, "How to read floating point
numbers accurately", from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

_MOST_DIGITS = 15
_POWERS = 10.0 ** np.arange(_MOST_DIGITS + 1)
_DOT, _LINE_END, _ZERO = 46, 10, 48


def columns_of(body: bytes, mark: int, columns: int) -> tuple[bytes, list[NDArray[np.float64]]] | None:
    """Return (the text of the first column, to know it by; the numbers of each other column).

    body: rows of `columns` cells each, cells divided by the byte `mark`, rows by a line feed and none at the end; it
    holds nothing but these and `0123456789.eE+-`. None where not every cell of the other columns is digits with one
    dot, 15 digits at most: those are for float().
    """
    if b"e" in body or b"E" in body or b"+" in body or b"-" in body:
        return None
    text = body + b"\n"
    letters = np.frombuffer(text, np.uint8)
    ends = np.flatnonzero((letters == mark) | (letters == _LINE_END)).reshape(-1, columns)
    dots = np.flatnonzero(letters == _DOT)
    rows = ends.shape[0]
    if dots.size == rows * columns:
        first_dots, value_dots = dots[::columns], dots.reshape(rows, columns)[:, 1:]
        if (first_dots > ends[:, 0]).any() or (first_dots[1:] < ends[:-1, -1]).any():
            return None
        lead = 1
    elif dots.size == rows * (columns - 1):
        value_dots = dots.reshape(rows, columns - 1)
        lead = 0
    else:
        return None
    decimals = ends[:, 1:] - value_dots - 1
    digits = ends[:, 1:] - ends[:, :-1] - 2
    # Each dot in its own cell, a digit in each cell: then each cell is a number.
    if decimals.min() < 0 or (decimals > digits).any() or digits.min() < 1 or digits.max() > _MOST_DIGITS:
        return None
    plain = np.frombuffer(text.translate(None, b"."), np.uint8)
    found = []
    for at in range(columns - 1):
        # Dots left of the end of each cell, this row's and those of the rows above.
        passed = np.arange(lead + at + 1, lead + at + 1 + rows * (columns - 1 + lead), columns - 1 + lead)
        count = digits[:, at, None]
        width = int(count.max())
        places = np.arange(-width, 0)
        digit = plain.take((ends[:, at + 1] - passed)[:, None] + places, mode="clip").astype(np.float64)
        digit -= _ZERO
        digit *= places >= -count
        found.append((digit @ _POWERS[width - 1 :: -1]) / _POWERS[decimals[:, at]])
    last = ends[:, 0]
    first = np.zeros_like(last)
    first[1:] = ends[:-1, -1] + 1
    size = last - first
    places = np.arange(-int(size.max()), 0)
    name = letters.take(last[:, None] + places, mode="clip")
    name *= places >= -size[:, None]
    return name.tobytes(), found
