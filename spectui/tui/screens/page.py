"""A page to read and scroll: keys, a card's detail, trust, conditions."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from spectui.charts.cells import Line
from spectui.tui.actions import PAGE
from spectui.tui.screens.sheet import Sheet


class Page(Sheet):
    """Shows the rows that `content(width)` returns."""

    WHERE = PAGE

    def __init__(self, title: str, what: str, content: Callable[[int], Sequence[Line]]) -> None:
        super().__init__(title, what)
        self._content = content
        self._top: int | None = None  # where it was left the last time
        self._length = 0

    @property
    def _place(self) -> str:
        """What the place is remembered by: a page of other scans begins at its top."""
        return f"{self.title} {self.host.desk.a} {self.host.desk.b}"

    def body(self, width: int) -> list[Line]:
        """Return the rows in sight."""
        rows = list(self._content(width))
        self._length = len(rows)
        if self._top is None:
            self._top = self.host.scrolled.get(self._place, 0)
        self._top = max(min(self._top, self._length - self.room), 0)
        last = self._top + self.room
        more = self._length - last
        self.news = f"{more} more row{'' if more == 1 else 's'} below" if more > 0 else ("the end" if self._top else "")
        return rows[self._top : last]

    def _scroll(self, by: int) -> None:
        self._top = max(min((self._top or 0) + by, self._length - self.room), 0)

    def do_page_up(self) -> None:
        self._scroll(-1)

    def do_page_down(self) -> None:
        self._scroll(1)

    def do_page_page_up(self) -> None:
        self._scroll(-self.room)

    def do_page_page_down(self) -> None:
        self._scroll(self.room)

    def do_page_back(self) -> None:
        self.host.scrolled[self._place] = self._top or 0
        self.dismiss(None)

    def keys(self) -> list[tuple[str, str]]:
        """Return the keys of a page."""
        of = self.host.keymap.of
        found = [(of("page_back"), "back")]
        if self._length > self.room:
            found = [(of("page_up", "page_down"), "scroll"), (of("page_page_down"), "page"), *found]
        return found
