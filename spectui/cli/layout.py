"""Propose a layout for a delimited file of unknown form, and try it before it is kept.

The proposal is TOML on stdout, what was found out about it on stderr. Edit it, try it with --layout, keep it
as spectui-layout.toml beside the files with --keep: it is then used for that folder.

Example:
  spectui layout export-0031.dat > mine.toml
  spectui metrics export-0031.dat --layout mine.toml
  spectui layout export-0031.dat --keep
"""

from __future__ import annotations

import argparse
import os

from spectui.cli.exits import Exit
from spectui.cli.output import data, talk
from spectui.core.errors import UsageError


def add(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("file", metavar="FILE", nargs="?", help="a delimited file; - is standard input")
    parser.add_argument("--fields", action="store_true", help="explain every field of a layout, and nothing else")
    parser.add_argument("--keep", action="store_true", help="write spectui-layout.toml into the file's folder")
    parser.add_argument("--force", action="store_true", help="overwrite the one that is there")
    parser.add_argument("--json", action="store_true", help="the proposal as one JSON document")


def run(args: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    import sys

    from spectui.files import layout as form
    from spectui.files.layout import propose, read_with
    from spectui.files.read import bytes_of
    from spectui.files.remembered import NAME

    if args.fields:
        data(form.__doc__ or "")
        return Exit.DONE
    if args.file is None:
        raise UsageError("expected a file, or --fields")
    content = sys.stdin.buffer.read() if args.file == "-" else bytes_of(args.file)
    layout, notes = propose(content, args.file)
    scans = read_with(layout, content, args.file)
    notes = [*notes, f"tried: {len(scans)} scan{'s' if len(scans) != 1 else ''} read"]
    written = None
    if args.keep:
        from spectui.files.atomic import write_text

        written = os.path.join(os.path.dirname(args.file), NAME)
        write_text(written, layout.dump(), force=args.force)
    for note in notes:
        talk(f"note: {note}")
    if args.json:
        from spectui.report.jsontext import document

        data(document({"layout": layout.dump(), "written": written, "notes": notes}))
    elif written is None:
        data(layout.dump())
    else:
        talk(f"written: {written}")
    return Exit.DONE
