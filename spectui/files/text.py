"""What the text formats share: bytes to lines, cells to numbers, errors with their place."""

from __future__ import annotations

import re
from functools import lru_cache

from spectui.core.errors import FileError, NotAScan, UnitError
from spectui.core.units import parse_unit
from spectui.files.safe import shown

# A number as the contract knows it: ASCII digits, one decimal mark, no thousands mark, no underscore, no infinity.
POINT = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
COMMA = re.compile(r"[+-]?(?:[0-9]+,?[0-9]*|,[0-9]+)(?:[eE][+-]?[0-9]+)?")
GAPS = frozenset(("", "nan", "na", "n/a", "null", "none", "-", "--"))
LONGEST_LINE = 1 << 20
MAX_LINES = 1_000_000
_LONGEST_QUOTED = 100_000
_CONTROLS = bytes(c for c in range(32) if c not in b"\t\n\r\x0b\x0c\x1b") + b"\x7f"


class FileUnitError(FileError, UnitError):
    """A file whose unit is unknown, or that declares two units."""


def decode(data: bytes, source: str, encoding: str | None = None) -> str:
    """Return the text of a file: UTF-8 (with or without BOM), UTF-16 with BOM, else Latin-1; line ends become LF.

    Raises NotAScan for content that is no text, FileError where a named `encoding` does not fit.
    """
    if encoding is not None:
        try:
            text = data.decode(encoding)
        except (LookupError, UnicodeError, ValueError) as error:
            raise FileError(source, f"expected text in {encoding}: {error}") from None
    elif data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        try:
            text = data.decode("utf-16")
        except UnicodeError:
            raise NotAScan(source, "expected a scan, got bytes that are no text") from None
    else:
        if b"\0" in data or len(data.translate(None, _CONTROLS)) < 0.9 * len(data):
            raise NotAScan(source, "expected a scan, got bytes that are no text")
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError:
            text = data.decode("latin-1")
    if "\0" in text:
        raise NotAScan(source, "expected a scan, got bytes that are no text")
    text = text.removeprefix("\ufeff")
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    return text


def lines_of(text: str, source: str) -> list[str]:
    """Return the lines of decoded text; raises FileError for too many, or one too long to be of a scan."""
    count = text.count("\n")
    if count > MAX_LINES:
        raise FileError(source, f"expected at most {MAX_LINES} lines, got {count}")
    lines = text.split("\n")
    if len(text) > LONGEST_LINE:
        for at, line in enumerate(lines, 1):
            if len(line) > LONGEST_LINE:
                raise FileError(source, f"expected lines of at most {LONGEST_LINE} characters, got {len(line)}", at)
    return lines


def split(line: str, delimiter: str) -> list[str]:
    """Return the stripped cells of a line; `delimiter` " " is any run of white space; double quotes hold a cell."""
    if '"' in line and len(line) <= _LONGEST_QUOTED:
        return _split_quoted(line, delimiter)
    if delimiter == " ":
        return line.split()
    return [cell.strip() for cell in line.split(delimiter)]


def _split_quoted(line: str, delimiter: str) -> list[str]:
    mark = r"\s+" if delimiter == " " else re.escape(delimiter)
    cells, at, line = [], 0, line.strip() if delimiter == " " else line
    cell = re.compile(rf'[ ]*"((?:[^"]|"")*)"[ ]*(?={mark}|$)')
    end = re.compile(mark)
    while True:
        quoted = cell.match(line, at)
        if quoted:
            cells.append(quoted[1].replace('""', '"').strip())
            stop = end.match(line, quoted.end())
        else:
            stop = end.search(line, at)
            cells.append(line[at : stop.start() if stop else len(line)].strip())
        if stop is None:
            return cells
        at = stop.end()


def number(cell: str, decimal: str = ".") -> float | None:
    """Return a cell as a finite float, None where it is no number by the contract's rules."""
    if decimal == ",":
        if COMMA.fullmatch(cell) is None:
            return None
        cell = cell.replace(",", ".")
    elif POINT.fullmatch(cell) is None:
        return None
    value = float(cell)
    return value if abs(value) != float("inf") else None


def is_gap(cell: str) -> bool:
    """Say whether a cell stands for a missing value (empty, NaN, n/a, a dash)."""
    return not cell or (len(cell) < 5 and cell.lower() in GAPS)


@lru_cache(maxsize=256)
def unit_of(text: str) -> str:
    """Return the canonical unit; raises UnitError."""
    return parse_unit(text)


def declared_unit(text: str, source: str, line: int | None) -> str:
    """Return the canonical unit that a file declares; raises FileUnitError naming the place and the units known."""
    try:
        return unit_of(text)
    except UnitError:
        from spectui.core.units import UNITS

        raise FileUnitError(
            source, f"unknown unit {shown(text)}: expected one of {', '.join(UNITS)}; correct it in the file", line
        ) from None
