"""The one door for scan files: bounded, sniffed by content, read by the format's own module."""

from __future__ import annotations

import os
import re
import stat
from typing import TYPE_CHECKING

from spectui.core.errors import FileError, NotAScan
from spectui.core.scan import Scan
from spectui.files import fast
from spectui.files.remembered import layout_for
from spectui.files.text import unit_of

if TYPE_CHECKING:
    from spectui.files.layout import Layout

MAX_BYTES = 64 << 20
MAX_SERIES_BYTES = 1 << 30
_SNIFFED = 1 << 16
# Labels are compared without blanks, hyphens, underscores and slashes (JCAMP-DX 4.24).
_JCAMP = re.compile(
    rb"(?:^|[\r\n])[ \t]*##[ \t/_-]*(?:"
    + rb"|".join(
        rb"[ \t/_-]*".join(bytes((letter,)) for letter in label)
        for label in (b"TITLE", b"JCAMPDX", b"XYDATA", b"XYPOINTS")
    )
    + rb")[ \t/_-]*=",
    re.IGNORECASE,
)


def read(
    path: str | os.PathLike[str],
    *,
    unit: str | None = None,
    layout: Layout | str | os.PathLike[str] | None = None,
    skip_gaps: bool = False,
) -> list[Scan]:
    """Read the scans of a file.

    unit: for a file that declares none; it must not contradict one that does (UnitError).
    layout: how an unknown file is laid out, as Layout or as the path of one; else `spectui-layout.toml` in the file's
    folder is used where it matches. skip_gaps: leave out samples without a number and flag it.
    Raises FileError (unreadable, broken), NotAScan (the content is none), UnitError, UsageError (layout malformed).
    """
    source = os.fsdecode(path)
    data = bytes_of(source)
    return read_bytes(data, source, unit=unit, layout=layout, skip_gaps=skip_gaps)


def read_bytes(
    data: bytes,
    source: str,
    *,
    unit: str | None = None,
    layout: Layout | str | os.PathLike[str] | None = None,
    skip_gaps: bool = False,
) -> list[Scan]:
    """Read the scans of a file's content; as `read`. `source` is the path as given, or `-`."""
    unit = None if unit is None else unit_of(unit)
    named = False
    if layout is not None:
        chosen = _loaded(layout)
        named = True
    elif source == "-":
        chosen = None
    else:
        chosen, named = layout_for(source)
    unfit: FileError | None = None
    if chosen is not None and named:
        try:
            return _with_layout(chosen, data, source, unit, skip_gaps)
        except FileError as error:
            if layout is not None:
                raise
            # The folder's layout names the file by its ending only: the file may still be a plain one.
            unfit = error
    # A JCAMP-DX table of pairs would pass for plain columns below comments, its factors and units unheard.
    labelled = b"##" in data[:4096] and _JCAMP.search(data[:4096]) is not None
    scans = None if labelled else fast.read(data, source, unit)
    if scans is not None:
        return scans
    try:
        return _any_format(data, source, unit, skip_gaps)
    except FileError:
        if unfit is not None:
            raise unfit from None
        if chosen is None:
            raise
        # A layout of the folder that names no files is for those that cannot be read plainly.
        try:
            return _with_layout(chosen, data, source, unit, skip_gaps)
        except FileError:
            pass
        raise


def _any_format(data: bytes, source: str, unit: str | None, skip_gaps: bool) -> list[Scan]:
    """Read by the format that the content shows: XML, JCAMP-DX, a series, else delimited text."""
    start = data[:4096].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    if start[:1] == b"<":
        from spectui.files import tm27

        if tm27.looks_like(data[:4096]):
            return tm27.read(data, source, unit=unit, skip_gaps=skip_gaps)
        raise NotAScan(source, "expected a scan, got XML or HTML that is no TM-27 document")
    if start[:2] in (b"##", b"$$") and _JCAMP.search(start):
        from spectui.files import jcamp

        return jcamp.read(data, source, unit=unit, skip_gaps=skip_gaps)
    from spectui.files import delimited, series

    if series.is_series(data[:_SNIFFED]):
        return series.read_series(data, source, unit=unit, skip_gaps=skip_gaps).scans()
    return delimited.read(data, source, unit=unit, skip_gaps=skip_gaps)


def _loaded(layout: Layout | str | os.PathLike[str]) -> Layout:
    from spectui.files.layout import Layout

    return layout if isinstance(layout, Layout) else Layout.load(layout)


def _with_layout(layout: Layout, data: bytes, source: str, unit: str | None, skip_gaps: bool) -> list[Scan]:
    from spectui.files.layout import read_with

    return read_with(layout, data, source, unit=unit, skip_gaps=skip_gaps)


def bytes_of(source: str) -> bytes:
    """Return a regular file's content, its size bounded before it is read.

    Raises FileError for what is missing, not a regular file, not permitted or too large.
    """
    try:
        handle = os.open(source, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    except (OSError, ValueError) as error:
        raise FileError(source, f"cannot be opened: {getattr(error, 'strerror', None) or error}") from None
    try:
        about = os.fstat(handle)
        if stat.S_ISDIR(about.st_mode):
            raise FileError(source, "expected a file, got a folder")
        if not stat.S_ISREG(about.st_mode):
            raise FileError(source, "expected a regular file, got a device or pipe; use - for standard input")
        if about.st_size > MAX_BYTES:
            _bound(handle, about.st_size, source)
        data = os.read(handle, about.st_size + 1)
        while len(data) < about.st_size:
            more = os.read(handle, about.st_size - len(data))
            if not more:
                break
            data += more
        return data
    except OSError as error:
        raise FileError(source, f"cannot be read: {error.strerror}") from None
    finally:
        os.close(handle)


def _bound(handle: int, size: int, source: str) -> None:
    """Refuse a file that is too large for a scan; a series of many readings may be larger."""
    from spectui.files.series import is_series

    series = is_series(os.read(handle, _SNIFFED))
    os.lseek(handle, 0, os.SEEK_SET)
    most = MAX_SERIES_BYTES if series else MAX_BYTES
    if size > most:
        raise FileError(source, f"expected at most {most / 2**20:g} MiB, got {size / 2**20:.1f} MiB")


__all__ = ["MAX_BYTES", "NotAScan", "bytes_of", "read", "read_bytes"]
