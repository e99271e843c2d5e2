"""Chromaticity of scans: nominal class, steps from the nearest nominal centre, and the bin of a table of yours.

Example:
  spectui chromaticity scans/
  spectui chromaticity scans/ --bins bins.toml --json
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from spectui.cli.exits import Exit
from spectui.cli.inputs import add_reading, gather, more_metrics
from spectui.cli.output import data, plain, talk

if TYPE_CHECKING:
    from spectui.core.bins import Bins
    from spectui.core.chromaticity import Chromaticity


def add(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("paths", nargs="*", metavar="PATH", help="scan files and folders; - is standard input")
    parser.add_argument("--bins", metavar="FILE", help="sort the scans into the bins of this table (TOML)")
    parser.add_argument(
        "--fields", action="store_true", help="explain every field of a table of bins, and nothing else"
    )
    parser.add_argument("--action", action="append", default=[], metavar="FILE", help="an action spectrum of your own")
    add_reading(parser)
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="one JSON document, numbers unrounded")
    form.add_argument("--csv", action="store_true", help="a row a scan")


def run(args: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from spectui.core.chromaticity import chromaticity, counts
    from spectui.core.errors import UsageError
    from spectui.files import bins as form

    if args.fields:
        data(form.__doc__ or "")
        return Exit.DONE
    if not args.paths:
        raise UsageError("expected scan files or folders, or --fields")
    more = more_metrics(args.action)
    bins = None if args.bins is None else form.read_bins(args.bins, more=more)
    found = gather(args.paths, args)
    results = chromaticity(found.scans, bins, more=more)
    tally = None if bins is None else counts(results, bins)
    for source, message in found.errors:
        talk(f"{source}: {message}")
    if args.json:
        from spectui.report.jsontext import document

        content: dict[str, object] = {"scans": [r.as_dict() for r in results]}
        if tally is not None:
            content["bins"] = tally
        errors = [{"source": source, "message": message} for source, message in found.errors]
        data(document(content | {"errors": errors}))
    elif args.csv:
        from spectui.report.chromaticity import csv_table

        data(csv_table(results))
    elif results:
        from spectui.report.chromaticity import table

        text = table(results, tally, "" if bins is None else bins.title)
        data(text + _chart(results[0], bins) if len(results) == 1 else text)
    else:
        talk("no scan found")
    return Exit.UNREADABLE if found.errors else Exit.DONE


def _chart(one: Chromaticity, bins: Bins | None) -> str:
    """Return the diagram of one scan; nothing where it has no chromaticity, the table says why."""
    import shutil

    from spectui.charts.cells import Form
    from spectui.charts.chromaticity import Spot, text_chromaticity

    if one.u_prime is None:
        return ""
    spot = Spot(one.u_prime, one.v_prime, one.cct, one.duv, one.unavailable)
    width = max(60, min(shutil.get_terminal_size((80, 24)).columns, 120))
    return "\n" + "\n".join(text_chromaticity(spot, None, width, Form(ascii=plain()), bins=bins)) + "\n"
