"""A table of numbers and its head made into scans: one for each column of values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from spectui.core.errors import FileError, ScanError
from spectui.core.scan import FAULT, LARGEST_VALUE, LONGEST_NM, SHORTEST_NM, Flag, Scan
from spectui.files.head import Head
from spectui.files.text import FileUnitError

Floats = NDArray[np.float64]


def one_unit(declared: str | None, asked: str | None, source: str) -> str | None:
    """Return the unit of a file: the declared one, else the one asked for; both must agree (FileUnitError)."""
    if declared is not None and asked is not None and declared != asked:
        raise FileUnitError(
            source, f"the file declares {declared}, {asked} was asked for: leave --unit out, or correct the file"
        )
    return declared or asked


def titles_of(head: Head, columns: int) -> list[tuple[int, int | None, Mapping[str, str]]]:
    """Return (column of values, column of its uncertainty or None, metadata) of each scan in a table.

    With several scans the header's cell is the title; a title of the whole file is then kept as `file_title`.
    """
    places = [at for at in range(1, columns) if at not in head.wide]
    found: list[tuple[int, int | None, Mapping[str, str]]] = []
    for at in places:
        meta: Mapping[str, str] = head.meta
        cell = head.titles[at] if len(places) > 1 and head.titles is not None and at < len(head.titles) else ""
        if cell:
            whole = head.meta.get("title")
            rest = {key: value for key, value in head.meta.items() if key != "title"}
            meta = {"title": cell, **({"file_title": whole} if whole and whole != cell else {}), **rest}
        found.append((at, at + 1 if at + 1 in head.wide else None, meta))
    return found


def scans_of(
    table: Floats,
    head: Head,
    source: str,
    *,
    unit: str | None = None,
    skip_gaps: bool = False,
    rows: Sequence[int] | None = None,
    flags: tuple[Flag, ...] = (),
) -> list[Scan]:
    """Return the scans of a table (n, k): wavelength [nm], then values; NaN is a gap.

    unit: as asked for with --unit, canonical. rows: the 1-based file line of each row of the table.
    Raises FileError naming the line where there is one.
    """
    given = one_unit(head.unit, unit, source)
    entries = titles_of(head, table.shape[1])
    if not entries:
        raise FileError(source, "expected a column of wavelengths in nm and one of values, got one column")
    scans = []
    for order, (at, wide, meta) in enumerate(entries):
        part = table[:, [0, at] if wide is None else [0, at, wide]]
        lines = rows
        met = flags
        if skip_gaps:
            keep = ~np.isnan(part).any(axis=1)
            left = int(part.shape[0] - keep.sum())
            if left:
                part = part[keep]
                lines = None if rows is None else [rows[i] for i in np.flatnonzero(keep).tolist()]
                met = (*flags, Flag("gaps_skipped", FAULT, f"samples without a number, left out: {left}"))
        try:
            scan = Scan.build(
                part[:, 0],
                part[:, 1],
                given,
                meta,
                expanded_uncertainty=None if wide is None else part[:, 2],
                flags=met,
                source=source,
                index=order if len(entries) > 1 else None,
            )
        except ScanError as error:
            raise FileError(source, str(error), _line(part[:, 0], part[:, 1], lines)) from None
        scans.append(scan)
    return scans


def _line(nm: Floats, values: Floats, rows: Sequence[int] | None) -> int | None:
    """Find the line that a ScanError speaks of: a number out of range, or the second of two that contradict."""
    if rows is None or nm.size < 2:
        return None
    outside = (nm < SHORTEST_NM) | (nm > LONGEST_NM) | (np.abs(values) > LARGEST_VALUE)
    if outside.any():
        return rows[int(np.argmax(outside))]
    first: dict[float, float] = {}
    for row, wavelength, value in zip(rows, nm.tolist(), values.tolist(), strict=True):
        if first.setdefault(wavelength, value) != value:
            return row
    return None
