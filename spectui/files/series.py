"""A series file: one row a reading, one column a wavelength, gaps as comment lines; values in one array."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from spectui.core.errors import FileError
from spectui.core.scan import DOUBT, FAULT, LONGEST_NM, SHORTEST_NM, Flag, Scan
from spectui.core.units import RELATIVE, to_internal
from spectui.files import head as heads
from spectui.files.safe import shown
from spectui.files.series_rows import flag_of, instant, values_of
from spectui.files.table import one_unit
from spectui.files.text import LONGEST_LINE, decode, is_gap, lines_of, number

RESERVED = ("integration_ms", "temperature_c", "dark_taken_at", "flags")
_START = re.compile(rb"time[ \t]*[,;\t]", re.IGNORECASE)


class Gap(NamedTuple):
    """A reading that failed or was missed, as the file tells it. time: ISO 8601; line: 1-based."""

    time: str
    reason: str
    line: int


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """Readings of one place over time.

    times: N texts, ISO 8601 with offset. seconds: (N,) float64 [s] since 1970-01-01 UTC. wavelength: (n,) [nm],
    strictly increasing. values: (N, n) float64 in `unit` (internal), NaN only where gaps were skipped.
    columns: the reserved columns that stand in the file, N texts each. meta: what holds for every reading.
    gaps: as told by the file. notes: what a reader must know (a row cut short). flags: hold for every reading,
    last_flags: for the last one.
    """

    times: tuple[str, ...]
    seconds: NDArray[np.float64]
    wavelength: NDArray[np.float64]
    values: NDArray[np.float64]
    unit: str
    given_unit: str | None
    columns: Mapping[str, tuple[str, ...]]
    meta: Mapping[str, str]
    gaps: tuple[Gap, ...]
    notes: tuple[str, ...]
    flags: tuple[Flag, ...]
    last_flags: tuple[Flag, ...]
    source: str

    def __len__(self) -> int:
        return len(self.times)

    def scan(self, index: int) -> Scan:
        """Return reading `index` (0-based); its values are a view of the series."""
        meta = dict(self.meta)
        meta["taken_at"] = self.times[index]
        meta.update({key: texts[index] for key, texts in self.columns.items() if texts[index] and key != "flags"})
        flags = (*self.flags, *self.last_flags) if index == len(self) - 1 else self.flags
        if "flags" in self.columns:
            flags = (*flags, *(flag_of(code) for code in re.split(r"[\s;|+]+", self.columns["flags"][index]) if code))
        wavelength, values = self.wavelength, self.values[index]
        there = np.isfinite(values)
        if not there.all():
            left = int(values.size - there.sum())
            flags = (*flags, Flag("gaps_skipped", FAULT, f"samples without a number, left out: {left}"))
            wavelength, values = wavelength[there], values[there]
            if values.size < 2:
                raise FileError(self.source, f"reading {index}: expected at least 2 samples, got {values.size}")
            wavelength.flags.writeable = values.flags.writeable = False
        return Scan(
            wavelength, values, self.unit, MappingProxyType(meta), flags, self.source, index, self.given_unit, None
        )

    def scans(self) -> list[Scan]:
        """Return every reading as a scan; they share the arrays of the series."""
        return [self.scan(index) for index in range(len(self))]


def is_series(head: bytes) -> bool:
    """Say whether a file whose first bytes are `head` is a series: its first line that is no comment heads `time`."""
    if head[:3] == b"\xef\xbb\xbf":
        head = head[3:]
    at = 0
    while at < len(head) and head[at : at + 1] in (b"#", b"\n", b"\r", b" "):
        ends = [end for end in (head.find(b"\n", at), head.find(b"\r", at)) if end >= 0]
        if not ends:
            return False
        at = min(ends) + 1
    return _START.match(head, at) is not None


def read_series(data: bytes, source: str, *, unit: str | None = None, skip_gaps: bool = False) -> Series:
    """Read a series file.

    unit: canonical, for a file that declares none. A last row without its line end was cut short: it is left out and
    told in `notes` and by a flag of the last whole one. Raises FileError with line and column, FileUnitError.
    """
    text = decode(data, source)
    lines = lines_of(text, source)
    notes: list[str] = []
    flags: list[Flag] = []
    last: list[Flag] = []
    cut = lines.pop()
    start = next((at for at, line in enumerate(lines) if line.strip() and line.lstrip()[0] != "#"), len(lines))
    if start == len(lines):
        raise FileError(source, "expected a header that starts with time, and rows below it")
    if cut.strip() and cut.lstrip()[0] != "#":
        notes.append(f"line {len(lines) + 1}: the last row was cut short and is left out")
        last.append(Flag("row_cut_short", DOUBT, "the reading after this one was cut short and is left out"))
    header = lines[start]
    delimiter = next(mark for mark in (header.lstrip()[4:].lstrip(" ")[:1], ",") if mark)
    reserved, wavelength = _header(header, delimiter, source, start + 1)
    head, gaps = _comments(lines, source)
    rows = [(at, line) for at, line in enumerate(lines[start + 1 :], start + 2) if line.strip() and line[0] != "#"]
    if not rows:
        raise FileError(source, "expected rows of readings below the header, got none")
    width = len(reserved) + 1
    parts = [line.split(delimiter, width) for _, line in rows]
    short = next((i for i, part in enumerate(parts) if len(part) <= width), None)
    if short is not None:
        raise FileError(
            source, f"expected {width + wavelength.size} cells, got {len(parts[short])}; remove the row", rows[short][0]
        )
    times = tuple(part[0].strip() for part in parts)
    seconds = np.array([instant(time, source, at) for time, (at, _) in zip(times, rows, strict=True)])
    if (seconds[1:] <= seconds[:-1]).any():
        late = int(np.argmax(seconds[1:] <= seconds[:-1])) + 1
        notes.append(f"line {rows[late][0]}: the time does not come after the one before")
    raw = values_of(
        [part[width] for part in parts], [at for at, _ in rows], delimiter, wavelength.size, width, source, skip_gaps
    )
    steps = wavelength[1:] - wavelength[:-1]
    if not (steps > 0).all():
        order = np.argsort(wavelength, kind="stable")
        wavelength, raw = wavelength[order], raw[:, order]
        flags.append(Flag("unsorted", FAULT, "wavelengths were not in order: sorted"))
        if (wavelength[1:] == wavelength[:-1]).any():
            raise FileError(source, "a wavelength heads two columns: remove one", start + 1)
    given = one_unit(head.unit, unit, source)
    internal, values = to_internal(given or RELATIVE, wavelength, raw)
    values.flags.writeable = wavelength.flags.writeable = seconds.flags.writeable = False
    columns = {key: tuple(part[at].strip() for part in parts) for at, key in enumerate(reserved, 1)}
    return Series(
        times,
        seconds,
        wavelength,
        values,
        internal,
        given,
        MappingProxyType(columns),
        MappingProxyType(head.meta),
        gaps,
        tuple(notes),
        tuple(flags),
        tuple(last),
        source,
    )


def _header(line: str, delimiter: str, source: str, at: int) -> tuple[list[str], NDArray[np.float64]]:
    """Return the reserved columns in their order and the wavelengths [nm] that the others are headed with."""
    if len(line) > LONGEST_LINE:
        raise FileError(source, "the header is too long to be one", at)
    cells = [cell.strip() for cell in line.split(delimiter)]
    reserved = []
    for cell in cells[1:]:
        key = heads.key_plain(cell)
        if key not in RESERVED:
            break
        if key in reserved:
            raise FileError(source, f"{key} heads two columns: remove one", at)
        reserved.append(key)
    nm = []
    for place, cell in enumerate(cells[1 + len(reserved) :], 2 + len(reserved)):
        value = number(cell.lower().removesuffix("nm").strip())
        if value is None or not SHORTEST_NM <= value <= LONGEST_NM:
            raise FileError(
                source,
                f"column {place}: expected a wavelength in nm ({SHORTEST_NM:g}-{LONGEST_NM:g}) or, before the first, "
                f"one of {', '.join(RESERVED)}; got {shown(cell)}",
                at,
            )
        nm.append(value)
    if len(nm) < 2:
        raise FileError(source, f"expected at least 2 columns headed with a wavelength, got {len(nm)}", at)
    return reserved, np.array(nm)


def _comments(lines: Sequence[str], source: str) -> tuple[heads.Head, tuple[Gap, ...]]:
    """Read the metadata and the gaps; both may stand anywhere in the file."""
    gaps, meta = [], []
    for at, line in enumerate(lines, 1):
        if line[:1] != "#":
            continue
        item = heads.comment(line)
        if item is not None and item[0].lower() == "gap":
            time, _, reason = item[1].partition(" ")
            instant(time, source, at)
            gaps.append(Gap(time, reason.strip(), at))
        else:
            meta.append((at, line))
    return heads.parse(meta, ",", 2, source), tuple(gaps)


__all__ = ["RESERVED", "Gap", "Series", "is_gap", "is_series", "read_series"]
