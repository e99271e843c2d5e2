"""Results as CSV: a row a scan, a column a metric headed `key [unit]`, an empty cell where there is no number."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from spectui.core.results import Result


def table(results: Sequence[Result]) -> str:
    """Return the CSV text of results that hold the same metrics; numbers unrounded."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    first = results[0].values if results else {}
    writer.writerow(["source", "title", "taken_at", *(f"{key} [{v.unit}]" for key, v in first.items())])
    for r in results:
        numbers = ("" if v.value is None else repr(v.value) for v in r.values.values())
        writer.writerow([r.scan.source, r.scan.title, r.scan.taken_at or "", *numbers])
    return out.getvalue()
