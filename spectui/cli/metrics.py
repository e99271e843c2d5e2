"""Metrics of scans, from photons to colour, each with its unit or the reason why it is not available.

Example:
  spectui metrics bench-3.csv --metric ppfd,r_fr
  spectui metrics scans/ --csv > day.csv
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from spectui.cli.exits import Exit
from spectui.cli.inputs import add_reading, gather, hours, listed, more_metrics, whole
from spectui.cli.output import data, plain, talk

if TYPE_CHECKING:
    from spectui.core.metric import Metric
    from spectui.core.results import Result


def add(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("paths", nargs="+", metavar="PATH", help="scan files and folders; - is standard input")
    parser.add_argument(
        "--metric",
        metavar="KEY,…",
        help="these metrics only (default: all, in a text without R1-R14 and hue bins; in a table your cards)",
    )
    parser.add_argument("--hours", type=hours, metavar="H", help="photoperiod for dli, before the file's photoperiod_h")
    parser.add_argument("--action", action="append", default=[], metavar="FILE", help="an action spectrum of your own")
    add_reading(parser)
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="one JSON document, numbers unrounded")
    form.add_argument("--csv", action="store_true", help="a row a scan, a column a metric")


def run(args: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from spectui.core.metrics import metrics
    from spectui.settings import limits

    more = more_metrics(args.action)
    keys = listed(args.metric)
    found = gather(args.paths, args)
    table = not (args.json or args.csv)
    if keys is None and table and len(found.scans) == 1:
        keys = whole(more)
    elif keys is None and table:
        from spectui.cards import load
        from spectui.core.metrics import catalogue

        cards, news = load([*catalogue(), *(m.key for m in more)])
        keys = list(cards.keys)
        for sentence in news:
            talk(f"note: {sentence}")
    results = metrics(found.scans, keys, hours=args.hours, more=more, limits=limits())
    for source, message in found.errors:
        talk(f"{source}: {message}")
    if args.json:
        from spectui.report.jsontext import document

        errors = [{"source": source, "message": message} for source, message in found.errors]
        data(document({"scans": [r.as_dict() for r in results], "errors": errors}))
    elif args.csv:
        from spectui.report.csvtext import table as csv_table

        data(csv_table(results))
    else:
        _print(results, more)
    return Exit.UNREADABLE if found.errors else Exit.DONE


def _print(results: list[Result], more: list[Metric]) -> None:
    from spectui.core.metrics import catalogue
    from spectui.report import text

    known = catalogue() | {m.key: m for m in more}
    if len(results) == 1:
        import shutil

        from spectui.charts.cells import Form
        from spectui.charts.text import text_chart

        width = max(60, min(shutil.get_terminal_size((80, 24)).columns, 120))
        chart = text_chart([results[0].scan], width, Form(ascii=plain(), color=False))
        data(text.one(results[0], known, chart))
    elif results:
        data(text.many(results, known))
    else:
        talk("no scan found")
