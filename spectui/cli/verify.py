"""Validate this installation: its results against published values, and against colour-science computed now.

Each check names quantity, source, rule, expected value, found value and tolerance; tolerances follow the printed
digits. It is the record that ISO/IEC 17025:2017, 7.11.2, asks of software before its results are used. It validates the
calculation, not an instrument. Exit code 0 only if every check was run and holds, else 1.

Example:
  spectui verify
  spectui verify --json > verification.json
"""

from __future__ import annotations

import argparse

from spectui.cli.exits import Exit
from spectui.cli.output import data, talk


def add(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("--json", action="store_true", help="one JSON document, numbers unrounded")


def run(args: argparse.Namespace) -> int:
    """Run the command and return its exit code."""
    from spectui.core.verify import verify
    from spectui.report.verify import software, summary, text

    found, versions = verify(), software()
    if args.json:
        from spectui.report.jsontext import document

        data(document(found.as_dict() | {"software": versions}))
    else:
        data(text(found, versions))
    if not found.ok:
        talk(f"spectui: {summary(found)}")
        return Exit.NO
    return Exit.DONE
