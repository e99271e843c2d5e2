"""The one door for scan files: bounded, sniffed by content, read by the format's own module."""

from __future__ import annotations

import os
import stat
from typing import TYPE_CHECKING

from spectui.core.errors import FileError, NotAScan
from spectui.core.scan import Scan
from spectui.files.text import unit_of

if TYPE_CHECKING:
    from spectui.files.layout import Layout

MAX_BYTES = 64 << 20
MAX_SERIES_BYTES = 1 << 30


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
    source = os.fspath(path)
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
    from spectui.files import fast

    unit = None if unit is None else unit_of(unit)
    scans = fast.read(data, source, unit)
    if scans is not None:
        return scans
    from spectui.files import delimited

    return delimited.read(data, source, unit=unit, skip_gaps=skip_gaps)


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
            raise FileError(source, f"expected at most {MAX_BYTES >> 20} MiB, got {about.st_size >> 20} MiB")
        data = os.read(handle, about.st_size + 1)
        return data
    except OSError as error:
        raise FileError(source, f"cannot be read: {error.strerror}") from None
    finally:
        os.close(handle)


__all__ = ["MAX_BYTES", "NotAScan", "bytes_of", "read", "read_bytes"]
