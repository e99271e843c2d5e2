"""People: how colours look under the light, and what white it is. Rendition and chromaticity, half a screen each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from textual.message import Message

from spectui.charts.cells import Form, Line, fitted
from spectui.charts.chromaticity import KEYS as WHITE_KEYS
from spectui.charts.chromaticity import UV, XY, Spot, chromaticity, spot_of
from spectui.charts.heads import head, heads
from spectui.charts.lines import keys_line, news_line
from spectui.charts.rendition import KEYS, OF_BINS, OF_TESTS, Numbers, numbers_of, rendition
from spectui.core.metrics import metrics
from spectui.core.quality import trust, worst
from spectui.core.results import Result
from spectui.core.scan import Scan
from spectui.tui.actions import PEOPLE
from spectui.tui.screens.sheet import Sheet
from spectui.tui.widgets.beside import beside

# Both halves stand side by side from this width on.
BOTH = 100
# From this height on a wide screen has room for all bars.
ALL_BARS = 31
RENDITION, CHROMATICITY = "rendition", "chromaticity"
PENDING = "colour numbers are being computed"
_MOST_KEPT = 200


@dataclass
class PeopleView:
    """What the screen shows and what it has computed: kept while it is closed."""

    half: str = RENDITION
    bars: str = OF_TESTS
    space: str = UV
    whole: bool | None = None  # None: as far as the lights need
    _known: dict[int, tuple[Scan, Numbers, Spot]] = field(default_factory=dict)

    def of(self, scan: Scan | None) -> tuple[Numbers, Spot] | None:
        """Return what is known of a scan."""
        found = self._known.get(id(scan))
        return found[1:] if found is not None and found[0] is scan else None

    def take(self, scan: Scan, numbers: Numbers, spot: Spot) -> None:
        """Keep what was computed of a scan."""
        if len(self._known) >= _MOST_KEPT:
            self._known.clear()
        self._known[id(scan)] = (scan, numbers, spot)


def compute(scan: Scan) -> tuple[Scan, Numbers, Spot]:
    """Compute what both halves draw of a scan."""
    result = metrics(scan, tuple(dict.fromkeys((*KEYS, *WHITE_KEYS))))[0]
    return scan, numbers_of(result), spot_of(result)


def halves(view: PeopleView, a: Scan | None, b: Scan | None, width: int, height: int, form: Form) -> list[Line]:
    """Return both halves side by side where they fit, else the one that is chosen; or what is still to come."""
    lights = [(scan, view.of(scan)) for scan in (a, b)]
    if a is None and b is None:
        return [fitted(news_line(["No scan is in a pane yet."], width, form), width)]
    if any(scan is not None and known is None for scan, known in lights):
        return [fitted(news_line([PENDING], width, form), width)]
    (one, two) = (known for _, known in lights)
    numbers = [known[0] if known is not None else None for known in (one, two)]
    spots = [known[1] if known is not None else None for known in (one, two)]
    wide = width >= BOTH
    room = (width - 4) // 2 if wide else width - 1
    left = right = None
    if wide or view.half == RENDITION:
        left = rendition(numbers[0], numbers[1], room, height, form, beside=view.bars)
    if wide or view.half == CHROMATICITY:
        right = chromaticity(spots[0], spots[1], room, height, form, space=view.space, whole=view.whole)
    if left is not None and right is not None:
        return beside(left, right, width, form)
    return left or right or []


class ColourComputed(Message):
    """The worker has computed the colour of some scans."""

    def __init__(self, found: Sequence[tuple[Scan, Numbers, Spot]]) -> None:
        super().__init__()
        self.found = found


class PeopleScreen(Sheet):
    """The two halves under the heads of A and B."""

    WHERE = PEOPLE

    def __init__(self, view: PeopleView) -> None:
        super().__init__("People", "")
        self.view = view
        self._asked: tuple[int, ...] = ()

    def draw(self) -> None:
        """Draw heads, halves, news and keys; colour that is not known yet is computed beside the screen."""
        width, height = self.app.size
        desk, form = self.host.desk, self.form
        self._ask()
        blank = fitted([], width)
        rows = [*_heads(desk.result_a, desk.result_b, width - 1, form), *self.body(width)]
        rows = [fitted(row, width) for row in rows][: height - 2]
        rows += [blank] * (height - 2 - len(rows))
        self._panel.show([*rows, news_line([self.news], width, form), keys_line(self.keys(), width, form)])

    def body(self, width: int) -> list[Line]:
        """Return the halves."""
        desk = self.host.desk
        return halves(self.view, desk.scan_a, desk.scan_b, width, self.room, self.form)

    def _ask(self) -> None:
        missing = [scan for scan in self.host.desk.shown if self.view.of(scan) is None]
        asked = tuple(id(scan) for scan in missing)
        if missing and asked != self._asked:
            self._asked = asked
            self.run_worker(lambda: self._compute(missing), thread=True, exclusive=True)

    def _compute(self, scans: Sequence[Scan]) -> None:
        self.post_message(ColourComputed([compute(scan) for scan in scans]))

    def on_colour_computed(self, message: ColourComputed) -> None:
        """Take what the worker computed."""
        for found in message.found:
            self.view.take(*found)
        self._asked = ()
        self.redraw()

    def do_people_half(self) -> None:
        view = self.view
        view.half = CHROMATICITY if view.half == RENDITION else RENDITION
        self.news = "both halves are in sight" if self.app.size.width >= BOTH else view.half

    def do_people_bars(self) -> None:
        view = self.view
        view.bars = OF_BINS if view.bars == OF_TESTS else OF_TESTS
        self.news = "where bars have no room for both: " + (
            "hue bins" if view.bars == OF_BINS else "test colours R1-R14"
        )

    def do_people_whole(self) -> None:
        view = self.view
        view.whole = not view.whole
        self.news = "the whole diagram" if view.whole else "zoomed on white"

    def do_people_space(self) -> None:
        view = self.view
        view.space = XY if view.space == UV else UV
        self.news = f"diagram of {self.clean('x y' if view.space == XY else 'u′ v′')}"

    def do_people_step_back(self) -> None:
        self._step(-1)

    def do_people_step_on(self) -> None:
        self._step(+1)

    def _step(self, by: int) -> None:
        desk = self.host.desk
        desk.step(by)
        # The scale of the desk's picture is no news here.
        self.news, desk.news = desk.news.split("   ")[-1], ""

    def do_people_back(self) -> None:
        self.dismiss(None)

    def keys(self) -> list[tuple[str, str]]:
        """Return the keys of this screen."""
        of, view, wide = self.host.keymap.of, self.view, self.app.size.width >= BOTH
        other = CHROMATICITY if view.half == RENDITION else RENDITION
        found = [(of("people_step_back", "people_step_on"), f"A {self.host.desk.position}")]
        if not wide:
            found.append((of("people_half"), other))
        if (wide or view.half == RENDITION) and not (wide and self.room >= ALL_BARS):
            found.append((of("people_bars"), "hue bins" if view.bars == OF_TESTS else "R1-R14"))
        if wide or view.half == CHROMATICITY:
            found += [
                (of("people_whole"), "zoom" if view.whole else "whole"),
                (of("people_space"), "x y" if view.space == UV else "u′ v′"),
            ]
        return [*found, (of("people_back"), "back")]


def _heads(a: Result | None, b: Result | None, width: int, form: Form) -> list[Line]:
    """Return the heads of A and B, as on the desk; two lines."""
    lines = [head(r.scan, trust(r.flags), worst(r.flags) is not None) if r is not None else None for r in (a, b)]
    if lines[0] is None:
        return [fitted([], width)] * 2
    drawn = heads(lines[0], lines[1], width, form)
    return [*drawn, *[fitted([], width)] * (2 - len(drawn))]
