"""The lines before the numbers: metadata, header, unit. Both the fast and the tolerant path read them here."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from spectui.core.errors import FileError, UnitError
from spectui.files.safe import shown
from spectui.files.text import FileUnitError, declared_unit, split, unit_of

_NUMBER_KEYS = """
integration_ms temperature_c dark_temperature_c dark_integration_ms input_power_w distance_m dim_percent lit_minutes
hours_run price calibration_uncertainty_percent wavelength_uncertainty_nm noise_percent stated_ppfd stated_lux
full_scale_counts photoperiod_h
"""
_TEXT_KEYS = """
title unit taken_at place position_m instrument instrument_serial calibrated_on calibration_due dark_taken_at fixture
fixture_id ambient operator calibration notes
"""
NUMBER_KEYS = frozenset(_NUMBER_KEYS.split())
KEYS = NUMBER_KEYS | frozenset(_TEXT_KEYS.split())
UNCERTAINTY = "expanded_uncertainty"
_WAVELENGTH = re.compile(
    r"(?:wave[ _-]?lengths?|lambda|λ|wl|wave|nm|wellenlänge|longueur d['’]onde|longitud de onda|lunghezza d['’]onda|"
    r"golflengte)(?:[ _-]?nm)?"
)
_NANOMETRE = frozenset(("nm", "nanometer", "nanometers", "nanometre", "nanometres", ""))
_UNIT_LIKE = re.compile(r"\s*[numkµμ]?(?:W|mol|J)(?![a-z]).*(?:/|-1|⁻)|(?:counts?|relative|transmittance)\s*$")
_DECIMAL_COMMA = re.compile(r"([+-]?[0-9]+),([0-9]+(?:[eE][+-]?[0-9]+)?)")
_LONGEST_VALUE = 10_000
Item = tuple[str, str]


class Head(NamedTuple):
    """What stands before the numbers.

    meta: keys in file order, without the unit. unit: canonical or None. titles: one cell a column (the wavelength's
    first), None without a header. wide: columns of expanded uncertainty, 0-based in the table.
    """

    meta: dict[str, str]
    unit: str | None
    titles: list[str] | None
    wide: frozenset[int]


def key_of(name: str) -> str:
    """Return the contract's key that `name` is apart from case, spaces and hyphens, else the name as it stands."""
    if name in KEYS:
        return name
    plain = re.sub(r"[\s_-]+", "_", name.strip().lower())
    return plain if plain in KEYS else name.strip()


def comment(line: str) -> Item | None:
    """Read `# key: value`; None for a plain comment."""
    name, colon, value = line.lstrip("# \t").partition(":")
    value = value.strip()
    name = name.strip()
    if not colon or not name or len(name) > 60 or value.startswith("//"):
        return None
    return key_of(name), value


def bare(line: str, delimiter: str) -> Item | None:
    """Read `key<delimiter>value` or `key: value`; None where the line is neither."""
    first, mark, rest = line.strip().partition(":")
    if mark and first and delimiter not in first and "\t" not in first:
        return key_of(first), _value(rest, delimiter)
    name, mark, rest = _cut(line, delimiter)
    if mark and delimiter == " " and first != line.strip() and (rest[:1] == ":" or key_of(first) in KEYS):
        return key_of(first), _value(line.strip().partition(":")[2], delimiter)
    name = name.strip().strip('"').strip().removesuffix(":").strip()
    return (key_of(name), _value(rest, delimiter)) if mark and name else None


def _cut(line: str, delimiter: str) -> tuple[str, str, str]:
    if delimiter == " ":
        parts = line.split(None, 1)
        return (parts[0], " ", parts[1]) if len(parts) == 2 else (line, "", "")
    return line.partition(delimiter)


def _value(rest: str, delimiter: str) -> str:
    """The rest of a metadata line as one text: empty cells at its end go, quotes around it too."""
    rest = rest.strip(f" \t{delimiter}").strip()
    if len(rest) > 1 and rest[0] == rest[-1] == '"':
        rest = rest[1:-1].replace('""', '"').strip()
    return rest


def bracket(cell: str) -> tuple[str, str | None, bool]:
    """Take a header cell apart: (title, text of the bracket at its end or None, whether the bracket is square)."""
    cell = cell.strip()
    pair = {"]": "[", ")": "("}.get(cell[-1:])
    if pair is None:
        return cell, None, False
    depth = 0
    for at in range(len(cell) - 1, -1, -1):
        depth += (cell[at] == cell[-1]) - (cell[at] == pair)
        if depth == 0:
            return cell[:at].rstrip(" _"), cell[at + 1 : -1].strip(), pair == "["
    return cell, None, False


def header_cells(line: str, delimiter: str) -> list[str]:
    """Split a header; in text delimited by spaces a bracket belongs to the word before it, spaces in it included."""
    if delimiter != " " or '"' in line:
        return split(line, delimiter)
    cells: list[str] = []
    word: list[str] = []
    depth, gap = 0, False
    for letter in line.strip():
        depth += (letter in "[(") - (letter in "])")
        if letter.isspace() and depth <= 0:
            gap = True
            continue
        if gap and letter not in "[(":
            cells.append("".join(word))
            word = []
        gap = False
        word.append(letter)
    return [*cells, "".join(word)]


def is_header(cells: Sequence[str], columns: int) -> bool:
    """Say whether the cells of the last line before the numbers head columns and are no metadata."""
    if len(cells) < 2:
        return False
    name, unit, _ = bracket(cells[0])
    if names_wavelength(cells[0]) or (unit or "").lower() in ("nm", "um", "µm", "μm", "å"):
        return True
    if len(cells) == 2:
        return _states_unit(cells[1])
    return len(cells) == columns and key_of(name) not in KEYS


def names_wavelength(cell: str) -> bool:
    """Say whether a cell is a word for wavelength."""
    return _WAVELENGTH.fullmatch(bracket(cell)[0].strip().lower()) is not None


def _states_unit(cell: str) -> bool:
    _, inner, square = bracket(cell)
    if not inner:
        return False
    try:
        unit_of(inner)
    except UnitError:
        return square and _UNIT_LIKE.match(inner) is not None
    return True


def parse(lines: Sequence[tuple[int, str]], delimiter: str, columns: int, source: str, decimal: str = ".") -> Head:
    """Read the lines before the numbers, given as (1-based number, text); blank lines may be among them.

    columns: cells of a row of numbers. Raises FileError for a line that is neither metadata nor header,
    FileUnitError for a unit that is unknown or two that differ.
    """
    meta: dict[str, str] = {}
    seen: dict[str, int] = {}
    titles: list[str] | None = None
    last = max((at for at, line in lines if line and line[0] != "#" and line.strip()), default=0)
    unit: str | None = None
    header_line = 0
    for at, line in lines:
        if not line or not line.strip():
            continue
        if line[0] == "#" or line.lstrip()[0] == "#":
            item = comment(line.strip())
            if item is None:
                continue
        else:
            if at == last:
                cells = header_cells(line, delimiter)
                if is_header(cells, columns):
                    titles, header_line = cells, at
                    continue
            item = bare(line, delimiter)
            if item is None:
                raise FileError(
                    source,
                    f"expected `key{delimiter}value`, a header or numbers, got {shown(line.strip())}; "
                    "put # before a comment, or see `spectui layout FILE`",
                    at,
                )
        key, value = item
        if key == "unit":
            unit = one_unit(unit, declared_unit(value, source, at) if value else None, source, at)
        elif value:
            _keep(meta, seen, key, point_of(key, value) if decimal == "," else value, source, at)
    wide: frozenset[int] = frozenset()
    if titles is not None:
        titles, unit, wide = columns_of(titles, columns, unit, source, header_line)
    return Head(meta, unit, titles, wide)


def _keep(meta: dict[str, str], seen: dict[str, int], key: str, value: str, source: str, at: int) -> None:
    if key in meta and meta[key] != value:
        if key in KEYS and key != "notes":
            raise FileError(source, f"{key} stands twice: {shown(value)}, and other on line {seen[key]}", at)
        if len(meta[key]) > _LONGEST_VALUE:
            raise FileError(source, f"{shown(key)} stands too often: remove all but one", at)
        value = f"{meta[key]}; {value}"
    meta[key] = value
    seen[key] = at


def point_of(key: str, value: str) -> str:
    """Return the number of a contract key with a decimal point, from a file with decimal commas."""
    if key == "position_m":
        parts = re.split(r"\s*;\s*|,\s+|\s+", value.strip())
        return ", ".join(_DECIMAL_COMMA.sub(r"\1.\2", part) for part in parts) if len(parts) > 1 else value
    if key in NUMBER_KEYS and _DECIMAL_COMMA.fullmatch(value):
        return value.replace(",", ".")
    return value


def one_unit(known: str | None, found: str | None, source: str, at: int) -> str | None:
    """Return the one unit of two declarations; raises FileUnitError where they differ."""
    if known is not None and found is not None and known != found:
        raise FileUnitError(source, f"two units that differ: {found} here, {known} before; keep the true one", at)
    return found or known


def columns_of(
    cells: list[str], columns: int, unit: str | None, source: str, at: int
) -> tuple[list[str], str | None, frozenset[int]]:
    """Take a header apart into titles, unit and columns of uncertainty."""
    while len(cells) > columns and not cells[-1]:
        cells = cells[:-1]
    if len(cells) > columns:
        raise FileError(
            source, f"expected numbers in {len(cells)} columns as headed, got {columns} in the row below", at
        )
    name, inner, square = bracket(cells[0])
    wrong_scale = inner is not None and inner.lower() not in _NANOMETRE
    if wrong_scale and (square or names_wavelength(name)):
        raise FileUnitError(
            source,
            f"expected wavelengths in nm, got {shown(inner or '')}; convert them, or give "
            "`wavelength_unit` in a layout (`spectui layout FILE`)",
            at,
        )
    titles, wide = [name], set()
    for place, cell in enumerate(cells[1:], 1):
        name, inner, square = bracket(cell)
        if inner and (square or _UNIT_LIKE.match(inner)):
            unit = one_unit(unit, declared_unit(inner, source, at), source, at)
        elif inner is not None and not square:
            name = cell.strip()
        if key_plain(name) == UNCERTAINTY:
            if place == 1 or place - 1 in wide:
                raise FileError(source, f"column {place + 1}: {UNCERTAINTY} belongs right of its scan's values", at)
            wide.add(place)
        titles.append(name)
    return titles, unit, frozenset(wide)


def key_plain(name: str) -> str:
    """Return a header's word in the contract's spelling."""
    return re.sub(r"[\s_-]+", "_", name.strip().lower())
