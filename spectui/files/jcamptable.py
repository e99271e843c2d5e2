"""The tables of JCAMP-DX: (X++(Y..Y)) and (XY..XY), each held against what the block says about it."""

from __future__ import annotations

import re
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from spectui.core.errors import FileError
from spectui.files import asdf
from spectui.files.ldr import UNCERTAINTY, Block, Record, even_grid
from spectui.files.ldr import plain_label as plain
from spectui.files.safe import shown

LONGEST_TABLE = 1_000_000

_NM = {
    **dict.fromkeys(("NANOMETERS", "NANOMETER", "NANOMETRES", "NANOMETRE", "NM"), 1.0),
    **dict.fromkeys(("MICROMETERS", "MICROMETER", "MICROMETRES", "MICRONS", "UM", "µM", "ΜM"), 1000.0),
    **dict.fromkeys(("ANGSTROMS", "ANGSTROM", "A", "Å"), 0.1),
}
_AFFN = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[Ee][+-]?[0-9]{1,3})?")


class Table(NamedTuple):
    nm: NDArray[np.float64]
    values: NDArray[np.float64]
    lines: list[int]  # the file line of each value


def _number(block: Block, label: str, source: str) -> tuple[float, Record] | None:
    """Return a numeric record's value; None where it is absent. Two that differ are an error."""
    found = [record for record in block.records if record.label == label and record.text]
    if not found:
        return None
    for record in found:
        if _AFFN.fullmatch(record.text) is None or not np.isfinite(float(record.text)):
            raise FileError(source, f"##{record.name}= is {shown(record.text)}, expected a number", record.line)
        if float(record.text) != float(found[0].text):
            message = f"##{record.name}= stands twice with different values: {found[0].text} and {record.text}"
            raise FileError(source, message, record.line)
    return float(found[0].text), found[0]


def _factor(block: Block, label: str, source: str) -> float:
    found = _number(block, label, source)
    if found is None:
        return 1.0
    if found[0] == 0:
        raise FileError(source, f"##{found[1].name}= is 0, expected a factor", found[1].line)
    return found[0]


def _to_nm(block: Block, source: str) -> float:
    record = block.get("XUNITS")
    if record is None:
        raise FileError(source, "##XUNITS= is missing, expected NANOMETERS", block.line)
    factor = _NM.get(plain(record.text))
    if factor is None:
        message = f"##XUNITS= is {shown(record.text)}, expected NANOMETERS (or MICROMETERS, ANGSTROMS)"
        if re.search(r"CM|HZ|EV", plain(record.text)):
            message += ": values per wavenumber, frequency or energy do not turn into values per nm by a factor"
        raise FileError(source, message, record.line)
    return factor


def even(block: Block, table: Record, source: str) -> Table:
    values, lines, checks = _ordinates(table, source)
    first, last = _number(block, "FIRSTX", source), _number(block, "LASTX", source)
    delta = _number(block, "DELTAX", source)
    x_factor, y_factor = _factor(block, "XFACTOR", source), _factor(block, "YFACTOR", source)
    n = len(values)
    _count(block, n, table, source)
    start = first[0] if first else float(checks[0][1]) * x_factor
    if last:
        end = last[0]
    elif delta:
        end = start + delta[0] * (n - 1)
    elif checks[-1][2] > 0:
        end = start + (float(checks[-1][1]) * x_factor - start) / checks[-1][2] * (n - 1)
    else:
        raise FileError(source, "expected ##LASTX= or ##DELTAX=, found neither", table.line)
    step = (end - start) / (n - 1)
    if delta and last and abs(abs(delta[0]) - abs(step)) > max(asdf.last_place(delta[1].text), 1e-6 * abs(step)):
        message = f"##DELTAX= is {delta[1].text}, but FIRSTX, LASTX and NPOINTS make it {step:.10g}"
        raise FileError(source, message, delta[1].line)
    place = max((asdf.last_place(known[1].text) for known in (first, last) if known), default=0.0)
    for line, x, at in checks:
        expected = start + at * step
        allowed = max(asdf.last_place(x) * abs(x_factor), place)
        if abs(float(x) * x_factor - expected) > 0.999 * allowed:
            message = f"X check: the line begins with {float(x) * x_factor:.10g}, expected {expected:.10g}"
            raise FileError(source, f"{message}; the table is uneven, or points are lost", line)
    y = np.array(values) * y_factor
    known = _number(block, "FIRSTY", source)
    if known and np.isfinite(y[0]):
        inside = abs(y_factor) if float(values[0]).is_integer() else 1e-3 * abs(known[0])
        if abs(known[0] - y[0]) > max(inside, asdf.last_place(known[1].text)):
            message = f"##FIRSTY= is {known[1].text}, but the table begins with {y[0]:.10g}"
            raise FileError(source, message, known[1].line)
    return Table(even_grid(start, end, n, _to_nm(block, source)), y, lines)


def _ordinates(table: Record, source: str) -> tuple[list[float], list[int], list[tuple[int, str, int]]]:
    """Return the values as packed, the file line of each, and the X checks (file line, X as written, index)."""
    values: list[float] = []
    lines: list[int] = []
    checks: list[tuple[int, str, int]] = []
    differs = False
    for number, content in enumerate(table.lines[1:], table.line + 1):
        if not content.strip():
            continue
        try:
            line = asdf.line(content)
        except ValueError as error:
            raise FileError(source, str(error), number) from None
        new = line.values
        if not new:
            raise FileError(source, "a line with an X and no Y", number)
        checks.append((number, line.x, len(values) - differs))
        if differs:
            if not abs(new[0] - values[-1]) <= 1e-9 * abs(new[0]):
                message = f"Y check: the line begins with {new[0]:.10g}, the line before ends with {values[-1]:.10g}"
                raise FileError(source, message, number)
            new = new[1:]
        if not all(np.isfinite(value) or value != value for value in new):
            raise FileError(source, "a value too large for a number", number)
        values += new
        lines += [number] * len(new)
        differs = line.differs
        if len(values) > LONGEST_TABLE:
            raise FileError(source, f"more than {LONGEST_TABLE} values", number)
    return values, lines, checks


def _count(block: Block, n: int, table: Record, source: str) -> None:
    known = _number(block, "NPOINTS", source)
    if known and known[0] != n:
        raise FileError(source, f"##NPOINTS= is {known[1].text}, but the table has {n}", known[1].line)
    if n < 2:
        raise FileError(source, f"expected at least 2 samples, got {n}", table.line)


def points(block: Block, table: Record, source: str) -> Table:
    numbers: list[float] = []
    lines: list[int] = []
    texts: list[str] = []
    for number, content in enumerate(table.lines[1:], table.line + 1):
        for part in re.split(r"[\s,;]+", content.strip()):
            if part == "?" and len(numbers) % 2 == 1:
                numbers.append(asdf.NAN)
            elif _AFFN.fullmatch(part) and np.isfinite(float(part)):
                numbers.append(float(part))
            elif part:
                raise FileError(source, f"expected pairs of numbers x, y, got {shown(part)}", number)
            else:
                continue
            texts.append(part)
            lines.append(number)
    if len(numbers) % 2:
        raise FileError(source, f"expected pairs x, y, got {len(numbers)} numbers", lines[-1])
    _count(block, len(numbers) // 2, table, source)
    x_factor, y_factor = _factor(block, "XFACTOR", source), _factor(block, "YFACTOR", source)
    x = np.array(numbers[::2]) * x_factor
    for label, at in (("FIRSTX", 0), ("LASTX", -1)):
        known = _number(block, label, source)
        allowed = known and max(asdf.last_place(known[1].text), asdf.last_place(texts[::2][at]) * abs(x_factor))
        if known and allowed and abs(known[0] - x[at]) > 0.999 * allowed:
            message = f"##{known[1].name}= is {known[1].text}, but the table has {x[at]:.10g}"
            raise FileError(source, message, known[1].line)
    factor = _to_nm(block, source)
    nm = x if factor == 1.0 else np.round(x * factor, 9)
    return Table(nm, np.array(numbers[1::2]) * y_factor, lines[1::2])


def uncertainty(block: Block, n: int, source: str) -> NDArray[np.float64] | None:
    record = next((record for record in block.records if record.name == f"${UNCERTAINTY}"), None)
    if record is None:
        return None
    parts = " ".join(record.lines).replace(",", " ").split()
    if len(parts) != n or not all(_AFFN.fullmatch(part) for part in parts):
        message = f"##{record.name}= has {len(parts)} entries, expected a number for each of {n} points"
        raise FileError(source, message, record.line)
    return np.array([float(part) for part in parts])
