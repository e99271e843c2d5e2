"""A screen of one panel: a heading, a body, news and keys. Lists and pages are made of it."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult

from spectui.charts.cells import Form, Line, Span, fitted
from spectui.charts.lines import keys_line, news_line
from spectui.files.safe import safe
from spectui.report.numbers import ascii_only
from spectui.tui.screens.base import KeyScreen
from spectui.tui.widgets.lines import Lines


class Sheet(KeyScreen):
    """Draws `heading`, `body` and `keys`; a screen that is a Sheet gives these."""

    news = ""

    def __init__(self, title: str, what: str = "") -> None:
        super().__init__()
        self.title, self.what = title, what

    @property
    def form(self) -> Form:
        """Which glyphs to use."""
        return self.host.form

    def clean(self, text: str) -> str:
        """Return a text that may stand on this terminal."""
        return safe(ascii_only(text), ascii=True) if self.form.ascii else safe(text)

    @property
    def room(self) -> int:
        """How many rows the body has."""
        return max(self.app.size.height - 5, 1)

    def hush(self) -> None:
        """Take back what was said."""
        self.news = ""

    def compose(self) -> ComposeResult:
        """One panel over the whole screen."""
        self._panel = Lines("sheet")
        self.draw()
        yield self._panel

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.redraw()

    def draw(self) -> None:
        """Draw the three places."""
        width, height = self.app.size
        heading = [
            Span(self.clean(self.title or ""), "bright", bold=True),
            Span("   "),
            Span(self.clean(self.what), "dim"),
        ]
        body = list(self.body(width))[: self.room]
        blank = fitted([], width)
        rows = [fitted(heading, width), blank, *(fitted(line, width) for line in body)]
        rows = rows[: height - 2]
        rows += [blank] * (height - 2 - len(rows))
        news = (
            fitted(self.field.line(self.news, self.form.ascii), width)
            if self.field
            else news_line([self.words()], width, self.form)
        )
        self._panel.show([*rows, news, keys_line(self.keys(), width, self.form)])

    def words(self) -> str:
        """Return what the news row says."""
        return self.news

    def body(self, width: int) -> Sequence[Line]:
        """Return the rows between heading and news, at most `room` of them."""
        raise NotImplementedError

    def forget(self) -> None:
        """Draw everything anew, in other colours."""
        self._panel.forget()
        self.redraw()

    def keys(self) -> list[tuple[str, str]]:
        """Return keys and labels for the last row."""
        raise NotImplementedError
