"""The frozen results that every face (screen, text, CSV, JSON) is a function of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from spectui.core.scan import Flag, Scan


class Value(NamedTuple):
    """One number, or the reason why there is none. `expanded_uncertainty` is k = 2, None where it is not known."""

    value: float | None
    unit: str
    expanded_uncertainty: float | None = None
    unavailable: str | None = None
    note: str | None = None

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON object of the value; a note stands in it only where there is one."""
        known = {
            "value": self.value,
            "unit": self.unit,
            "expanded_uncertainty": self.expanded_uncertainty,
            "unavailable": self.unavailable,
        }
        return known if self.note is None else {**known, "note": self.note}


@dataclass(frozen=True, slots=True, eq=False)
class Result:
    """The metrics of one scan, `result["ppfd"].value`, with its flags."""

    scan: Scan
    values: Mapping[str, Value]
    flags: tuple[Flag, ...]

    def __getitem__(self, key: str) -> Value:
        """Return the value of a metric key."""
        return self.values[key]

    def as_dict(self) -> dict[str, Any]:
        """Return the scan's object of `metrics --json`; `index` only where the file holds several scans."""
        scan = self.scan
        head: dict[str, Any] = {"source": scan.source}
        if scan.index is not None:
            head["index"] = scan.index
        return head | {
            "title": scan.title,
            "taken_at": scan.taken_at,
            "range_nm": list(scan.range_nm),
            "unit": scan.unit,
            "metrics": {key: value.as_dict() for key, value in self.values.items()},
            "flags": [flag._asdict() for flag in self.flags],
        }
