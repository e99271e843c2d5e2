"""The numbers of the scans in the panes: photon numbers at once, colour numbers when a worker has computed them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from spectui.core.compare import Comparison, compare, row
from spectui.core.metric import Metric
from spectui.core.metrics import catalogue, later, metrics
from spectui.core.quality import Limits
from spectui.core.results import Result, Value
from spectui.core.scan import Scan

PENDING = "still being computed"
_KEPT = 200

Colours = Mapping[str, Value]


def colours_of(scan: Scan) -> Colours:
    """Compute the colour numbers of a scan; their tables are read the first time. For a worker."""
    return metrics(scan, sorted(later()))[0].values


@dataclass
class Results:
    """What was computed, each scan once. Scans are known by identity: a file that is read again gives new ones."""

    _quick: dict[int, Result] = field(default_factory=dict)
    _colours: dict[int, tuple[Scan, Colours]] = field(default_factory=dict)
    _whole: dict[int, Result] = field(default_factory=dict)
    _pair: tuple[Result, Result, Comparison] | None = None

    def of(self, scan: Scan, hours: float | None, more: Sequence[Metric], limits: Limits) -> Result:
        """Return every metric of a scan; a colour number that is not there yet says so."""
        whole = self._whole.get(id(scan))
        if whole is not None and whole.scan is scan:
            return whole
        quick = self._quick.get(id(scan))
        if quick is None or quick.scan is not scan:
            if len(self._quick) > _KEPT:
                self.forget()
                self._colours.clear()
            keys = [key for key in (*catalogue(), *(m.key for m in more)) if key not in later()]
            quick = self._quick[id(scan)] = metrics(scan, keys, hours=hours, more=more, limits=limits)[0]
        known = catalogue()
        ready = self.ready(scan)
        colours = (
            self._colours[id(scan)][1] if ready else {k: Value(None, known[k].unit, None, PENDING) for k in later()}
        )
        order = [*known, *(m.key for m in more)]
        values = {key: quick.values[key] if key in quick.values else colours[key] for key in order}
        whole = self._whole[id(scan)] = replace(quick, values=values)
        return whole

    def ready(self, scan: Scan) -> bool:
        """Tell whether a scan's colour numbers are there."""
        found = self._colours.get(id(scan))
        return found is not None and found[0] is scan

    def take(self, computed: Sequence[tuple[Scan, Colours]]) -> None:
        """Keep colour numbers that the worker brings."""
        for scan, colours in computed:
            self._colours[id(scan)] = (scan, colours)
            self._whole.pop(id(scan), None)

    def comparison(self, a: Result, b: Result, hours: float | None, more: Sequence[Metric]) -> Comparison:
        """Return B against A, the colour numbers as far as they are there."""
        if self._pair is None or self._pair[0] is not a or self._pair[1] is not b:
            quick = compare(a.scan, b.scan, keys=[], hours=hours, more=more)
            rows = {key: row((a, b), key) for key in a.values}
            self._pair = (a, b, replace(quick, results=(a, b), rows=rows))
        return self._pair[2]

    def forget(self) -> None:
        """Compute anew what depends on the hours of light."""
        self._quick.clear()
        self._whole.clear()
