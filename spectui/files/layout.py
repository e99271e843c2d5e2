"""A layout: how a delimited file that is not ours is laid out, as TOML that its user can read and change.

match = ["*.dat"]            files of the folder that it is for (without it: those that cannot be read plainly)
encoding = "latin-1"         default: UTF-8, UTF-16 with its mark, else Latin-1
delimiter = ";"              "," ";" "tab" "space" or any other text
decimal = ","                "." or ","; the comma as both delimiter and decimal mark is read in pairs
orientation = "column"       "row": a row of wavelengths, then one row a scan
blocks = "one"               "stacked": scans below each other, each after its own preamble;
                             "apart": a block of wavelengths, then one block of values a scan
first_line = 12              first line with numbers; what stands above is the preamble
last_line = 412              last line with numbers, where a footer follows
comment = "#"                lines that start with it carry metadata or nothing
labels = 1                   cells left of the numbers (orientation row); the last one is the title
columns = [1, 3]             columns used, the wavelength's first (orientation column)
unit = "mW/m2/nm"            where the file states none
wavelength_unit = "nm"       or "um", "angstrom"
date = "%d/%m/%Y %H:%M"      how the file writes dates; offset = "+01:00" adds what it leaves unsaid
[keys]                       names in the file = our keys; two names of one key are joined by a space
"Measured on" = "taken_at"
"PPFD" = "stated_ppfd"
[meta]                       what the file leaves unsaid, for every scan
instrument = "the grey one"
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from types import MappingProxyType
from typing import Any

from spectui.core.errors import UnitError, UsageError
from spectui.core.scan import Scan
from spectui.files.head import KEYS
from spectui.files.remembered import NAME
from spectui.files.safe import shown
from spectui.files.text import unit_of

CHOICES = {
    "decimal": (".", ","),
    "orientation": ("column", "row"),
    "blocks": ("one", "stacked", "apart"),
    "wavelength_unit": ("nm", "um", "angstrom"),
}
_WORDS = {"tab": "\t", "space": " "}
_MAX_BYTES = 1 << 20


def _none() -> Mapping[str, str]:
    return MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Layout:
    """How a file is laid out; the module says what each field means. Lines and columns are counted from 1."""

    match: tuple[str, ...] = ()
    encoding: str | None = None
    delimiter: str = ","
    decimal: str = "."
    orientation: str = "column"
    blocks: str = "one"
    first_line: int = 1
    last_line: int | None = None
    comment: str = "#"
    labels: int = 0
    columns: tuple[int, ...] = ()
    unit: str | None = None
    wavelength_unit: str = "nm"
    date: str | None = None
    offset: str | None = None
    keys: Mapping[str, str] = field(default_factory=_none)
    meta: Mapping[str, str] = field(default_factory=_none)

    @classmethod
    def load(cls, path: str | os.PathLike[str]) -> Layout:
        """Read a layout file. Raises UsageError naming file, line or key, and what was expected."""
        source = os.fspath(path)
        try:
            if os.stat(source).st_size > _MAX_BYTES or not os.path.isfile(source):
                raise UsageError(f"{source}: expected a layout, a TOML file of at most {_MAX_BYTES >> 20} MiB")
            with open(source, "rb") as file:
                data = file.read(_MAX_BYTES)
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or error
            raise UsageError(f"{source}: the layout cannot be read: {reason}") from None
        return cls.parse(data, source)

    @classmethod
    def parse(cls, data: bytes, source: str) -> Layout:
        """Read a layout from TOML; as `load`."""
        import tomllib

        try:
            text = data.decode("utf-8-sig")
            found = tomllib.loads(text)
        except (tomllib.TOMLDecodeError, UnicodeDecodeError, RecursionError) as error:
            raise UsageError(f"{source}: the layout is no TOML: {error}") from None
        known = [f.name for f in fields(cls)]
        values = {}
        for key, value in found.items():
            if key not in known:
                raise UsageError(f"{_place(source, text, key)}unknown key {shown(key)}{_nearest(key, known)}")
            try:
                values[key] = _CHECKS[key](value)
            except (_Malformed, UnitError) as error:
                raise UsageError(f"{_place(source, text, key)}{key}: {error}") from None
        last = values.get("last_line")
        if last is not None and last < values.get("first_line", 1):
            raise UsageError(
                f"{_place(source, text, 'last_line')}last_line: expected a line after first_line, got {last}"
            )
        return cls(**values)

    def dump(self) -> str:
        """Return the layout as TOML; fields that hold their default are left out, what must be seen stays."""
        lines, tables = [], []
        plain = Layout()
        for item in fields(self):
            value = getattr(self, item.name)
            if isinstance(value, Mapping):
                if value:
                    rows = [f"{_toml(key)} = {_toml(entry)}" for key, entry in value.items()]
                    tables.append("\n".join([f"\n[{item.name}]", *rows]))
            elif value != getattr(plain, item.name) or item.name in ("delimiter", "decimal", "first_line"):
                word = next((word for word, mark in _WORDS.items() if mark == value), value)
                lines.append(f"{item.name} = {_toml(word if item.name == 'delimiter' else value)}")
        return "\n".join([*lines, *tables]) + "\n"


def read_with(
    layout: Layout, data: bytes, source: str, *, unit: str | None = None, skip_gaps: bool = False
) -> list[Scan]:
    """Read a file's content as `layout` says.

    unit: canonical, as asked for with --unit. Raises FileError with the line where the file is not laid out so.
    """
    from spectui.files import layout_read

    return layout_read.read(layout, data, source, unit=unit, skip_gaps=skip_gaps)


def propose(data: bytes, source: str) -> tuple[Layout, list[str]]:
    """Return a layout with which the content has been read, and notes on what to check.

    Raises NotAScan where no layout of ours reads it.
    """
    from spectui.files import propose as proposing

    return proposing.propose(data, source)


class _Malformed(Exception):
    """What a value of a layout should have been."""


def _text(value: Any) -> str:
    if not isinstance(value, str) or not value or "\n" in value or "\0" in value:
        raise _Malformed(f"expected text in quotes, got {shown(str(value))}")
    return value


def _count(least: int) -> Any:
    def check(value: Any) -> int:
        if type(value) is not int or value < least or value > 10**9:
            raise _Malformed(f"expected a whole number from {least}, got {shown(str(value))}")
        return value

    return check


def _choice(key: str) -> Any:
    def check(value: Any) -> str:
        if value not in CHOICES[key]:
            raise _Malformed(f"expected one of {', '.join(map(repr, CHOICES[key]))}, got {shown(str(value))}")
        return str(value)

    return check


def _delimiter(value: Any) -> str:
    text = _WORDS.get(_text(value), str(value))
    if re.search(r"[0-9+\-.eE\"]", text) or len(text) > 8:
        raise _Malformed(f"expected a delimiter that no number holds, got {shown(text)}")
    return text


def _encoding(value: Any) -> str:
    try:
        "a".encode(_text(value))  # refuses the codecs that unpack bytes, too
        return str(value)
    except (LookupError, ValueError):
        pass
    raise _Malformed(f"expected an encoding such as 'latin-1', got {shown(str(value))}")


def _columns(value: Any) -> tuple[int, ...]:
    if not isinstance(value, list) or len(value) < 2 or len(set(map(str, value))) != len(value):
        raise _Malformed("expected a list of different columns, the wavelength's first, then at least one of values")
    return tuple(_count(1)(item) for item in value)


def _globs(value: Any) -> tuple[str, ...]:
    return tuple(_text(item) for item in (value if isinstance(value, list) else [value]))


def _offset(value: Any) -> str:
    if re.fullmatch(r"[+-][0-2][0-9]:[0-5][0-9]|Z", _text(value)) is None:
        raise _Malformed(f"expected an offset from UTC such as '+01:00', got {shown(value)}")
    return str(value)


def _table(value: Any) -> Mapping[str, str]:
    if not isinstance(value, dict):
        raise _Malformed("expected a table")
    return MappingProxyType({key: _text(entry) for key, entry in value.items()})


def _keys(value: Any) -> Mapping[str, str]:
    table = _table(value)
    for name, key in table.items():
        if key not in KEYS and _nearest(key, KEYS):
            raise _Malformed(f"{shown(name)} is given the unknown key {shown(key)}{_nearest(key, KEYS)}")
    return table


_CHECKS: dict[str, Any] = {
    "match": _globs,
    "encoding": _encoding,
    "delimiter": _delimiter,
    "first_line": _count(1),
    "last_line": _count(1),
    "comment": _text,
    "labels": _count(0),
    "columns": _columns,
    "unit": lambda value: unit_of(_text(value)),
    "date": _text,
    "offset": _offset,
    "keys": _keys,
    "meta": _table,
    **{key: _choice(key) for key in CHOICES},
}


def _nearest(key: str, known: Any) -> str:
    """Return a question with the nearest known key, or nothing."""
    from difflib import get_close_matches

    near = get_close_matches(key, list(known), n=1, cutoff=0.7)
    return f"; did you mean {near[0]}?" if near else ""


def _place(source: str, text: str, key: str) -> str:
    pattern = re.compile(rf'\s*\[?\s*"?{re.escape(key)}"?\s*[=\].]')
    for at, line in enumerate(text.split("\n"), 1):
        if pattern.match(line):
            return f"{source}: line {at}: "
    return f"{source}: "


def _toml(value: object) -> str:
    if isinstance(value, tuple):
        return "[" + ", ".join(_toml(item) for item in value) + "]"
    if not isinstance(value, str):
        return str(value)
    pieces = []
    for letter in value:
        if letter in '"\\':
            pieces.append("\\" + letter)
        elif letter.isprintable():
            pieces.append(letter)
        else:
            code = ord(letter) if not "\ud800" <= letter <= "\udfff" else 0xFFFD
            pieces.append(f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}")
    return '"' + "".join(pieces) + '"'


__all__ = ["NAME", "Layout", "propose", "read_with"]
