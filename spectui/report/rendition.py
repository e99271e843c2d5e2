"""Colour rendition as lines of text; every number through report.numbers."""

from __future__ import annotations

from collections.abc import Sequence

from spectui.core.metrics import catalogue
from spectui.core.rendition import Rendition
from spectui.core.results import Value
from spectui.files.safe import safe
from spectui.report.numbers import NONE, number, unit
from spectui.report.text import columns, head, labels

_FIRST = ("cct", "duv", "ra", "r9", "rf", "rg")


def one(found: Rendition) -> str:
    """Return the whole answer for one scan: what it is, the indices, the test colours, the hue bins."""
    result = found.result
    lines = [*head(found.scan, result.flags), "", *_table([found], ("",))]
    if any(value.value is not None for value in result.values.values()):
        r = [f"R{k}" for k in range(1, len(found.r) + 1)]
        half = len(r) // 2
        for part in (slice(None, half), slice(half, None)):
            lines += ["", *columns([r[part], [number(x) for x in found.r[part]]], left=()).splitlines()]
        header = [["hue bin", "fidelity", "chroma shift", "hue shift"], ["", "", "%", ""]]
        rows = [[str(b.bin), *map(number, b[1:])] for b in found.hue_bins]
        lines += ["", *columns([*header, *rows], left=()).splitlines()]
    if found.unavailable:
        lines += ["", f"not available: {found.unavailable}"]
    return "\n".join(lines).rstrip() + "\n"


def many(found: Sequence[Rendition]) -> str:
    """Return a table: a row a scan, the reason at its end where numbers are missing."""
    return "\n".join(_table(found, labels([f.result for f in found]))) + "\n"


def _table(found: Sequence[Rendition], names: Sequence[str]) -> list[str]:
    known = catalogue()
    header = ["", *(known[key].name for key in _FIRST), ""]
    under = ["", *(unit(known[key].unit) for key in _FIRST), ""]
    rows = []
    for name, f in zip(names, found, strict=True):
        values: list[Value] = [f.result[key] for key in _FIRST]
        reasons = dict.fromkeys(v.unavailable for v in values if v.unavailable) if len(found) > 1 else {}
        rows.append([name, *(NONE if v.value is None else number(v.value) for v in values), safe("; ".join(reasons))])
    lines = columns([header, under, *rows], left=(0, len(header) - 1)).splitlines()
    return [line[2:] for line in lines] if len(found) == 1 else lines
