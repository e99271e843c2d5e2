"""The preamble of a file with a layout: its own names made our keys, its dates ISO, its numbers in our units."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from spectui.core.errors import FileError
from spectui.files import head as heads
from spectui.files.safe import shown
from spectui.files.text import declared_unit, split

if TYPE_CHECKING:
    from spectui.files.layout import Layout

DATES = ("taken_at", "dark_taken_at", "calibrated_on", "calibration_due")
_AMOUNT = re.compile(r"([+-]?[0-9]*[.,]?[0-9]+(?:[eE][+-]?[0-9]+)?)\s*([^0-9\s.,].*)?")
# Units a preamble may write after a number or in brackets after its name: factors to the unit of the contract's key.
_TIME = {"ms": 1.0, "s": 1e3, "sec": 1e3, "us": 1e-3, "µs": 1e-3, "μs": 1e-3}
_FACTORS = {
    "integration_ms": _TIME,
    "dark_integration_ms": _TIME,
    "temperature_c": {"°c": 1.0, "c": 1.0, "degc": 1.0},
    "dark_temperature_c": {"°c": 1.0, "c": 1.0, "degc": 1.0},
    "input_power_w": {"w": 1.0, "kw": 1e3},
    "distance_m": {"m": 1.0, "cm": 1e-2, "mm": 1e-3},
    "lit_minutes": {"min": 1.0, "minutes": 1.0, "h": 60.0},
    "hours_run": {"h": 1.0, "hours": 1.0},
    "photoperiod_h": {"h": 1.0, "hours": 1.0},
    "stated_lux": {"lx": 1.0, "lux": 1.0, "klx": 1e3},
    "stated_ppfd": dict.fromkeys(("umol/m2/s", "umolm-2s-1", "umol/(m2s)", "umol/m2s"), 1.0),
    "wavelength_uncertainty_nm": {"nm": 1.0},
    **{key: {"%": 1.0} for key in ("dim_percent", "calibration_uncertainty_percent", "noise_percent")},
}
_OTHER_SCALES = frozenset(("um", "µm", "μm", "å", "a", "angstrom"))
_PLAIN = str.maketrans("²⁻¹−μµ", "2-1-uu", "· *^")


class Preamble(NamedTuple):
    """What the lines above the numbers say; `unit` canonical or None, `titles` and `wide` as in head.Head."""

    meta: dict[str, str]
    unit: str | None
    titles: list[str] | None
    wide: frozenset[int]


def read(layout: Layout, lines: Sequence[tuple[int, str]], columns: int, source: str) -> Preamble:
    """Read the preamble, given as (1-based number, text); `columns` is the count of columns used, before `columns`.

    A line that is neither a name with a value nor a header is passed over. Raises FileError for a date that does not
    fit the layout's pattern, FileUnitError for a unit unknown or two that differ.
    """
    found: dict[str, tuple[str, int]] = {}
    titles: list[str] | None = None
    unit, wide = None, frozenset[int]()
    filled = [(at, line) for at, line in lines if line.strip()]
    above = header_at(layout, filled, columns)
    for at, line in filled:
        if at == above:
            titles, unit, wide = _header(layout, line, columns, unit, source, at)
            continue
        item = name_and_value(layout, line)
        if item is None or not item[1]:
            continue
        name, value = item
        key = key_for(layout, name)
        if key == "unit":
            unit = heads.one_unit(unit, declared_unit(value, source, at), source, at)
            continue
        if key in _FACTORS or key in heads.NUMBER_KEYS or key == "position_m":
            value = amount(key, name, value, layout.decimal)
        found[key] = (f"{found[key][0]} {value}", at) if key in found else (value, at)
    meta = {key: date_of(layout, key, value, source, at) for key, (value, at) in found.items()}
    return Preamble(
        {**meta, **{key: value for key, value in layout.meta.items() if key not in meta}}, unit, titles, wide
    )


def name_and_value(layout: Layout, line: str) -> tuple[str, str] | None:
    """Take a preamble line apart at its first `:`, `=`, tab or delimiter; None where it has none."""
    plain = line.strip().removeprefix(layout.comment).strip().strip('"')
    marks = [mark for mark in (":", "=", "\t", layout.delimiter) if mark in plain and (mark != " ")]
    if marks:
        at, mark = min((plain.index(mark), mark) for mark in marks)
        name, value = plain[:at], plain[at + len(mark) :]
    elif layout.delimiter == " " and len(plain.split(None, 1)) == 2:
        name, value = plain.split(None, 1)
    else:
        return None
    name = name.strip().strip('"')
    # A file may put both a colon and its delimiter between name and value.
    value = value.strip().strip(layout.delimiter).strip().strip('"').strip()
    return (name, value) if name else None


def key_for(layout: Layout, name: str) -> str:
    """Return our key for a name in the file: as the layout maps it, else the contract's, else the name itself."""
    wanted = name.strip().lower()
    for own, key in layout.keys.items():
        if own.strip().lower() == wanted:
            return key
    return heads.key_of(name)


def amount(key: str, name: str, value: str, decimal: str) -> str:
    """Return a number in the unit of our key, its unit read after the number or in the name's bracket.

    Text that is no number, or in a unit that is not known for the key, stays as it is.
    """
    if decimal == ",":
        value = heads.point_of(key, value)
    match = _AMOUNT.fullmatch(value)
    if match is None:
        return value
    number = match[1].replace(",", ".") if decimal == "," else match[1]
    written = match[2] or heads.bracket(name)[1]
    if written is None or "," in number:
        return number if "," not in number else value
    factor = _FACTORS.get(key, {}).get(written.lower().translate(_PLAIN))
    if factor is None:
        return value if match[2] else f"{value} {written}"
    return number if factor == 1.0 else f"{float(number) * factor:.12g}"


def date_of(layout: Layout, key: str, value: str, source: str, at: int) -> str:
    """Return a date of the contract as ISO 8601 by the layout's pattern; other values as they are."""
    if key not in DATES or layout.date is None:
        return value
    from datetime import datetime

    try:
        when = datetime.strptime(value, layout.date)
    except (ValueError, OverflowError, re.error):
        if _is_iso(value):
            return value
        raise FileError(source, f"expected {key} as {layout.date}, got {shown(value)}; change `date`", at) from None
    if key.startswith("calib") or not re.search("%[HIcXs]", layout.date):
        return when.date().isoformat()
    text = when.isoformat(timespec="seconds" if not when.microsecond else "auto")
    return text + layout.offset if layout.offset and when.tzinfo is None else text


def _is_iso(value: str) -> bool:
    from datetime import datetime

    try:
        datetime.fromisoformat(value)
    except ValueError:
        return False
    return True


def header_at(layout: Layout, filled: Sequence[tuple[int, str]], columns: int) -> int | None:
    """Return the line of the header: the last of the preamble, where its cells head the columns.

    filled: the preamble's lines that are not blank, as (1-based number, text).
    """
    if not filled or layout.orientation == "row":
        return None
    at, line = filled[-1]
    cells = heads.header_cells(line.removeprefix(layout.comment), layout.delimiter)
    named = cells[0].lower() in _OTHER_SCALES and layout.wavelength_unit != "nm"
    return at if named or heads.is_header(cells, columns) else None


def _header(
    layout: Layout, line: str, columns: int, unit: str | None, source: str, at: int
) -> tuple[list[str], str | None, frozenset[int]]:
    cells = split_header(layout, line)
    if layout.columns:
        cells = [cells[place - 1] if place <= len(cells) else "" for place in layout.columns]
        columns = len(layout.columns)
    if layout.wavelength_unit != "nm":
        cells[0] = heads.bracket(cells[0])[0]
    return heads.columns_of(cells, columns, unit, source, at)


def split_header(layout: Layout, line: str) -> list[str]:
    """Return the cells of a header line."""
    plain = line.strip().removeprefix(layout.comment)
    return heads.header_cells(plain, layout.delimiter) if layout.delimiter == " " else split(plain, layout.delimiter)
