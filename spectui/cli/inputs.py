"""Paths of a command line → scans, with the errors of those that could not be read."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, NamedTuple

from spectui.core.errors import FileError, SpectuiError, UnitError, UsageError
from spectui.core.scan import Scan
from spectui.core.units import parse_unit

if TYPE_CHECKING:
    from spectui.core.metric import Metric


class Gathered(NamedTuple):
    """The scans in the order of the arguments, and (source, message) of each file that could not be read."""

    scans: list[Scan]
    errors: list[tuple[str, str]]


def add_reading(parser: argparse.ArgumentParser) -> None:
    """Add the options that say how files are read."""
    parser.add_argument(
        "--unit", metavar="U", help="unit of scans that declare none: W/m2/nm, umol/m2/s/nm, relative, …"
    )
    parser.add_argument("--layout", metavar="FILE", help="layout (TOML) of delimited files of unknown form")
    parser.add_argument("--skip-gaps", action="store_true", help="leave out empty and NaN samples, and flag the scan")


def bundled(path: str) -> str:
    """The word `samples` names the bundled scenario wherever no such path stands."""
    if path == "samples" and not os.path.exists(path):
        from spectui.places import samples

        return str(samples())
    return path


def gather(paths: Iterable[str], args: argparse.Namespace) -> Gathered:
    """Read every path: a file, a folder (its files by path, what is no scan passed over) or `-` for standard input."""
    from spectui.files.read import read_bytes
    from spectui.shelf.folder import entries

    paths = list(paths)
    if paths.count("-") > 1:
        raise UsageError("expected - once: standard input is read to its end the first time")
    unit = None if args.unit is None else parse_unit(args.unit)
    options: dict[str, Any] = {"unit": unit, "layout": args.layout, "skip_gaps": args.skip_gaps}
    found = Gathered([], [])
    for path in paths:
        if path == "-":
            try:
                found.scans.extend(read_bytes(sys.stdin.buffer.read(), "-", **options))
            except (FileError, UnitError) as error:
                found.errors.append(("-", _reason(error)))
            continue
        for entry in entries([bundled(path)], **options):
            if entry.scan is not None:
                found.scans.append(entry.scan)
            elif entry.error is not None:
                found.errors.append((entry.source, entry.error))
    return found


def _reason(error: SpectuiError) -> str:
    """The message without the path, which stands beside it."""
    return error.message if isinstance(error, FileError) else str(error)


def hours(text: str) -> float:
    """An argparse type: a photoperiod of 0-24 h."""
    return in_range(text, 24, "hours")


def in_range(text: str, most: float, unit: str) -> float:
    """A number of an option, from 0 to `most`; raises what argparse tells."""
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0 <= value <= most:
        raise argparse.ArgumentTypeError(f"expected 0-{most:g} {unit}, got {text}")
    return value


def more_metrics(paths: Iterable[str]) -> list[Metric]:
    """Return the metrics of the user's action spectra: those named, and those in the folder of settings."""
    from spectui.settings import actions

    return actions(paths)


def whole(more: Iterable[Metric]) -> list[str]:
    """Return the metrics that a text shows unasked: all but the parts of a long row, such as hue bins."""
    from spectui.core.metrics import catalogue

    return [m.key for m in (*catalogue().values(), *more) if not m.part]


def listed(text: str | None) -> list[str] | None:
    """Split a comma-separated list; None stays None."""
    if text is None:
        return None
    words = [word.strip() for word in text.split(",") if word.strip()]
    if not words:
        raise UsageError("expected metric keys separated by commas, got none")
    return words
