"""Two or more scans against the first: conditions that differ or are unsaid, then bands and metrics.

Example:
  spectui compare new.csv aged.csv
  spectui compare new.csv aged.csv --scale ppfd --json
"""

from __future__ import annotations

import argparse

from spectui.cli.exits import Exit
from spectui.cli.inputs import add_reading, gather, hours, listed, more_metrics, whole
from spectui.cli.output import data, talk
from spectui.core.errors import UsageError


def add(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("paths", nargs="+", metavar="PATH", help="the reference, then the scans to compare with it")
    parser.add_argument("--scale", choices=("none", "ppfd", "peak"), default="none", help="scale the others to A's")
    parser.add_argument("--metric", metavar="KEY,…", help="these metrics only (default: all)")
    parser.add_argument("--hours", type=hours, metavar="H", help="photoperiod for dli")
    parser.add_argument("--action", action="append", default=[], metavar="FILE", help="an action spectrum of your own")
    add_reading(parser)
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="one JSON document, numbers unrounded")
    form.add_argument("--csv", action="store_true", help="a row a scan, a column a metric")


def run(args: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from spectui.core.compare import compare
    from spectui.settings import limits

    more = more_metrics(args.action)
    found = gather(args.paths, args)
    for source, message in found.errors:
        talk(f"{source}: {message}")
    if len(found.scans) < 2:
        if found.errors:
            if args.json:
                from spectui.report.jsontext import failed

                data(failed(found.errors))
            return Exit.UNREADABLE
        raise UsageError(f"expected two or more scans to compare, got {len(found.scans)}")
    keys = listed(args.metric)
    if keys is None and not (args.json or args.csv):
        keys = whole(more)
    compared = compare(*found.scans, scale=args.scale, keys=keys, hours=args.hours, more=more, limits=limits())
    if args.json:
        from spectui.report.jsontext import document

        data(document(compared.as_dict()))
    elif args.csv:
        from spectui.report.csvtext import table

        data(table(compared.results))
    else:
        from spectui.core.metrics import catalogue
        from spectui.report.text import comparison

        data(comparison(compared, catalogue() | {m.key: m for m in more}))
    return Exit.UNREADABLE if found.errors else Exit.DONE
