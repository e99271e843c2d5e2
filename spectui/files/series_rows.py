"""The rows of a series file: times, values and flags, with their errors."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from spectui.core.errors import FileError
from spectui.core.scan import DOUBT, FAULT, Flag
from spectui.files.safe import shown
from spectui.files.text import is_gap, number

# The contract's faults; a code that is none of them is carried as a doubt.
FAULTS = frozenset(("near_saturation", "low_signal", "negative", "coarse_step", "unsorted", "repeated", "gaps_skipped"))


def flag_of(code: str) -> Flag:
    """Return the flag that a series carries by its code alone."""
    return Flag(code, FAULT if code in FAULTS else DOUBT, f"{code.replace('_', ' ')}: told by the series file")


def instant(time: str, source: str, line: int) -> float:
    """Return an ISO 8601 time with offset as seconds since 1970-01-01 UTC; raises FileError."""
    from datetime import datetime

    try:
        when = datetime.fromisoformat(time)
        if when.tzinfo is not None:
            return when.timestamp()
    except (ValueError, OverflowError):
        pass
    raise FileError(
        source, f"expected a time with its offset, such as 2026-03-14T09:12:00+01:00, got {shown(time)}", line
    )


def values_of(
    rests: Sequence[str],
    lines: Sequence[int],
    delimiter: str,
    columns: int,
    before: int,
    source: str,
    skip_gaps: bool,
) -> NDArray[np.float64]:
    """Return the values (N, columns) of the rows' rests; `before` columns stand left of them.

    numpy reads them at once; only where it stumbles is each cell looked at, to name line and column.
    Raises FileError for a cell that is no number, a gap unless `skip_gaps`, and a row too short or too long.
    """
    try:
        # An empty row is not for numpy, which would only warn of it.
        values = np.loadtxt(rests if all(map(str.strip, rests)) else ["x"], delimiter=delimiter, comments=None, ndmin=2)
        if values.shape == (len(rests), columns) and np.isfinite(values).all():
            return values
    except ValueError:
        pass
    values = np.empty((len(rests), columns))
    for row, (rest, line) in enumerate(zip(rests, lines, strict=True)):
        cells = [cell.strip() for cell in rest.split(delimiter)]
        if len(cells) != columns:
            raise FileError(
                source, f"expected {before + columns} cells, got {before + len(cells)}; remove the row", line
            )
        for place, cell in enumerate(cells):
            value = number(cell)
            if value is None:
                where = f"column {before + place + 1}: "
                if not is_gap(cell):
                    raise FileError(source, f"{where}expected a number with a decimal point, got {shown(cell)}", line)
                if not skip_gaps:
                    met = shown(cell) if cell else "an empty cell"
                    raise FileError(
                        source, f"{where}expected a number, got {met}; --skip-gaps leaves such samples out", line
                    )
                value = float("nan")
            values[row, place] = value
    return values
