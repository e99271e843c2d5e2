"""Writes that either happen whole or not at all."""

from __future__ import annotations

import os
import stat
from contextlib import suppress

from spectui.core.errors import FileError


def write_text(path: str | os.PathLike[str], text: str, *, force: bool = False) -> None:
    """Write `text` as UTF-8 to `path`: a temporary file beside it, fsync, rename, fsync of the folder.

    Without `force` an existing file is refused, also one that appears meanwhile. A symbolic link is never followed:
    it is refused, and with `force` replaced by a file. Whatever fails, the old file stays as it was and no
    temporary file is left. Raises FileError.
    """
    target = os.fspath(path)
    folder, name = os.path.split(target)
    try:
        data = text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise FileError(target, f"text that cannot be written as UTF-8 at character {error.start + 1}") from None
    _refuse(target, name, force)
    temporary = ""
    try:
        hidden = os.path.join(folder, f".spectui-{os.urandom(6).hex()}.tmp")
        handle = os.open(hidden, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
        temporary = hidden
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            _keep_permissions(target, file.fileno())
            os.fsync(file.fileno())
        if force:
            os.replace(temporary, target)
        else:
            _put_new(temporary, target)
        temporary = ""
    except FileExistsError:
        raise FileError(target, "exists already; --force overwrites it") from None
    except OSError as error:
        raise FileError(target, f"cannot be written: {error.strerror or error}") from None
    finally:
        if temporary:
            with suppress(OSError):
                os.unlink(temporary)
    _sync_folder(folder or ".")


def refuse_existing(path: str | os.PathLike[str], force: bool = False) -> None:
    """Raise FileError where `write_text` would refuse `path`, so that several files are checked before the first."""
    target = os.fspath(path)
    _refuse(target, os.path.basename(target), force)


def _refuse(target: str, name: str, force: bool) -> None:
    try:
        kind = os.lstat(target).st_mode if name else stat.S_IFDIR
    except OSError:
        return  # nothing there; a folder that does not exist is told when the temporary file is made
    except ValueError as error:
        raise FileError(target, f"cannot be written: {error}") from None
    if stat.S_ISDIR(kind):
        raise FileError(target, "is a folder, expected the name of a file")
    if not (stat.S_ISREG(kind) or stat.S_ISLNK(kind)):
        raise FileError(target, "is a device or a pipe, expected the name of a file; `-` is standard output")
    if not force:
        raise FileError(target, "exists already; --force overwrites it")


def _put_new(temporary: str, target: str) -> None:
    """Give the file its name only where the name is free; a file system without hard links gets a looser check."""
    try:
        os.link(temporary, target, follow_symlinks=False)
    except FileExistsError:
        raise
    except OSError:
        if os.path.lexists(target):
            raise FileExistsError(target) from None
        os.rename(temporary, target)
    else:
        os.unlink(temporary)


def _keep_permissions(target: str, handle: int) -> None:
    """Give a file that replaces another the same permissions; a new one has what the umask says."""
    with suppress(OSError):
        there = os.lstat(target)
        if stat.S_ISREG(there.st_mode):
            os.fchmod(handle, stat.S_IMODE(there.st_mode))


def _sync_folder(folder: str) -> None:
    """Make the new name last; some file systems cannot, and the file itself is safe already."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
