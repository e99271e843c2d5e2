"""A line of text being typed in the news row. Logic only: keys in, spans out."""

from __future__ import annotations

from collections.abc import Callable

from spectui.charts.cells import Line, Span
from spectui.files.safe import safe

LONGEST = 500


class Field:
    """label: what is asked for. accept: called with the text on enter, returns True when it is done with it.

    leave: called when the field closes, by enter or esc. changed: called after each change of the text.
    """

    def __init__(
        self,
        label: str,
        accept: Callable[[str], bool],
        leave: Callable[[], None],
        text: str = "",
        changed: Callable[[str], None] | None = None,
    ) -> None:
        self.label, self.text, self.at = label, text, len(text)
        self._accept, self._leave, self._changed = accept, leave, changed
        self.refused = False

    def key(self, key: str) -> None:
        """Take one key."""
        before = self.text
        if key == "enter":
            self.refused = not self._accept(self.text)
            if not self.refused:
                self._leave()
            return
        if key == "esc":
            self._leave()
            return
        if key == "backspace" and self.at:
            self.text = self.text[: self.at - 1] + self.text[self.at :]
            self.at -= 1
        elif key == "delete":
            self.text = self.text[: self.at] + self.text[self.at + 1 :]
        elif key in ("left", "right"):
            self.at = max(min(self.at + (1 if key == "right" else -1), len(self.text)), 0)
        elif key in ("home", "end"):
            self.at = 0 if key == "home" else len(self.text)
        elif key == "space":
            self.insert(" ")
        elif len(key) == 1 and key.isprintable():
            self.insert(key)
        if self.text != before:
            self.refused = False
            if self._changed is not None:
                self._changed(self.text)

    def insert(self, text: str) -> None:
        """Insert text at the cursor; what is no printable character, or came as noise, is left out."""
        clean = "".join(c for c in text if c.isprintable() and c != "\N{REPLACEMENT CHARACTER}")[
            : LONGEST - len(self.text)
        ]
        self.text = self.text[: self.at] + clean + self.text[self.at :]
        self.at += len(clean)

    def line(self, news: str, ascii: bool = False) -> Line:
        """Return the row: label, text, a cell in reverse where the next character goes; then why it was not taken.

        news: what the program said last; shown after a refused enter, until the text changes.
        """
        after = self.text[self.at + 1 :]
        under = self.text[self.at : self.at + 1] or " "
        return (
            Span(self.label + " ", "dim"),
            Span(safe(self.text[: self.at], ascii), "bright", bold=True),
            Span(safe(under, ascii), "bright", bold=True, reverse=True),
            Span(safe(after, ascii), "bright", bold=True),
            Span("   "),
            Span(safe(news, ascii), "bright") if self.refused else Span("enter accepts, esc leaves", "dim"),
        )
