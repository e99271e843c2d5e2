"""The layout that a folder remembers: `spectui-layout.toml` beside the files it is for."""

from __future__ import annotations

import os
import time
from fnmatch import fnmatch
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from spectui.files.layout import Layout

NAME = "spectui-layout.toml"
# A folder is looked at again after this time [s], so that many files cost one look and a new layout is soon seen.
_LOOK_AGAIN = 1.0
_looked: dict[str, tuple[float, tuple[int, int] | None, Layout | None]] = {}


def layout_for(source: str) -> tuple[Layout | None, bool]:
    """Return (layout of the file's folder or None, whether it names the file and so comes before plain reading).

    Without `match` a layout is for the files that cannot be read plainly. Raises UsageError where it is malformed.
    """
    folder, name = os.path.split(source)
    found = _looked.get(folder)
    now = time.monotonic()
    if found is None or now - found[0] > _LOOK_AGAIN:
        found = _look(folder, now, found)
    layout = found[2]
    if layout is None:
        return None, False
    named = any(fnmatch(name, pattern) for pattern in layout.match)
    return (layout, named) if named or not layout.match else (None, False)


def _look(
    folder: str, now: float, before: tuple[float, tuple[int, int] | None, Layout | None] | None
) -> tuple[float, tuple[int, int] | None, Layout | None]:
    path = os.path.join(folder, NAME)
    try:
        about = os.stat(path)
        stamp = (about.st_mtime_ns, about.st_size)
    except (OSError, ValueError):
        stamp = None
    layout = None
    if before is not None and stamp == before[1]:
        layout = before[2]
    elif stamp is not None:
        from spectui.files.layout import Layout

        layout = Layout.load(path)
    if len(_looked) > 256:
        _looked.clear()
    _looked[folder] = (now, stamp, layout)
    return _looked[folder]


def forget() -> None:
    """Forget every look, so that the next file looks anew (after a layout has been written)."""
    _looked.clear()
