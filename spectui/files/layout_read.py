"""Files read by a layout: columns or rows, one block or several."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from spectui.core.errors import FileError
from spectui.core.scan import Scan
from spectui.files import preamble
from spectui.files.fast import MAX_COLUMNS
from spectui.files.head import Head
from spectui.files.safe import shown
from spectui.files.table import Floats, scans_of
from spectui.files.text import FileUnitError, decode, is_gap, lines_of, number, split

if TYPE_CHECKING:
    from spectui.files.layout import Layout

_TO_NM = {"nm": 1.0, "um": 1e3, "angstrom": 0.1}
MAX_ROWS = 200_000
MAX_CELLS = 4_000_000


class Row(NamedTuple):
    """A line of numbers: its 1-based place in the file, the cells left of the numbers, the cells of numbers."""

    at: int
    labels: list[str]
    cells: list[str]


class Block(NamedTuple):
    """Rows of numbers on end, with the lines above them."""

    above: list[tuple[int, str]]
    rows: list[Row]


def read(layout: Layout, data: bytes, source: str, *, unit: str | None = None, skip_gaps: bool = False) -> list[Scan]:
    """Read a file's content as `layout` says; layout.read_with for the rest."""
    lines = lines_of(decode(data, source, layout.encoding), source)
    first = layout.first_line
    if first > len(lines):
        raise FileError(source, f"expected numbers from line {first} on, as the layout says; the file has {len(lines)}")
    found = blocks(layout, lines)
    if not found or found[0].rows[0].at != first:
        raise FileError(
            source,
            f"expected numbers as the layout says, got {shown(lines[first - 1].strip())}; change the layout",
            first,
        )
    early = next(((at, line) for at, line in reversed(found[0].above) if line.strip()), None)
    begun = row_of(layout, early[1], early[0]) if early is not None else None
    if begun is not None and len(begun.cells) == len(found[0].rows[0].cells) > 1 and not layout.labels:
        raise FileError(source, f"numbers begin before line {first}, which the layout says is the first", begun.at)
    if sum(len(row.cells) for block in found for row in block.rows) > MAX_CELLS:
        raise FileError(source, f"expected at most {MAX_CELLS} numbers")
    if layout.blocks == "one" and len(found) > 1:
        raise FileError(
            source,
            "expected numbers to the end, as the layout says; give `last_line`, or `blocks` where more follow",
            found[0].rows[-1].at + 1,
        )
    broken = _broken(layout, found) if layout.blocks == "stacked" else None
    if broken is not None:
        at = broken
        raise FileError(
            source, f"expected numbers, which go on below it, got {shown(lines[at - 1].strip())}; correct the line", at
        )
    if layout.blocks == "apart":
        tables = _apart(layout, found, source, skip_gaps)
    else:
        tables = [_together(layout, block, source, skip_gaps) for block in found]
    scans: list[Scan] = []
    for table, head, rows in tables:
        table[:, 0] *= _TO_NM[layout.wavelength_unit]
        if head.unit is None and layout.unit is not None:
            head = head._replace(unit=layout.unit)
        elif layout.unit is not None and head.unit != layout.unit:
            raise FileUnitError(source, f"the file declares {head.unit}, its layout {layout.unit}: correct the layout")
        scans += scans_of(table, head, source, unit=unit, skip_gaps=skip_gaps, rows=rows)
    return [scan.with_(index=at) for at, scan in enumerate(scans)] if len(scans) > 1 else scans


def blocks(layout: Layout, lines: Sequence[str]) -> list[Block]:
    """Divide the lines into blocks of numbers, from the layout's first line on; blank lines divide nothing."""
    found: list[Block] = []
    last = layout.last_line or len(lines)
    above = list(enumerate(lines[: layout.first_line - 1], 1))
    fresh = True
    for at, line in enumerate(lines[layout.first_line - 1 : last], layout.first_line):
        plain = line.strip()
        if not plain:
            # In a file of blocks apart a blank line may be all that stands between them.
            fresh = fresh or (layout.blocks == "apart" and bool(found))
            continue
        row = None if plain.startswith(layout.comment) else row_of(layout, line, at)
        if row is None:
            above.append((at, line))
            fresh = fresh or not plain.startswith(layout.comment) or layout.blocks != "one"
            continue
        if fresh or not found:
            found.append(Block(above, []))
            above, fresh = [], False
        found[-1].rows.append(row)
    if (
        above
        and found
        and layout.blocks == "one"
        and any(not line.strip().startswith(layout.comment) for _, line in above)
    ):
        found.append(Block(above, [Row(above[0][0], [], [])]))
    return found


def _broken(layout: Layout, found: Sequence[Block]) -> int | None:
    """Return the line that stands within a block of a stacked file and is no row of it, None where there is none.

    Else it would pass for the preamble of a next block: one that goes on where the block before it ends.
    """
    place = layout.columns[0] - 1 if layout.columns else 0
    for before, after in pairwise(found):
        row = before.rows[-1]
        if layout.orientation == "row":
            like = (
                at for at, line in after.above if len(split(line, layout.delimiter)) == layout.labels + len(row.cells)
            )
            at = next(like, None) if len(row.cells) > 2 else None
            if at is not None:
                return at
            continue
        if [at for at, _ in after.above] != list(range(row.at + 1, after.rows[0].at)):
            continue  # a blank line divides them
        nm = [_cell(layout, r, place) for r in (before.rows[0], row, after.rows[0])]
        goes_on = (nm[2] - nm[1]) * (nm[1] - nm[0]) > 0 or (len(before.rows) == 1 and nm[1] != nm[2])
        if goes_on and preamble.header_at(layout, after.above, len(row.cells)) is None:
            return after.above[0][0]
    return None


def _cell(layout: Layout, row: Row, place: int) -> float:
    value = number(row.cells[place], layout.decimal) if place < len(row.cells) else None
    return float("nan") if value is None else value


def row_of(layout: Layout, line: str, at: int) -> Row | None:
    """Return the cells of a line of numbers, None where the line is none.

    A line counts as one where its first cell after the labels is a number: the others are judged with their place.
    In a file of rows one number alone is a fact of the preamble: no spectrum has one sample.
    """
    cells = split(line, layout.delimiter)
    labels, cells = cells[: layout.labels], cells[layout.labels :]
    if layout.orientation == "row" and not any(cells[1:]):
        return None
    if layout.labels and cells and cells[0][-2:].lower() == "nm":
        cells = [cell.lower().removesuffix("nm").rstrip() for cell in cells]
    if layout.delimiter == "," == layout.decimal and '"' not in line:
        cells = paired(cells)
    if not cells or (number(cells[0], layout.decimal) is None and not (layout.labels and is_gap(cells[0]))):
        return None
    return Row(at, labels, cells)


def paired(cells: list[str]) -> list[str]:
    """Join cells where the comma divides and is the decimal mark: an odd count begins with a whole wavelength."""
    lead = cells[:1] if len(cells) % 2 else []
    rest = cells[len(lead) :]
    return [*lead, *(f"{whole},{part}" for whole, part in zip(rest[::2], rest[1::2], strict=True))]


_Table = tuple[Floats, Head, "list[int] | None"]


def _together(layout: Layout, block: Block, source: str, skip_gaps: bool) -> _Table:
    """Read a block that holds wavelengths and values."""
    width = len(block.rows[0].cells)
    if all(len(row.cells) == width for row in block.rows):
        while width > 2 and not any(row.cells[width - 1] for row in block.rows):
            width -= 1  # the delimiter at each line's end heads no column
        block = block._replace(rows=[row._replace(cells=row.cells[:width]) for row in block.rows])
    if width > MAX_COLUMNS and layout.orientation == "column":
        raise FileError(source, f"expected at most {MAX_COLUMNS} columns, got {width}", block.rows[0].at)
    said = preamble.read(layout, block.above, width, source)
    numbers = _numbers(layout, block.rows, width, source, skip_gaps)
    if layout.orientation == "row":
        if len(block.rows) < 2:
            raise FileError(source, "expected a row of wavelengths and one of values below it", block.rows[0].at)
        titles = [row.labels[-1] if row.labels else "" for row in block.rows]
        return numbers.T.copy(), Head(said.meta, said.unit, titles, frozenset()), None
    if layout.columns:
        if max(layout.columns) > width:
            raise FileError(
                source, f"expected {max(layout.columns)} columns, as the layout says, got {width}", block.rows[0].at
            )
        numbers = numbers[:, [place - 1 for place in layout.columns]].copy()
    return numbers, Head(said.meta, said.unit, said.titles, said.wide), [row.at for row in block.rows]


def _apart(layout: Layout, found: list[Block], source: str, skip_gaps: bool) -> list[_Table]:
    """Read blocks of which the first holds the wavelengths and each other the values of a scan."""
    if len(found) < 2:
        raise FileError(source, "expected a block of wavelengths and one of values, as the layout says, got one block")
    flat = [
        np.array([value for row in block.rows for value in _numbers(layout, [row], None, source, skip_gaps)[0]])
        for block in found
    ]
    said = preamble.read(layout, found[0].above, 0, source)
    tables: list[_Table] = []
    for block, values in zip(found[1:], flat[1:], strict=True):
        if values.size != flat[0].size:
            raise FileError(
                source, f"expected {flat[0].size} values, one for each wavelength, got {values.size}", block.rows[0].at
            )
        own = preamble.read(layout, block.above, 0, source)
        unit = own.unit or said.unit
        if said.unit is not None and unit != said.unit:
            raise FileUnitError(source, f"two units that differ: {unit} here, {said.unit} before", block.rows[0].at)
        tables.append(
            (np.column_stack((flat[0], values)), Head({**said.meta, **own.meta}, unit, None, frozenset()), None)
        )
    return tables


def _numbers(layout: Layout, rows: Sequence[Row], width: int | None, source: str, skip_gaps: bool) -> Floats:
    """Return the rows' numbers (rows, width); NaN is a gap. Raises FileError with line and column."""
    if len(rows) > MAX_ROWS:
        raise FileError(source, f"expected at most {MAX_ROWS} rows of numbers, got {len(rows)}", rows[MAX_ROWS].at)
    columns = len(rows[0].cells) if width is None else width
    used = (
        range(columns)
        if not layout.columns or layout.orientation == "row" or width is None
        else [place - 1 for place in layout.columns]
    )
    table = np.full((len(rows), columns), np.nan)
    for at, row in enumerate(rows):
        if len(row.cells) != columns:
            raise FileError(source, f"expected {columns} cells as in the first row, got {len(row.cells)}", row.at)
        for place in used:
            if place >= columns:
                continue
            cell = row.cells[place]
            value = number(cell, layout.decimal)
            if value is not None:
                table[at, place] = value
            elif not is_gap(cell) or not skip_gaps:
                what = "a number" if is_gap(cell) else f"a number with decimal mark {layout.decimal!r}"
                raise FileError(
                    source,
                    f"column {place + 1 + layout.labels}: expected {what}, got {shown(cell)}"
                    + ("; --skip-gaps leaves such samples out" if is_gap(cell) else "; change the layout"),
                    row.at,
                )
    return table
