"""Our own delimited text: `# key: value` lines, the unit, a header, one row a wavelength.

Numbers are written so that they come back to the bit. Several scans share a file as columns where they share the
grid, the unit and all metadata but the title; the header then holds the titles.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from spectui.core.errors import FileError, UsageError
from spectui.core.scan import Scan
from spectui.core.units import RELATIVE
from spectui.files.head import UNCERTAINTY, comment, parse
from spectui.files.safe import shown
from spectui.files.table import titles_of

# What no line of text can hold, or what would make a reader doubt that the file is text: controls but the tab, halves
# of a surrogate pair.
_UNFIT = re.compile("[\x00-\x08\x0a-\x1f\x7f\ud800-\udfff]")
_FIRST = "wavelength [nm]"


def parts(scans: Sequence[Scan]) -> list[list[Scan]]:
    """Return the scans as the files they need: all in one, or each in its own."""
    return [list(scans)] if len(scans) == 1 or _alike(scans) else [[scan] for scan in scans]


def text(scans: Sequence[Scan], *, delimiter: str = ",") -> tuple[str, list[str]]:
    """Return (document, what it could not hold). Raises UsageError for scans that do not fit one file (see `parts`)."""
    if len(scans) != 1 and not _alike(scans):
        raise UsageError("one csv file holds scans of one grid, unit and metadata: write each to its own file")
    first = scans[0]
    lines, notes = _metadata({key: value for key, value in first.meta.items() if len(scans) == 1 or key != "title"})
    if first.given_unit is not None or first.unit != RELATIVE:
        lines.append(f"# unit: {first.unit}")
    columns = [first.wavelength.tolist()]
    for scan in scans:
        columns.append(scan.values.tolist())
        if scan.expanded_uncertainty is not None:
            columns.append(scan.expanded_uncertainty.tolist())
    lines.append(_header(scans, delimiter))
    lines += [delimiter.join(map(repr, row)) for row in zip(*columns, strict=True)]
    return "\n".join(lines) + "\n", notes


def _alike(scans: Sequence[Scan]) -> bool:
    """True where the scans can be columns of one file and come back as they are."""
    first = scans[0]
    shared = _without_title(first.meta)
    for scan in scans:
        if (
            scan.wavelength.tobytes() != first.wavelength.tobytes()
            or (scan.unit, scan.given_unit is None) != (first.unit, first.given_unit is None)
            or _without_title(scan.meta) != shared
        ):
            return False
    titles = [scan.meta.get("title", "") for scan in scans]
    if not all(titles) or any(_UNFIT.search(title) for title in titles):
        return False
    # Whether the header holds every title is best known by the reader itself, for either delimiter.
    columns = 1 + sum(1 if scan.expanded_uncertainty is None else 2 for scan in scans)
    for delimiter in ",\t":
        try:
            head = parse([(1, _header(scans, delimiter))], delimiter, columns, "")
        except FileError:
            return False
        found = titles_of(head, columns)
        if head.unit is not None or [meta.get("title") for _, _, meta in found] != titles:
            return False
    return True


def _without_title(meta: Mapping[str, str]) -> dict[str, str]:
    return {key: value for key, value in meta.items() if key not in ("title", "unit")}


def _header(scans: Sequence[Scan], delimiter: str) -> str:
    cells = [_FIRST]
    for scan in scans:
        cells.append("value" if len(scans) == 1 else _cell(scan.meta.get("title", ""), delimiter))
        if scan.expanded_uncertainty is not None:
            cells.append(UNCERTAINTY)
    return delimiter.join(cells)


def _cell(title: str, delimiter: str) -> str:
    return '"' + title.replace('"', '""') + '"' if delimiter in title or '"' in title else title


def _metadata(meta: Mapping[str, str]) -> tuple[list[str], list[str]]:
    """Return (lines, notes): what the reader would not read back as it is is written as near as can be and told."""
    lines: list[str] = []
    notes: list[str] = []
    held: list[tuple[str, str]] = []
    for key, value in meta.items():
        if key == "unit":
            continue
        line = f"# {key}: {value}"
        if _holds(line, key, value):
            lines.append(line)
        else:
            held.append((key, value))
    used = {key for key in meta if (key, meta[key]) not in held}
    for key, value in held:
        near = f"# {_near(key.replace(':', ' ')).lstrip('# ')[:60]}: {_near(value)}"
        item = comment(near)
        if item is None or not item[1] or item[0] in used or item[0] == "unit" or not _holds(near, *item):
            notes.append(f"{shown(key)}: csv cannot hold {shown(value)}: left out")
            continue
        used.add(item[0])
        lines.append(near)
        what = f"as {shown(item[0])}" if item[0] != key else "with line breaks and outer spaces lost"
        notes.append(f"{shown(key)}: csv cannot hold {shown(value) if item[0] == key else 'this key'}: written {what}")
    return lines, notes


def _holds(line: str, key: str, value: str) -> bool:
    return value != "" and _UNFIT.search(line) is None and comment(line.strip()) == (key, value)


def _near(text: str) -> str:
    return " ".join(_UNFIT.sub(" ", text).split())
