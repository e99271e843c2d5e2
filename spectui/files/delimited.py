"""Delimited text, the tolerant way: every variant of the contract, errors with their line and column."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from spectui.core.errors import FileError, NotAScan
from spectui.core.scan import LONGEST_NM, SHORTEST_NM, Scan
from spectui.files import head as heads
from spectui.files.fast import MAX_COLUMNS
from spectui.files.safe import shown
from spectui.files.table import Floats, scans_of
from spectui.files.text import decode, is_gap, lines_of, number, split

MAX_ROWS = 200_000
_PROBED = 100
_SNIFFED = 200_000
_GRID = 16
_NUMBER_FIRST = re.compile(r'\s*"?[+-]?(?:[0-9]|[.,][0-9])[0-9.,eE+-]*"?\s*(?:[,;\t ]|$)')
_ROW = re.compile(
    _NUMBER_FIRST.pattern.replace("|$)", r")\s*\"?(?:[+-]?[.,]?[0-9]|nan|n/?a|null|-|[,;\t]|$)"), re.IGNORECASE
)
_LAYOUT = "see `spectui layout FILE`"


class Dialect(NamedTuple):
    """How a file writes its numbers: `delimiter` (" " is any white space) and `decimal` mark."""

    delimiter: str
    decimal: str


DIALECTS = tuple(Dialect(*pair) for pair in (";.", ";,", "\t.", "\t,", ",.", ",,", " .", " ,"))
_NAMES = {",": "commas", ";": "semicolons", "\t": "tabs", " ": "spaces"}


def read(data: bytes, source: str, *, unit: str | None = None, skip_gaps: bool = False) -> list[Scan]:
    """Read delimited text.

    unit: canonical, for a file that declares none. Raises NotAScan where the content is no scan (see
    `looks_like_scan`), else FileError with line and column.
    """
    if not data.strip():
        raise NotAScan(source, "expected a scan, got an empty file")
    lines: list[str] = []
    try:
        text = decode(data, source)
        lines = text[:_SNIFFED].split("\n")
        lines = lines_of(text, source)
        return read_lines(lines, source, unit=unit, skip_gaps=skip_gaps)
    except NotAScan:
        raise
    except FileError as error:
        if looks_like_scan(lines):
            raise
        raise NotAScan(source, f"expected a scan, got other text ({error.message})") from None


def looks_like_scan(lines: Sequence[str]) -> bool:
    """Say whether text is meant as a scan, so that a fault in it is an error and no reason to pass over it.

    It is where a `# unit:` line, a header with a wavelength column or a row of wavelengths stands, where two or more
    comment lines carry keys of the contract, or where every line, or at least two and half of all, begin with two
    numbers (or a number and a gap).
    """
    known: set[str] = set()
    numeric = filled = 0
    for line in lines[:MAX_ROWS]:
        plain = line.strip()
        if not plain:
            continue
        if plain[0] == "#":
            item = heads.comment(plain)
            if item is not None and item[0] in heads.KEYS:
                known.add(item[0])
            continue
        filled += 1
        if _ROW.match(line):
            numeric += 1
        elif numeric == 0 and (_heads_wavelength(plain) or _holds_a_grid(plain)):
            return True
    return (
        "unit" in known
        or len(known) > 1
        or (numeric > 0 and (numeric == filled or (numeric > 1 and 2 * numeric >= filled)))
    )


def _heads_wavelength(line: str) -> bool:
    return any(
        len(line) < 4096 and mark in line and heads.names_wavelength(heads.header_cells(line, mark)[0])
        for mark in ",;\t "
    )


def _holds_a_grid(line: str) -> bool:
    """Say whether a line goes on, after two names at most, with rising numbers that may be wavelengths in nm."""
    for mark in ",;\t":
        cells = line.split(mark, _GRID + 2)[2 : _GRID + 2]
        if len(cells) == _GRID:
            numbers = [number(cell.lower().strip(' "').removesuffix("nm").rstrip()) for cell in cells]
            nm = [value for value in numbers if value is not None and SHORTEST_NM <= value <= LONGEST_NM]
            if len(nm) == _GRID and all(a < b for a, b in pairwise(nm)):
                return True
    return False


def read_lines(lines: Sequence[str], source: str, *, unit: str | None = None, skip_gaps: bool = False) -> list[Scan]:
    """Read the lines of delimited text; `read` for the rest."""
    first = next((at for at, line in enumerate(lines) if _NUMBER_FIRST.match(line)), None)
    if first is None:
        raise FileError(source, f"expected rows of numbers (wavelength in nm, value), got none; {_LAYOUT}")
    dialect = dialect_of(_probe(lines[first:]))
    if dialect is None:
        raise FileError(
            source,
            f"expected a wavelength in nm and a value, got {shown(lines[first].strip())}; "
            f"numbers have no thousands mark; {_LAYOUT}",
            first + 1,
        )
    cells = split(lines[first], dialect.delimiter)
    preamble = [(at + 1, line) for at, line in enumerate(lines[:first])]
    body = [(at + 1, line) for at, line in enumerate(lines[first:], first)]
    late = [(at, line) for at, line in body if line.lstrip()[:1] == "#"]
    body = [(at, line) for at, line in body if line.strip() and line.lstrip()[0] != "#"]
    if len(body) > MAX_ROWS:
        raise FileError(source, f"expected at most {MAX_ROWS} rows of numbers, got {len(body)}", body[MAX_ROWS][0])
    columns = _columns(cells, body, dialect)
    if columns > MAX_COLUMNS:
        raise FileError(source, f"expected at most {MAX_COLUMNS} columns, got {columns}", first + 1)
    head = heads.parse([*preamble, *late], dialect.delimiter, columns, source, dialect.decimal)
    if dialect == (",", ".") and columns > 2 and len(head.titles or ()) < columns:
        _refuse_ambiguous([line for _, line in body], source, first + 1)
    table = table_of(body, dialect, columns, source, skip_gaps)
    return scans_of(table, head, source, unit=unit, skip_gaps=skip_gaps, rows=[at for at, _ in body])


def _probe(lines: Sequence[str]) -> list[str]:
    """Return the first rows of numbers: enough to know the dialect by, and no more than is quickly looked through."""
    rows: list[str] = []
    letters = 0
    for line in lines:
        if _NUMBER_FIRST.match(line):
            rows.append(line)
            letters += len(line)
            if len(rows) == _PROBED or letters > _SNIFFED:
                break
    return rows


def dialect_of(rows: Sequence[str]) -> Dialect | None:
    """Return the dialect in which most rows are numbers or gaps throughout; the first of DIALECTS where two tie."""
    best, most = None, 0
    for dialect in DIALECTS:
        if dialect.delimiter != " " and dialect.delimiter not in rows[0]:
            continue
        fit = sum(_fits(split(row, dialect.delimiter), dialect) for row in rows if len(row) < 100_000)
        if fit > most:
            best, most = dialect, fit
    if best is None and rows:
        best = next((d for d in DIALECTS if _leads(split(rows[0], d.delimiter), d)), None)
    return best


def _fits(cells: list[str], dialect: Dialect) -> bool:
    if len(cells) < 2 or is_gap(cells[0]):
        return False
    return all(is_gap(cell) or number(cell, dialect.decimal) is not None for cell in cells)


def _leads(cells: list[str], dialect: Dialect) -> bool:
    """Say whether a row that is no row of numbers at least begins with one."""
    return len(cells) > 1 and number(cells[0], dialect.decimal) is not None


def _columns(cells: list[str], body: Sequence[tuple[int, str]], dialect: Dialect) -> int:
    """Count the columns; those that are empty to the last row are delimiters at the line's end and no columns."""
    columns, ends = len(cells), dialect.delimiter
    if columns < 3 or cells[-1]:
        return columns
    tails = (line.replace(" ", "") for _, line in body)
    return max(2, columns - min(len(tail) - len(tail.rstrip(ends)) for tail in tails))


def _refuse_ambiguous(rows: Sequence[str], source: str, line: int) -> None:
    """Stop where commas may be decimal marks or delimiters: three or more cells of digits only, and no header."""
    if not any("." in row for row in rows):
        raise FileError(
            source,
            f"expected one meaning of the comma, got {shown(rows[0].strip())}: it may divide columns or be the decimal "
            f"mark; head the columns, or {_LAYOUT}",
            line,
        )


def table_of(
    body: Sequence[tuple[int, str]], dialect: Dialect, columns: int, source: str, skip_gaps: bool = False
) -> Floats:
    """Return rows of numbers, given as (1-based line, text), as an array (n, columns); NaN is a gap.

    Raises FileError naming line and column for a cell that is no number, and for a gap unless `skip_gaps`.
    """
    table = np.empty((len(body), columns))
    for row, (at, line) in enumerate(body):
        cells = split(line, dialect.delimiter)
        if len(cells) > columns and not any(cells[columns:]):
            cells = cells[:columns]
        numbers = [number(cell, dialect.decimal) for cell in cells]
        if None in numbers or len(cells) != columns:
            _settle(cells, numbers, dialect, columns, source, at, skip_gaps)
        table[row] = numbers
    return table


def _settle(
    cells: list[str],
    numbers: list[float | None],
    dialect: Dialect,
    columns: int,
    source: str,
    at: int,
    skip_gaps: bool,
) -> None:
    """Put NaN in the place of gaps that may be skipped; else say what is wrong with a row, and where."""
    for place, (cell, value) in enumerate(zip(cells, numbers, strict=True)):
        if value is not None:
            continue
        where = f"column {place + 1}: "
        if is_gap(cell):
            if not skip_gaps:
                met = shown(cell) if cell else "an empty cell"
                raise FileError(source, f"{where}expected a number, got {met}; --skip-gaps leaves such samples out", at)
            numbers[place] = float("nan")
            continue
        mark = "comma" if dialect.decimal == "," else "point"
        hint = f"written with a decimal {mark}, no thousands mark" if cell[:1] in "+-.,0123456789" else "or a gap"
        raise FileError(
            source,
            f"{where}expected a number {hint}, got {shown(cell)}; correct it, or {_LAYOUT}",
            at,
        )
    if len(cells) < columns and skip_gaps and len(cells) > 0:
        numbers.extend([float("nan")] * (columns - len(cells)))
        return
    if len(cells) != columns:
        raise FileError(
            source,
            f"expected {columns} cells divided by {_NAMES[dialect.delimiter]} as in the first row, got {len(cells)}; "
            f"correct the row, or {_LAYOUT}",
            at,
        )
