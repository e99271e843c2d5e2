"""Write scans in another format; what that format cannot hold is said on stderr.

The format comes from the extension (.csv .tsv .txt, .spdx .xml, .jdx .dx) or from --to.

Example:
  spectui convert bench-3.csv bench-3.spdx
  spectui convert bench-3.csv - --to jcamp | less
"""

from __future__ import annotations

import argparse

from spectui.cli.exits import Exit
from spectui.cli.inputs import add_reading, gather
from spectui.cli.output import data, talk
from spectui.core.errors import UsageError


def add(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("input", metavar="IN", help="a scan file; - is standard input")
    parser.add_argument("output", metavar="OUT", help="the file to write; - is standard output")
    parser.add_argument("--to", choices=("csv", "tm27", "jcamp"), help="the format, whatever the extension")
    parser.add_argument("--force", action="store_true", help="overwrite OUT")
    add_reading(parser)
    parser.add_argument("--json", action="store_true", help='answer {"written": PATH, "notes": […]}')


def run(args: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from spectui.files import write

    found = gather([args.input], args)
    for source, message in found.errors:
        talk(f"{source}: {message}")
    if found.errors:
        return Exit.UNREADABLE
    if args.output == "-":
        if args.to is None:
            raise UsageError("expected --to csv, tm27 or jcamp: standard output has no extension")
        if args.json:
            raise UsageError("expected a file to write with --json: standard output carries the answer")
        text, notes = write.text_of(found.scans, args.to)
        data(text)
    else:
        notes = write.write(found.scans, args.output, args.to, force=args.force)
    for note in notes:
        talk(f"note: {note}")
    if args.json:
        from spectui.report.jsontext import document

        files = write.targets(found.scans, args.output, args.to)
        data(document({"written": args.output if len(files) == 1 else files, "notes": notes}))
    return Exit.DONE
