"""A layout proposed for an unknown delimited file, tried on it before it is given away."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from types import MappingProxyType

import numpy as np

from spectui.core.errors import FileError, NotAScan, UnitError
from spectui.core.scan import LONGEST_NM, SHORTEST_NM, Scan
from spectui.files import layout_read
from spectui.files.delimited import DIALECTS
from spectui.files.guess import date_pattern, key_guess
from spectui.files.head import KEYS, bracket, key_of
from spectui.files.layout import Layout
from spectui.files.preamble import DATES, header_at, name_and_value, split_header
from spectui.files.safe import safe, shown
from spectui.files.text import decode, lines_of, number, split, unit_of

_PROBED = 400
_LONGEST_PREAMBLE = 200


def propose(data: bytes, source: str) -> tuple[Layout, list[str]]:
    """Return (layout, notes); layout.propose for the rest."""
    lines = lines_of(decode(data, source), source)
    reason = ""
    for layout in _shapes(lines):
        layout, notes = _named(layout, lines, source)
        try:
            scans = layout_read.read(layout, data, source)
        except FileError as error:
            try:
                scans = layout_read.read(layout, data, source, skip_gaps=True)
            except FileError:
                reason = reason or error.message
                continue
            notes.append(f"{error.message}")
        if all(np.array_equal(scan.values, scan.wavelength) for scan in scans):
            continue  # a grid that stands twice
        return layout, [_said(scans), *notes]
    reason = reason or "no wavelengths in nm (100-5000) beside values were found"
    raise NotAScan(source, f"no layout reads it: {safe(reason)}")


def _said(scans: Sequence[Scan]) -> str:
    lo, hi = scans[0].range_nm
    count = "1 scan" if len(scans) == 1 else f"{len(scans)} scans"
    return f"tried: {count}, {scans[0].wavelength.size} samples from {lo:g} to {hi:g} nm"


def _shapes(lines: Sequence[str]) -> Iterator[Layout]:
    """Yield layouts that the numbers could have, the likeliest first."""
    found: list[tuple[int, int, Layout]] = []
    probed = lines[: _LONGEST_PREAMBLE + _PROBED]
    dialects = [pair for pair in DIALECTS if pair.delimiter == " " or any(pair.delimiter in line for line in probed)]
    for labels in (0, 1, 2):
        plains = [Layout(delimiter=delimiter, decimal=decimal, labels=labels) for delimiter, decimal in dialects]
        tables = [_rows(plain, lines) for plain in plains]
        counts = [sum(len(row) for _, row in rows) for rows in tables]
        for order, (plain, rows) in enumerate(zip(plains, tables, strict=True)):
            # The decimal mark is the one that more of the numbers are written with; a comma that divides may be both.
            others = (n for other, n in zip(plains, counts, strict=True) if other.delimiter == plain.delimiter)
            if plain.delimiter != "," and counts[order] < max(others):
                continue
            for rank, layout in _of_rows(plain, rows, lines):
                found.append((rank, order, layout))
    found.sort(key=lambda item: item[:2])
    yield from (layout for _, _, layout in found)


def _rows(layout: Layout, lines: Sequence[str]) -> list[tuple[int, list[float]]]:
    """Return (1-based line, numbers) of the lines that are numbers throughout."""
    rows = []
    for at, line in enumerate(lines[: _LONGEST_PREAMBLE + _PROBED], 1):
        if not line.strip() or line.strip().startswith(layout.comment):
            continue
        cells = split(line, layout.delimiter)
        if layout.labels and (len(cells) <= layout.labels or number(cells[0], layout.decimal) is not None):
            continue
        row = layout_read.row_of(layout, line, at)
        if row is None:
            continue
        while len(row.cells) > 2 and not row.cells[-1]:
            row.cells.pop()
        numbers = [number(cell, layout.decimal) for cell in row.cells]
        if sum(value is None for value in numbers) * 4 <= len(numbers) - 1:
            rows.append((at, [float("nan") if value is None else value for value in numbers]))
    return rows


def _of_rows(plain: Layout, rows: list[tuple[int, list[float]]], lines: Sequence[str]) -> Iterator[tuple[int, Layout]]:
    """Yield (rank, layout) for each way in which rows of numbers hold wavelengths."""
    for start, (at, numbers) in enumerate(rows):
        here = replace(plain, first_line=at)
        first_two = [value for _, row in rows[start : start + 2] for value in row]
        if len(numbers) >= 3 and len(first_two) > len(numbers) and _is_grid(first_two):
            yield -1, replace(here, blocks="apart")
        if plain.labels == 0 and len(numbers) >= 2 and start + 1 < len(rows):
            following = [row for _, row in rows[start : start + 8] if len(row) == len(numbers)]
            first = [row[0] for row in following]
            if len(following) > 1 and (_is_grid(first[:2]) or _is_grid(first[1::-1])):
                paired = plain.delimiter == "," == plain.decimal
                if paired and not _only_digits(lines, rows, start):
                    return
                yield -1 if paired else 0, replace(here, last_line=_end(rows, start, lines))
                yield 1, replace(here, blocks="stacked")
                if _mentions(r"Å|[Aa]ngstr", lines[: at - 1]):
                    yield -1, replace(here, wavelength_unit="angstrom")
                return
            if len(following) > 1 and first[0] < SHORTEST_NM and all(a < b for a, b in pairwise(first)):
                yield from _small(here, following, lines)
        if len(numbers) >= 3 and _is_grid(numbers):
            yield 2, replace(here, orientation="row")
            yield 2, replace(here, orientation="row", last_line=_end(rows, start, lines))
            yield 3, replace(here, orientation="row", blocks="stacked")
            yield 4, replace(here, blocks="apart")
            return
        if len(numbers) == 1 and SHORTEST_NM <= numbers[0] <= LONGEST_NM:
            yield 6, replace(here, blocks="apart")
            return


def _only_digits(lines: Sequence[str], rows: list[tuple[int, list[float]]], start: int) -> bool:
    """Say whether commas may be decimal marks although they divide: digits only, no header for as many columns."""
    first = lines[rows[start][0] - 1]
    above = next((line for line in reversed(lines[: rows[start][0] - 1]) if line.strip()), "")
    digits = not any("." in lines[at - 1] or '"' in lines[at - 1] for at, _ in rows[start:])
    return digits and first.count(",") > 1 and above.count(",") != first.count(",")


def _mentions(pattern: str, lines: Sequence[str]) -> bool:
    """Say whether the lines above the numbers name a unit: a magnitude alone decides none."""
    return any(re.search(pattern, line) for line in lines)


def _small(here: Layout, following: list[list[float]], lines: Sequence[str]) -> Iterator[tuple[int, Layout]]:
    """Yield layouts for a first column that is no wavelength in nm: a running number, or µm."""
    for place in range(1, len(following[0]) - 1):
        if _is_grid([row[place] for row in following[:2]]):
            rest = tuple(range(place + 2, len(following[0]) + 1))
            yield 5, replace(here, columns=(place + 1, *rest))
    small = following[0][0] * 1e3 >= SHORTEST_NM and following[-1][0] * 1e3 <= LONGEST_NM
    if small and _mentions(r"\b[uµμ]m\b|[Mm]icrom", lines[: here.first_line - 1]):
        yield 7, replace(here, wavelength_unit="um")


def _is_grid(numbers: Sequence[float]) -> bool:
    return all(a < b for a, b in pairwise(numbers)) and numbers[0] >= SHORTEST_NM and numbers[-1] <= LONGEST_NM


def _end(rows: list[tuple[int, list[float]]], start: int, lines: Sequence[str]) -> int | None:
    """Return the last line of numbers where text follows them, None where they go on to the end of what was probed."""
    last = rows[-1][0]
    if last >= _PROBED or not any(line.strip() for line in lines[last:]):
        return None
    return last


def _named(layout: Layout, lines: Sequence[str], source: str) -> tuple[Layout, list[str]]:
    """Give a layout the names, the unit, the dates and the files that its preamble suggests, with notes on each."""
    notes: list[str] = []
    keys: dict[str, str] = {}
    dates: list[tuple[str, str]] = []
    own: list[str] = []
    passed: list[tuple[int, str]] = []
    header_unit = False
    above = [(at, line) for at, line in enumerate(lines[: layout.first_line - 1], 1) if line.strip()]
    row = layout_read.row_of(layout, lines[layout.first_line - 1], layout.first_line)
    header = header_at(layout, above, len(row.cells) if row is not None else 0)
    for at, line in above[-_LONGEST_PREAMBLE:]:
        if at == header:
            cells = split_header(layout, line)[1:]
            header_unit = header_unit or any(_unit(bracket(cell)[1] or "") for cell in cells)
            units = {unit: cell for cell in cells if (unit := _unit(cell)) is not None}
            if len(units) == 1 and not header_unit:
                layout, header_unit = replace(layout, unit=next(iter(units))), True
                notes.append(f"the header's {shown(units[layout.unit or ''])} is taken as the unit")
            continue
        item = name_and_value(layout, line)
        if item is None:
            passed.append((at, line.strip()))
            continue
        name, value = item
        key = key_of(name)
        if key not in KEYS:
            key = "unit" if _unit(value) else key_guess(name)
            if key == "unit" and not _unit(value):
                notes.append(f"{shown(name)} is {shown(value)}, no unit that is known: give `unit`")
                key = ""
            if key:
                keys[name] = key
                notes.append(f"{shown(name)} is taken as {key}")
            else:
                own.append(name)
        if key in DATES and value:
            dates.append((key, value))
        header_unit = header_unit or (key == "unit" and bool(_unit(value)))
    pattern, told = date_pattern(_joined(dates))
    notes += told
    if own:
        notes.append(f"under names of their own: {_some([shown(name) for name in own])}")
    if passed:
        notes.append(f"passed over: {_some([f'line {at} {shown(line)}' for at, line in passed])}")
    if not header_unit:
        notes.append('no unit is stated: the scan is relative until `unit = "…"` is added')
    if layout.delimiter == "," == layout.decimal:
        notes.append("the comma both divides and is the decimal mark: numbers are read in pairs of cells; check them")
    if layout.last_line is not None:
        below = [(at, line.strip()) for at, line in enumerate(lines[layout.last_line :], layout.last_line + 1)]
        told_of = [f"line {at} {shown(line)}" for at, line in below if line and not line.startswith(layout.comment)]
        if told_of:
            notes.append(f"passed over below the numbers: {_some(told_of)}")
    suffix = os.path.splitext(source)[1]
    match = (f"*{suffix}",) if re.fullmatch(r"\.\w+", suffix) else ()
    return replace(layout, match=match, date=pattern, keys=MappingProxyType(keys)), notes


def _some(items: Sequence[str]) -> str:
    """Name the first few of what may be many."""
    return ", ".join(items[:4]) + (f" and {len(items) - 4} more" if len(items) > 4 else "")


def _joined(dates: Sequence[tuple[str, str]]) -> list[str]:
    """Join the values of one key as the reader does: a date and a time of day may have names of their own."""
    joined: dict[str, str] = {}
    for key, value in dates:
        joined[key] = f"{joined[key]} {value}" if key in joined else value
    return list(joined.values())


def _unit(text: str) -> str | None:
    try:
        return unit_of(text) if len(text) < 40 else None
    except UnitError:
        return None
