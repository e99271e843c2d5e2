"""Chromaticity as text and as CSV."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from spectui.core.chromaticity import FIELDS, Chromaticity
from spectui.files.safe import safe
from spectui.report.numbers import NONE, number
from spectui.report.text import columns, scan_labels

_UNITS = {"x": "1", "y": "1", "u_prime": "1", "v_prime": "1", "cct": "K", "duv": "1"}
_UNITS |= {"nominal_cct": "K", "steps": "1", "steps_from": "K"}
_OUTSIDE_CLASS = "none"
_FEW = 4


def table(found: Sequence[Chromaticity], tally: Mapping[str, int] | None = None, title: str = "") -> str:
    """Return a row a scan, why numbers are missing, and the count of each bin where scans were sorted."""
    names = scan_labels([one.scan for one in found])
    rows = [["", "x", "y", "CCT", "Duv", "class", "steps", "from"], ["", "", "", "K", "", "K", "", "K"]]
    for name, one in zip(names, found, strict=True):
        inside = NONE if one.cct is None else str(one.nominal_cct or _OUTSIDE_CLASS)
        values = (number(v) for v in (one.x, one.y, one.cct, one.duv))
        rows.append([name, *values, inside, number(one.steps), str(one.steps_from or NONE)])
    if tally is not None:
        rows = [[*row, text] for row, text in zip(rows, ["bin", "", *(_bin(one) for one in found)], strict=True)]
    lines = columns(rows, left=(0, 8)).splitlines()
    reasons: dict[str, list[str]] = {}
    for name, one in zip(names, found, strict=True):
        if one.unavailable:
            reasons.setdefault(one.unavailable, []).append(name)
    if reasons:
        lines += ["", *(f"not available: {_few(who)}: {safe(why)}" for why, who in reasons.items())]
    if tally is not None:
        lines += ["", safe(f"Bins: {title}" if title else "Bins")]
        lines += columns([[safe(name), str(count)] for name, count in tally.items()]).splitlines()
    return "\n".join(lines) + "\n"


def _few(names: Sequence[str]) -> str:
    """Return the first names; the dashes of the table show the rest."""
    return " · ".join(names[:_FEW]) + (f" and {len(names) - _FEW} more" if len(names) > _FEW else "")


def _bin(one: Chromaticity) -> str:
    return NONE if one.bin is None else safe(one.bin)


def csv_table(found: Sequence[Chromaticity]) -> str:
    """Return the CSV text: numbers unrounded, an empty cell where there is none."""
    import csv
    import io

    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    heads = [f"{key} [{_UNITS[key]}]" if key in _UNITS else key for key in FIELDS]
    writer.writerow(["source", "title", "taken_at", *heads])
    for one in found:
        cells = ("" if (v := getattr(one, key)) is None else v for key in FIELDS)
        row = (repr(cell) if isinstance(cell, float) else cell for cell in cells)
        writer.writerow([one.scan.source, one.scan.title, one.scan.taken_at or "", *row])
    return out.getvalue()
