"""A list to choose from: palette, go, find, units, themes. Typed letters narrow it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from spectui.charts.cells import Line, Span, cell_width, cut_end
from spectui.tui.actions import LIST
from spectui.tui.field import Field
from spectui.tui.screens.sheet import Sheet


class Item(NamedTuple):
    """One line: what is returned, the words, words beside them, the key that does the same; `also` is only searched."""

    value: object
    text: str
    beside: str = ""
    key: str = ""
    also: str = ""


def matching(items: Sequence[Item], words: str) -> list[Item]:
    """Return the items in which every word stands somewhere, those whose text begins so first."""
    wanted = words.casefold().split()
    found = [
        item for item in items if all(word in f"{item.text} {item.beside} {item.also}".casefold() for word in wanted)
    ]
    return sorted(found, key=lambda item: not item.text.casefold().startswith(words.casefold().strip()))


class Choice(Sheet):
    """Dismisses with the value of the chosen item, or None."""

    WHERE = LIST

    def __init__(
        self,
        title: str,
        what: str,
        items: Sequence[Item],
        chosen: object = None,
        typed: str = "",
        keep: Callable[[str], None] | None = None,
    ) -> None:
        """chosen: where the cursor begins. typed: the words it begins with. keep: called with them at the end."""
        super().__init__(title, what)
        self._items = list(items)
        self._typed = Field("", lambda text: False, lambda: None, typed)
        self._keep = keep
        self._old = bool(typed)
        self._first = 0
        self._found = matching(self._items, typed)
        self.cursor = next((n for n, item in enumerate(self._found) if item.value == chosen), 0)

    def key(self, key: str) -> None:
        """Actions of a list come first; every other key is text."""
        action = self.host.keymap.action(key, self.WHERE)
        if action is not None:
            self.run(action)
            return
        before = self._typed.text
        if self._old and len(key) == 1:
            # Words of the last time are there to be seen and used again; typing new ones replaces them.
            self._typed.text, self._typed.at = "", 0
        self._old = False
        self._typed.key(key)
        if self._typed.text != before:
            self._found = matching(self._items, self._typed.text)
            self.cursor = 0

    def do_list_up(self) -> None:
        self.cursor = max(self.cursor - 1, 0)

    def do_list_down(self) -> None:
        self.cursor = min(self.cursor + 1, max(len(self._found) - 1, 0))

    def do_list_choose(self) -> None:
        if self._found:
            self._close(self._found[self.cursor].value)

    def do_list_back(self) -> None:
        self._close(None)

    def _close(self, value: object) -> None:
        if self._keep is not None:
            self._keep(self._typed.text)
        self.dismiss(value)

    def body(self, width: int) -> list[Line]:
        """Return the typed words and the items in sight."""
        rows: list[Line] = [self._words(), ()]
        room = max(self.room - 2, 1)
        self._first = max(min(self._first, self.cursor), self.cursor - room + 1, 0)
        # Two columns only where there is something in the second.
        most = width // 2 if any(item.beside for item in self._items) else width - 16
        wide = min(max((cell_width(item.text) for item in self._items), default=0), most)
        for n, item in enumerate(self._found[self._first : self._first + room], self._first):
            rows.append(self._row(item, n == self.cursor, wide, width))
        more = len(self._found) - self._first - room
        self.news = f"{more} more below" if more > 0 else ""
        if not self._found:
            rows.append((Span("  nothing here has these words", "dim"),))
        return rows

    def _words(self) -> Line:
        if not self._typed.text:
            return (Span("  "), Span(" ", reverse=True), Span(" type to narrow the list", "dim"))
        return (Span("  "), Span(self.clean(self._typed.text), "bright", bold=True), Span(" ", reverse=True))

    def _row(self, item: Item, here: bool, wide: int, width: int) -> Line:
        ground = "selected" if here and self.form.color else "bg"
        text = cut_end(self.clean(item.text), wide, self.form)
        key = item.key.ljust(10) if any(i.key for i in self._items) else ""
        beside = cut_end(self.clean(item.beside), max(width - wide - len(key) - 5, 0), self.form)
        spans = [
            Span("> " if here else "  ", "bright", ground, bold=True),
            Span(key, "bright", ground, bold=True),
            Span(text + " " * (wide - cell_width(text)), "bright" if here else "text", ground, bold=here),
            Span("   " + beside, "dim", ground),
        ]
        used = sum(cell_width(span.text) for span in spans)
        return (*spans, Span(" " * max(width - used, 0), ground=ground))

    def keys(self) -> list[tuple[str, str]]:
        """Return the keys of a list."""
        of = self.host.keymap.of
        return [(of("list_up", "list_down"), "move"), (of("list_choose"), "choose"), (of("list_back"), "back")]
