"""Delimited text, the fast way: plain files without work per line of numbers.

Plain is: UTF-8, `#` or bare metadata, a header or none, one delimiter (comma, tab, semicolon or single spaces),
decimal points, every row complete, wavelengths rising. For anything else `read` answers None and the tolerant reader
decides; where both can read a file, they give the same scans to the bit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from types import MappingProxyType

import numpy as np

from spectui.core.errors import FileError
from spectui.core.scan import LARGEST_VALUE, LONGEST_NM, SHORTEST_NM, Scan
from spectui.core.units import RELATIVE, to_internal
from spectui.files import decimals
from spectui.files import head as heads
from spectui.files.table import Floats, one_unit, titles_of

_LARGEST = 1 << 20
MAX_COLUMNS = 10_000
_NUMERALS = b"0123456789.eE+-"
_FIRST = frozenset(b"0123456789+-.")
# What may begin a row of numbers that is not plain.
_INDENT = frozenset(b' \t",')
# The last grid met, as written and as numbers: files of one instrument share it, and scans then share one array.
_last_grid: dict[type, tuple[bytes | list[str], Floats]] = {}


def read(data: bytes, source: str, unit: str | None = None) -> list[Scan] | None:
    """Return the scans of a plain file, or None where the file is not plain. Errors are the tolerant reader's to tell.

    unit: canonical, for a file that declares none.
    """
    if len(data) > _LARGEST:
        return None
    if data[:3] == b"\xef\xbb\xbf":
        data = data[3:]
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n")
    start = 0
    while data[start : start + 1] and data[start] not in _FIRST:
        if data[start] in _INDENT:
            return None
        start = data.find(b"\n", start) + 1
        if start == 0:
            return None
    body = data[start:].rstrip(b"\n")
    cut = body.find(b"\n")
    row = body if cut < 0 else body[:cut]
    delimiter = next((mark for mark in (b",", b";", b"\t", b" ") if mark in row), b"")
    columns = row.count(delimiter) + 1 if delimiter else 0
    rows = body.count(b"\n") + 1
    if not 2 <= columns <= MAX_COLUMNS or rows < 2:
        return None
    # What is left without digits must be the delimiters of whole rows: this refuses ragged rows and foreign letters.
    if body.translate(None, _NUMERALS) != (delimiter * (columns - 1) + b"\n") * (rows - 1) + delimiter * (columns - 1):
        return None
    try:
        before = data[:start].decode("utf-8")
        table = decimals.columns_of(body, delimiter[0], columns)
        if table is not None:
            name, numbers = table
            grid = _grid(name, lambda: [line.split(delimiter, 1)[0] for line in body.split(b"\n")])
        else:
            cells = body.decode("ascii").replace("\n", delimiter.decode()).split(delimiter.decode())
            grid = _grid(cells[::columns], lambda: cells[::columns])
            numbers = [np.array(list(map(float, cells[at::columns]))) for at in range(1, columns)]
    except ValueError:
        return None
    if grid is None or not all((np.abs(column) <= LARGEST_VALUE).all() for column in numbers):
        return None
    if before[:1] == "\ufeff" or not before.replace("\n", "").replace("\t", "").isprintable():
        return None
    lines = list(enumerate(before.split("\n"), 1)) if before else []
    try:
        head = heads.parse(lines, delimiter.decode(), columns, source)
        if delimiter == b"," and columns > 2 and b"." not in body and len(head.titles or ()) < columns:
            return None
        return _scans(grid, numbers, head, source, unit)
    except FileError:
        return None


def _grid(name: bytes | list[str], cells: Callable[[], Sequence[str | bytes]]) -> Floats | None:
    """Return the wavelengths, from the last file where the text is the same; None where they want the tolerant path.

    name: what the text is known by, as either way of reading numbers gives it. cells: the text.
    """
    known, grid = _last_grid.get(type(name), (None, None))
    if grid is None or known != name:
        grid = np.array(list(map(float, cells())))
        if not (grid[1:] > grid[:-1]).all() or grid[0] < SHORTEST_NM or grid[-1] > LONGEST_NM:
            return None
        grid.flags.writeable = False
        for _, other in _last_grid.values():
            if np.array_equal(other, grid):
                grid = other
        _last_grid[type(name)] = name, grid
    return grid


def _scans(grid: Floats, numbers: list[Floats], head: heads.Head, source: str, unit: str | None) -> list[Scan] | None:
    """Make the scans: what else Scan.build checks has been checked for the whole table already."""
    given = one_unit(head.unit, unit, source)
    entries = titles_of(head, len(numbers) + 1)
    scans = []
    for order, (at, wide, meta) in enumerate(entries):
        internal, values = to_internal(given or RELATIVE, grid, numbers[at - 1])
        values.flags.writeable = False
        spread = None
        if wide is not None:
            if (numbers[wide - 1] < 0).any():
                return None
            spread = to_internal(given or RELATIVE, grid, numbers[wide - 1])[1]
            spread.flags.writeable = False
        index = order if len(entries) > 1 else None
        scans.append(Scan(grid, values, internal, MappingProxyType(dict(meta)), (), source, index, given, spread))
    return scans
