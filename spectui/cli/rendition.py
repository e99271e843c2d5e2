"""How colours look under the light of each scan: Ra and R1-R14 (CIE 13.3), Rf, Rg and hue bins (ANSI/IES TM-30).

Example:
  spectui rendition bench-3.csv
  spectui rendition scans/ --csv > rendition.csv
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from spectui.cli.exits import Exit
from spectui.cli.inputs import add_reading, gather
from spectui.cli.output import data, plain, talk

if TYPE_CHECKING:
    from spectui.core.rendition import Rendition


def add(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("paths", nargs="+", metavar="PATH", help="scan files and folders; - is standard input")
    add_reading(parser)
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="one JSON document, numbers unrounded")
    form.add_argument("--csv", action="store_true", help="a row a scan, a column a number")


def run(args: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from spectui.core.rendition import rendition
    from spectui.settings import limits

    found = gather(args.paths, args)
    results = rendition(found.scans, limits=limits())
    for source, message in found.errors:
        talk(f"{source}: {message}")
    if args.json:
        from spectui.report.jsontext import document

        errors = [{"source": source, "message": message} for source, message in found.errors]
        data(document({"scans": [r.as_dict() for r in results], "errors": errors}))
    elif args.csv:
        from spectui.report.csvtext import table

        data(table([r.result for r in results]))
    elif results:
        from spectui.report.rendition import many, one

        data(one(results[0]) + _charts(results[0]) if len(results) == 1 else many(results))
    else:
        talk("no scan found")
    return Exit.UNREADABLE if found.errors else Exit.DONE


def _charts(found: Rendition) -> str:
    """Return the charts of one scan; nothing where it has no rendition, the answer says why."""
    import shutil

    from spectui.charts.cells import Form
    from spectui.charts.rendition import numbers_of, text_rendition

    numbers = numbers_of(found.result)
    if numbers.unavailable is not None:
        return ""
    width = max(60, min(shutil.get_terminal_size((80, 24)).columns, 120))
    return "\n" + "\n".join(text_rendition(numbers, None, width, Form(ascii=plain()))) + "\n"
