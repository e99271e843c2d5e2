"""What the desk knows and how each action changes it: no screen in here, so that all of it is tested without one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from spectui.charts import view as views
from spectui.charts.reduce import axis_kind
from spectui.charts.scale import top_of
from spectui.charts.view import View
from spectui.core.compare import Comparison
from spectui.core.metric import Metric
from spectui.core.metrics import FIRST_CARDS, catalogue
from spectui.core.quality import DEFAULTS, Limits
from spectui.core.results import Result
from spectui.core.scan import Scan
from spectui.shelf.tally import Tally, tally
from spectui.tui.results import Results
from spectui.tui.rows import Row


@dataclass
class Desk:
    """The state of the main screen. `a`, `b`: numbers of the rows in the panes; `cursor`: that of the shelf."""

    rows: list[Row] = field(default_factory=list)
    folder: str = ""
    cursor: int = 0
    a: int | None = None
    b: int | None = None
    view: View = field(default_factory=lambda: View(*views.DEFAULT_NM))
    nm: float = 555.0
    cards: tuple[str, ...] = FIRST_CARDS
    selected: int = 0
    shelf: bool | None = None  # None: shown where it has room beside the picture
    apart: bool = False
    hours: float | None = None
    news: str = ""
    more: tuple[Metric, ...] = ()
    limits: Limits = DEFAULTS
    unit: str | None = None
    told: list[str] = field(default_factory=list)
    _tally: Tally | None = None
    _first: int = 0
    _kind: str | None = None
    home: tuple[float, float] = views.DEFAULT_NM  # the range while it is neither zoomed nor panned
    results: Results = field(default_factory=Results)

    # What is shown

    def scan(self, row: int | None) -> Scan | None:
        """Return the scan of a row, None where there is none."""
        return self.rows[row].scan if row is not None and row < len(self.rows) else None

    @property
    def scan_a(self) -> Scan | None:
        """The scan in pane A."""
        return self.scan(self.a)

    @property
    def scan_b(self) -> Scan | None:
        """The scan in pane B."""
        return self.scan(self.b)

    @property
    def shown(self) -> list[Scan]:
        """The scans in the panes, A's first."""
        return [scan for scan in (self.scan_a, self.scan_b) if scan is not None]

    def result(self, scan: Scan | None) -> Result | None:
        """Return every metric of a scan; colour numbers say when they are still to come."""
        if scan is None:
            return None
        return self.results.of(scan, self.hours, self.more, self.limits)

    @property
    def result_a(self) -> Result | None:
        """Every metric of pane A."""
        return self.result(self.scan_a)

    @property
    def result_b(self) -> Result | None:
        """Every metric of pane B."""
        return self.result(self.scan_b)

    @property
    def comparison(self) -> Comparison | None:
        """B against A, None while a pane is empty."""
        a, b = self.result_a, self.result_b
        return None if a is None or b is None else self.results.comparison(a, b, self.hours, self.more)

    @property
    def uncoloured(self) -> list[Scan]:
        """The scans in the panes whose colour numbers are still to be computed."""
        return [scan for scan in self.shown if not self.results.ready(scan)]

    @property
    def tally(self) -> Tally:
        """What is wrong and unsaid on the shelf, counted once."""
        if self._tally is None:
            self._tally = tally(row.result.flags for row in self.rows if row.result is not None)
        return self._tally

    @property
    def known(self) -> dict[str, Metric]:
        """Every metric by key, the user's own among them."""
        return catalogue() | {metric.key: metric for metric in self.more}

    def first_in_sight(self, height: int) -> int:
        """Return the shelf's first row in sight: moved just so far that the cursor is seen."""
        self._first = max(min(self._first, self.cursor), self.cursor - height + 1, 0)
        self._first = min(self._first, max(len(self.rows) - height, 0))
        return self._first

    @property
    def differing(self) -> int:
        """How many conditions both scans state, and differ in."""
        found = self.comparison
        return 0 if found is None else sum(not condition.unsaid for condition in found.conditions)

    @property
    def position(self) -> str:
        """Where pane A stands on the shelf: 3/14."""
        return f"{self.a + 1}/{len(self.rows)}" if self.a is not None else f"-/{len(self.rows)}"

    @property
    def card(self) -> str | None:
        """The key of the selected card."""
        return self.cards[min(self.selected, len(self.cards) - 1)] if self.cards else None

    # The shelf and the panes

    def replace_rows(self, at: int, rows: Sequence[Row]) -> None:
        """Put what a file held in place of its row; the panes and the cursor stay on what they were on."""
        more = len(rows) - 1
        self._tally = None
        self.rows[at : at + 1] = rows
        if more:
            self.cursor += more if self.cursor > at else 0
            self.a = None if self.a is None else self.a + (more if self.a > at else 0)
            self.b = None if self.b is None else self.b + (more if self.b > at else 0)
        self.cursor = max(min(self.cursor, len(self.rows) - 1), 0)

    def take(self, read: Sequence[tuple[Path, list[Row]]]) -> None:
        """Put what was read in place of the rows that waited for it; the first scan goes into pane A."""
        waiting = {row.path: at for at, row in enumerate(self.rows) if row.pending}
        moved = 0
        for path, rows in read:
            at = waiting.get(path)
            if at is not None:
                self.replace_rows(at + moved, rows)
                moved += len(rows) - 1
        if self.a is None:
            first = next((at for at, row in enumerate(self.rows) if row.scan is not None), None)
            if first is not None:
                self.put_a(first)
                self.cursor = first
                self.news = ""

    def reread(self, path: Path, rows: Sequence[Row]) -> None:
        """Put a file's new rows in place of its old ones, scan by scan."""
        places = [at for at, row in enumerate(self.rows) if row.path == path]
        for at, row in zip(places, rows, strict=False):
            self.rows[at] = row
        self._tally = None
        for pane, held in (("A", self.a), ("B", self.b)):
            if held is not None and held in places and self.rows[held].scan is not None:
                self._changed(pane, held)

    def move(self, by: int) -> None:
        """Move the shelf's cursor."""
        self.cursor = max(min(self.cursor + by, len(self.rows) - 1), 0)

    def put_a(self, row: int) -> None:
        """Put a row's scan into pane A."""
        if self._told(row):
            return
        self.a = row
        self._changed("A", row)

    def put_b(self, row: int) -> None:
        """Put a row's scan into pane B and hold it; the row that is there already is taken out."""
        if row == self.b:
            self.b = None
            self.news = "B is empty"
            return
        if self._told(row):
            return
        if self.a is None:
            self.put_a(row)
            return
        self.b = row
        self._changed("B", row)

    def step(self, by: int) -> None:
        """Walk pane A to the next or the previous scan of the shelf, passing over what is no scan."""
        if not self.rows and self._told(0):
            return
        at = self.a if self.a is not None else (-1 if by > 0 else len(self.rows))
        at += by
        while 0 <= at < len(self.rows) and self.rows[at].error is not None:
            at += by
        if not 0 <= at < len(self.rows):
            self.news = "this is the last scan of the shelf" if by > 0 else "this is the first scan of the shelf"
            return
        self.cursor = at
        self.put_a(at)

    def _told(self, row: int) -> bool:
        """Say why a row cannot be put into a pane."""
        if not self.rows:
            self.news = "the shelf is empty"
            return True
        entry = self.rows[row]
        if entry.scan is None:
            self.news = entry.error or f"{entry.path.name} is still being read"
            return True
        return False

    def _changed(self, pane: str, row: int) -> None:
        shown = self.shown
        before = self.view
        scan = self.rows[row].scan
        assert scan is not None
        kind = axis_kind(shown[0], before)
        self.news = f"{pane} put from {row + 1}/{len(self.rows)}"
        if self._kind != kind:  # the first scan, or one in another unit: there is no scale to hold
            self.view = views.fit(shown, before.axis)
            self.home = self.view.lo, self.view.hi
        else:
            self.news = f"y scale held at {top_of(before, kind)}   {self.news}"
            self.view = views.bounded(before, shown)
            if (before.lo, before.hi) == self.home:
                self.view = views.followed(self.view, shown)
                self.home = self.view.lo, self.view.hi
        self._kind = kind
        self.nm = min(max(self.nm, self.view.bounds[0]), self.view.bounds[1])

    # The caret and the range

    def caret(self, by: float) -> None:
        """Move the caret by some nm, to whole nanometres."""
        self.caret_to(round(self.nm) + by)

    def caret_to(self, nm: float) -> None:
        """Put the caret on a wavelength; the range shown follows it."""
        lo, hi = self.view.bounds
        self.nm = min(max(nm, lo), hi)
        self.view = views.showing(self.view, self.nm)

    def type_wavelength(self, text: str) -> bool:
        """Put the caret on a typed wavelength [nm]; say what was expected where that does not go."""
        lo, hi = self.view.bounds
        try:
            nm = float(text.strip().removesuffix("nm").replace(",", "."))
        except ValueError:
            nm = float("nan")
        if not lo <= nm <= hi:
            self.news = f"expected a wavelength of {lo:g}-{hi:g} nm"
            return False
        self.caret_to(nm)
        self.news = ""
        return True

    def fit(self) -> None:
        """Fit the y scale to what is shown."""
        self.view = views.rescale(self.view, self.shown)
        self.news = f"y scale fitted, held at {top_of(self.view, self._kind or '')}"

    # The cards

    def take_cards(self, keys: tuple[str, ...]) -> None:
        """Show other cards; the selected one stays selected where it is still there."""
        card = self.card
        self.cards = keys
        self.selected = keys.index(card) if card in keys else min(self.selected, len(keys) - 1)

    def select(self, by: int) -> None:
        """Select the next or the previous card of the strip."""
        if self.cards:
            self.selected = (self.selected + by) % len(self.cards)

    def set_hours(self, text: str) -> bool:
        """Set the hours of light a day for DLI from typed text; 0 or nothing goes back to those of the file."""
        try:
            hours = float(text.strip().removesuffix("h").replace(",", ".") or 0)
        except ValueError:
            hours = -1.0
        if not 0 <= hours <= 24:
            self.news = "expected hours of light a day, 0 to 24"
            return False
        self.hours = hours or None
        self.results.forget()
        self.news = f"DLI with {hours:g} h a day" if hours else "DLI with the hours that each file states"
        return True
