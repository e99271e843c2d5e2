"""A folder of scans, file by file in path order. One bad file never hides the others."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from spectui.core.errors import FileError, NotAScan, SpectuiError, UnitError, UsageError
from spectui.core.scan import DOUBT, Flag, Scan
from spectui.shelf import sidecar

if TYPE_CHECKING:
    from spectui.files.layout import Layout
    from spectui.shelf.sidecar import Sidecar

# On a walk these are passed over unread (.toml: sidecars and layouts); anything else is judged by its content.
OTHER_CONTENT = frozenset(
    ".7z .bmp .css .doc .docx .gif .gz .htm .html .jpeg .jpg .js .json .md .mov .mp4 .ods .odt .pdf .png .ppt "
    ".pptx .py .pyc .rst .sh .svg .tar .tif .tiff .toml .webp .xls .xlsx .yaml .yml .zip".split()
)


class Found(NamedTuple):
    """A file met on the walk. `named`: on the command line itself. `said`: a sidecar is beside it."""

    path: str
    named: bool = False
    said: bool = False
    error: FileError | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """A row of the shelf: one scan of a file, or the reason why the file gives none. `source` is the path as given."""

    path: Path
    index: int | None = None
    scan: Scan | None = None
    error: str | None = None
    source: str = ""


def find(paths: Iterable[str | os.PathLike[str]]) -> Iterator[Found]:
    """Yield the files of each path in turn, a folder's by path, while they are found.

    Hidden files, sidecars, layouts and files of another kind are left out, pipes and devices too. A folder that cannot
    be listed, and a path that does not exist, comes as a Found with its error.
    """
    for given in paths:
        path = os.fspath(given)
        if os.path.isdir(path):
            yield from _folder(path, frozenset())
        elif os.path.exists(path):
            yield Found(path, named=True, said=os.path.exists(sidecar.beside(path)))
        else:
            reason = "a link to nothing" if os.path.islink(path) else "no such file or folder"
            yield Found(path, named=True, error=FileError(path, reason))


def _folder(path: str, above: frozenset[tuple[int, int]]) -> Iterator[Found]:
    try:
        here = os.stat(path)
        identity = (here.st_dev, here.st_ino)
        if identity in above:
            return  # a link back to a folder that is being walked
        with os.scandir(path) as listing:
            items = sorted(listing, key=_name)
    except OSError as error:
        yield Found(path, error=FileError(path, f"cannot be listed: {error.strerror}"))
        return
    said = {item.name for item in items if item.name.endswith(sidecar.SUFFIX)}
    for item in items:
        name = item.name
        if name.startswith("."):
            continue
        try:
            kind = "folder" if item.is_dir() else "file" if item.is_file() else ""
        except OSError:  # a link that ends in itself
            continue
        if kind == "folder":
            yield from _folder(os.path.join(path, name), above | {identity})
        elif kind == "file" and os.path.splitext(name)[1].lower() not in OTHER_CONTENT:
            yield Found(os.path.join(path, name), said=name + sidecar.SUFFIX in said)


def _name(item: os.DirEntry[str]) -> str:
    return item.name


def walk(paths: Iterable[str | os.PathLike[str]]) -> list[Path]:
    """Return the paths that `find` meets. What cannot be listed or does not exist is among them: `load` says why."""
    return [Path(found.path) for found in find(paths)]


def load(
    path: str | os.PathLike[str] | Found,
    *,
    named: bool = True,
    unit: str | None = None,
    layout: Layout | str | os.PathLike[str] | None = None,
    skip_gaps: bool = False,
) -> list[Entry]:
    """Return the entries of one file: one for each scan, or one with the error; what its sidecar says is applied.

    named: the path was named directly and must be a scan; else content that is no scan gives an empty list.
    A Found knows that itself, and whether there is a sidecar to look for.
    """
    from spectui.files.read import read

    if not isinstance(path, Found):
        source = os.fspath(path)
        path = Found(source, named, os.path.exists(sidecar.beside(source)))
    if path.error is not None:
        return [_failed(path, path.error)]
    said, told = _said(path)
    try:
        scans = read(path.path, unit=unit, layout=layout, skip_gaps=skip_gaps or (said is not None and said.skip_gaps))
    except NotAScan as error:
        return [_failed(path, error)] if path.named else []
    except SpectuiError as error:
        if isinstance(error, UsageError) and layout is not None:
            raise  # the call is wrong, not this file
        return [_failed(path, error)]
    if said is not None:
        try:
            scans = [sidecar.apply(scan, said) for scan in scans]
        except UnitError as error:
            told = (Flag("sidecar_malformed", DOUBT, f"notes beside the scan not applied; {error}"),)
    if told:
        scans = [scan.with_(flags=(*scan.flags, *told)) for scan in scans]
    return [Entry(Path(path.path), scan.index, scan, source=path.path) for scan in scans]


def _failed(found: Found, error: SpectuiError) -> Entry:
    message = error.message if isinstance(error, FileError) else str(error)
    return Entry(Path(found.path), error=message, source=found.path)


def _said(found: Found) -> tuple[Sidecar | None, tuple[Flag, ...]]:
    """The sidecar to apply, and what must be told of one that is not applied."""
    if not found.said:
        return None, ()
    try:
        said = sidecar.read(found.path)
        if said is None or said.digest == sidecar.digest(found.path):
            return said, ()
    except FileError as error:
        return None, (Flag("sidecar_malformed", DOUBT, f"notes beside the scan not applied; {error.message}"),)
    words = "notes beside the scan not applied; the scan's content does not match their digest"
    return None, (Flag("sidecar_differs", DOUBT, words),)


def entries(
    paths: Iterable[str | os.PathLike[str]],
    *,
    unit: str | None = None,
    layout: Layout | str | os.PathLike[str] | None = None,
    skip_gaps: bool = False,
) -> Iterator[Entry]:
    """Yield the entries of all paths as they are read."""
    for found in find(paths):
        yield from load(found, unit=unit, layout=layout, skip_gaps=skip_gaps)
