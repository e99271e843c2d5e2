"""Writes JCAMP-DX 4.24, several scans as the blocks of a compound file.

An even grid becomes (X++(Y..Y)) where it comes back to the bit from its ends, any other (XY..XY). Numbers are written
in full (AFFN), never packed. Text is UTF-8, although the standard of 1988 knows ASCII only: a name in another script
is worth more than a strict file. What does not fit on a line of 80 characters goes into a user label as a JSON string.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from spectui.core.errors import UsageError
from spectui.core.scan import Scan
from spectui.core.units import COUNTS, RELATIVE, TRANSMITTANCE
from spectui.files.ldr import DATA_TYPE, PROGRAM, UNCERTAINTY, even_grid
from spectui.files.quote import escape, is_plain, pieces, quote

WIDTH = 80
_YUNITS = {COUNTS: "COUNTS", RELATIVE: "RELATIVE", TRANSMITTANCE: "TRANSMITTANCE"}
_ISO = re.compile(r"(\d{4})-(\d\d)-(\d\d)[T ](\d\d:\d\d)(:\d\d(?:\.\d+)?)?\s?(Z|[+-]\d\d:\d\d)?")


def text(scans: Sequence[Scan]) -> tuple[str, list[str]]:
    """Return (document, what it could not hold); raises UsageError where there is no scan."""
    if not scans:
        raise UsageError("no scan to write")
    if len(scans) == 1:
        lines = _block(scans[0])
    else:
        lines = [f"##TITLE={len(scans)} scans", "##JCAMP-DX=4.24", "##DATA TYPE=LINK", f"##BLOCKS={len(scans)}"]
        for scan in scans:
            lines += _block(scan)
        lines.append("##END=")
    return "\n".join(lines) + "\n", []


def _block(scan: Scan) -> list[str]:
    rest = {key: value for key, value in scan.meta.items() if key != "unit"}

    def standard(label: str, key: str, absent: str | None) -> list[str]:
        """Return the record of a standard label; what it holds exactly is taken out of `rest`."""
        value = rest.get(key, "")
        if is_plain(value, ("$$",)) and len(label) + 3 + len(value) <= WIDTH and value != PROGRAM:
            return [f"##{label}={rest.pop(key)}"]
        near = " ".join("".join(c if c.isprintable() else " " for c in value).replace("$$", "$ $").split())
        near = near[: WIDTH - len(label) - 3].strip('" ')
        return [f"##{label}={near or absent}"] if near or absent is not None else []

    nm, values = scan.wavelength.tolist(), scan.values.tolist()
    even = even_grid(nm[0], nm[-1], len(nm)).tobytes() == scan.wavelength.tobytes()
    lines = [
        *standard("TITLE", "title", ""),
        *("##JCAMP-DX=4.24", f"##DATA TYPE={DATA_TYPE}"),
        *standard("ORIGIN", "origin", PROGRAM),
        *standard("OWNER", "owner", ""),
        *_long_date(rest.get("taken_at", "")),
        *standard("SPECTROMETER/DATA SYSTEM", "instrument", None),
        *standard("COMMENTS", "notes", None),
    ]
    for key, value in rest.items():
        lines += _user_label(key, value)
    undeclared = scan.given_unit is None and scan.unit == RELATIVE
    lines += [
        "##XUNITS=NANOMETERS",
        f"##YUNITS={'ARBITRARY UNITS' if undeclared else _YUNITS.get(scan.unit, scan.unit)}",
        *("##XFACTOR=1", "##YFACTOR=1", f"##FIRSTX={_affn(nm[0])}", f"##LASTX={_affn(nm[-1])}"),
        *(f"##NPOINTS={len(nm)}", f"##FIRSTY={_affn(values[0])}"),
        *(f"##MAXY={_affn(max(values))}", f"##MINY={_affn(min(values))}"),
    ]
    if scan.expanded_uncertainty is not None:
        lines += [f"##${UNCERTAINTY}=", *_rows(map(_affn, scan.expanded_uncertainty.tolist()))]
    if even:
        lines += [f"##DELTAX={_affn((nm[-1] - nm[0]) / (len(nm) - 1))}", "##XYDATA=(X++(Y..Y))"]
        lines += _even_rows(nm, values)
    else:
        lines += ["##XYPOINTS=(XY..XY)", *(f"{_affn(x)}, {_affn(y)}" for x, y in zip(nm, values, strict=True))]
    return [*lines, "##END="]


def _affn(number: float) -> str:
    return repr(number).replace("e", "E")


def _rows(cells: Iterable[str]) -> list[str]:
    """Fill lines of at most 80 characters."""
    rows: list[str] = []
    for cell in cells:
        if rows and len(rows[-1]) + 1 + len(cell) <= WIDTH:
            rows[-1] += f" {cell}"
        else:
            rows.append(cell)
    return rows


def _even_rows(nm: Sequence[float], values: Sequence[float]) -> list[str]:
    """Fill lines that begin with the X of their first Y."""
    rows: list[str] = []
    for x, y in zip(nm, values, strict=True):
        cell = _affn(y)
        if rows and len(rows[-1]) + 1 + len(cell) <= WIDTH:
            rows[-1] += f" {cell}"
        else:
            rows.append(f"{_affn(x)} {cell}")
    return rows


def _long_date(taken_at: str) -> list[str]:
    """Return LONG DATE where taken_at is a date and time; taken_at itself stands in its user label, exactly."""
    found = _ISO.fullmatch(taken_at)
    if found is None:
        return []
    zone = {None: "", "Z": " +0000"}.get(found[6], f" {(found[6] or '').replace(':', '')}")
    return [f"##LONGDATE={found[1]}/{found[2]}/{found[3]} {found[4]}{found[5] or ':00'}{zone}"]


def _user_label(key: str, value: str) -> list[str]:
    """Return `##$key=value`, both as JSON strings where they would not survive as they are."""
    # A key in quotes is never taken for the label of the uncertainties.
    bare = is_plain(key, ("=", "$", "#")) and key != UNCERTAINTY
    label = f"##${key if bare else quote(key, '=$#')}="
    if is_plain(value, ("$$",)) and len(label) + len(value) <= WIDTH:
        return [label + value]
    lines = [label + '"']
    items = pieces(value, "$") if "$$" in value else pieces(value)
    for at, item in enumerate([*items, '"']):
        if at + 1 < len(items) and item == " " and len(lines[-1]) > WIDTH - 8:
            item = escape(item)  # a space at the end of a line would be lost to an editor
        if len(lines[-1]) + len(item) > WIDTH:
            lines.append("")
            item = escape(item) if item in ("#", " ") else item
        lines[-1] += item
    return lines
