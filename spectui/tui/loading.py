"""Files → rows of the shelf. Runs in a worker thread for all but the first files; touches no widget."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from spectui.core.errors import SpectuiError
from spectui.core.metrics import metrics
from spectui.shelf.folder import Entry, Found, find, load
from spectui.tui.rows import SHELF_KEYS, Row


def found(paths: Sequence[str]) -> list[Found]:
    """List the files of the paths, not read yet."""
    return list(find(paths))


def read(file: Found, unit: str | None = None) -> list[Row]:
    """Read one file: a row a scan, or a row with the error; none for a file on the walk that is no scan."""
    try:
        entries = load(file, unit=unit)
    except (SpectuiError, OSError) as error:
        entries = [Entry(Path(file.path), None, None, str(error))]
    return [row_of(entry) for entry in entries]


def row_of(entry: Entry) -> Row:
    """Return a row with its short result."""
    if entry.scan is None:
        return Row(entry.path, entry.index, None, f"{entry.path.name}: {entry.error}")
    return Row(entry.path, entry.index, entry.scan, None, metrics(entry.scan, SHELF_KEYS)[0])


def batches(
    files: Sequence[Found], stop: object, unit: str | None = None, seconds: float = 0.1
) -> Iterator[list[tuple[Path, list[Row]]]]:
    """Read files and yield what was read every so often, so that the screen is not asked to draw for each file.

    stop: something with `is_cancelled`, looked at before each file.
    """
    from time import monotonic

    done: list[tuple[Path, list[Row]]] = []
    since = monotonic()
    for file in files:
        if getattr(stop, "is_cancelled", False):
            return
        done.append((Path(file.path), read(file, unit)))
        if monotonic() - since > seconds:
            yield done
            done, since = [], monotonic()
    if done:
        yield done
