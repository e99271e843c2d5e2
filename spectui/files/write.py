"""Scans into a file of one of the three formats, whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import Literal

from spectui.core.errors import UsageError
from spectui.core.scan import UNSAID, Scan

Format = Literal["csv", "tm27", "jcamp"]
FORMATS: tuple[Format, ...] = ("csv", "tm27", "jcamp")
EXTENSIONS: dict[str, Format] = {
    ".csv": "csv",
    ".tsv": "csv",
    ".txt": "csv",
    ".spdx": "tm27",
    ".xml": "tm27",
    ".jdx": "jcamp",
    ".dx": "jcamp",
}


def format_of(path: str | os.PathLike[str], to: str | None = None) -> Format:
    """Return the format that `to` names, else that of the file's extension; raises UsageError where neither says."""
    for name in FORMATS:
        if to == name:
            return name
    if to is not None:
        raise UsageError(f"unknown format {to!r}: expected one of {', '.join(FORMATS)}")
    extension = os.path.splitext(os.fspath(path))[1].lower()
    if extension not in EXTENSIONS:
        known = ", ".join(EXTENSIONS)
        raise UsageError(f"{os.fspath(path)}: no format for {extension!r}: end the name in {known}, or give --to")
    return EXTENSIONS[extension]


def text_of(scans: Sequence[Scan], to: str, delimiter: str = ",") -> tuple[str, list[str]]:
    """Return (one document, what it could not hold).

    Raises UsageError where the format needs more than one document for these scans.
    """
    parts = _parts(scans, format_of("", to))
    if len(parts) > 1:
        raise UsageError(f"{to} needs {len(parts)} files for these scans: name a file instead of -, or use --to jcamp")
    return _text(parts[0], format_of("", to), delimiter)


def targets(scans: Sequence[Scan], path: str | os.PathLike[str], to: str | None = None) -> list[str]:
    """Return the files that `write` would write: `path`, or numbered files where one cannot hold all scans."""
    count = len(_parts(scans, format_of(path, to)))
    stem, extension = os.path.splitext(os.fspath(path))
    width = len(str(count))  # names that sort as the scans do
    return [f"{stem}-{n:0{width}}{extension}" for n in range(1, count + 1)] if count > 1 else [os.fspath(path)]


def write(
    scans: Sequence[Scan], path: str | os.PathLike[str], to: str | None = None, *, force: bool = False
) -> list[str]:
    """Write scans to `path`; returns notes: what the format could not hold, and the files where there are several.

    JCAMP-DX holds any scans in one file, csv those of one grid, unit and metadata (titles apart), TM-27 one; what does
    not fit goes to NAME-1.csv, NAME-2.csv, … Nothing is overwritten without `force`, and nothing at all is written
    where one of several names is taken. Raises UsageError (no such format, no scan) and FileError.
    """
    from spectui.files import atomic

    chosen = format_of(path, to)
    files = targets(scans, path, to)
    delimiter = "\t" if os.fspath(path).lower().endswith(".tsv") else ","
    made = [_text(part, chosen, delimiter) for part in _parts(scans, chosen)]
    for file in files:
        atomic.refuse_existing(file, force)
    for file, (document, _) in zip(files, made, strict=True):
        atomic.write_text(file, document, force=force)
    if len(files) == 1:
        return made[0][1]
    notes = [f"{os.fspath(path)}: the format holds one of these scans a file: wrote {files[0]} to {files[-1]}"]
    return notes + [f"{file}: {note}" for file, (_, told) in zip(files, made, strict=True) for note in told]


def _parts(scans: Sequence[Scan], chosen: Format) -> list[list[Scan]]:
    """Share the scans out to documents, in order."""
    if not scans:
        raise UsageError("no scan to write")
    if chosen == "jcamp":
        return [list(scans)]
    if chosen == "tm27":
        return [[scan] for scan in scans]
    from spectui.files import csvtext

    return csvtext.parts(scans)


def _text(scans: Sequence[Scan], chosen: Format, delimiter: str) -> tuple[str, list[str]]:
    if chosen == "csv":
        from spectui.files import csvtext

        document, notes = csvtext.text(scans, delimiter=delimiter)
    elif chosen == "tm27":
        from spectui.files import tm27

        document, notes = tm27.text(scans)
    else:
        from spectui.files import jcamp

        document, notes = jcamp.text(scans)
    # Flags tell of the file that was read; the new one is in order, so they would be lost without a word.
    told = {f"{flag.code}: {flag.message} (not written)": 0 for s in scans for flag in s.flags if flag.rank != UNSAID}
    return document, [*notes, *told]
