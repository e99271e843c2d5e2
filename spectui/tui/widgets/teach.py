"""What stands in place of the picture while there is no scan: what to put here, and how to see the samples."""

from __future__ import annotations

from spectui.charts.cells import Form, Line, Span, cut_end, fitted
from spectui.files.safe import safe
from spectui.tui.layout import Box
from spectui.tui.state import Desk

FORMATS = "delimited text (.csv .tsv .txt), IES TM-27 (.spdx .xml), JCAMP-DX (.jdx .dx)"


def lines(desk: Desk, box: Box, form: Form) -> list[Line]:
    """Return the words."""
    broken = [row for row in desk.rows if row.error is not None]
    if any(row.pending for row in desk.rows):
        rows = [("", "The files are being read.")]
    elif broken:
        rows = [("", "None of these files could be read as a scan. What was wrong:"), ("", "")]
        rows += [("", f"  {row.error}") for row in broken[: max(box.height - 6, 1)]]
        rows += [("", ""), ("spectui layout FILE", "proposes a layout for a delimited file of unknown form")]
    else:
        rows = [
            ("", f"There is no scan in {desk.folder}."),
            ("", "Put scan files into it and open it again:"),
            ("", FORMATS + "."),
            ("", ""),
            ("spectui samples", "opens the samples: a nursery and its lamps, all invented"),
            ("spectui PATH ...", "opens files and folders"),
            ("spectui --help", "lists the commands"),
        ]
    found: list[Line] = [fitted([], box.width - 1)]
    for command, words in rows:
        words = cut_end(safe(words, form.ascii), box.width - 3 - (20 if command else 0), form)
        spans = [Span("  "), Span(command.ljust(20) if command else "", "bright", bold=True), Span(words)]
        found.append(fitted(spans, box.width - 1))
    return found
