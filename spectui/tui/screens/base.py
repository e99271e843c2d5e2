"""What every screen shares: keys go through the action table, and drawing waits until no key is queued."""

from __future__ import annotations

from typing import Any, ClassVar, cast

from textual import events
from textual.screen import Screen

from spectui.tui.actions import DESK
from spectui.tui.field import Field

_NAMES = {"escape": "esc"}


def key_of(event: events.Key) -> str:
    """Return a key as keymaps spell it: the character itself, or a name like esc."""
    if event.character and event.is_printable and event.character != " ":
        return event.character
    return _NAMES.get(event.key, event.key)


class KeyScreen(Screen[Any], inherit_bindings=False):
    """A screen whose keys are actions: the action `fit` calls `do_fit`."""

    WHERE: ClassVar[str] = DESK
    AUTO_FOCUS = ""

    def __init__(self) -> None:
        super().__init__()
        self.field: Field | None = None
        self._due = True

    @property
    def host(self) -> Any:
        """The program, with its desk, keymap, paint and form."""
        return cast(Any, self.app)

    def draw(self) -> None:
        """Give every panel its lines."""
        raise NotImplementedError

    def redraw(self) -> None:
        """Draw when the queue is empty: a key held five times draws once."""
        self._due = True
        self.check_idle()

    def on_idle(self) -> None:
        """Nothing is queued: draw what is due."""
        if self._due and self.is_mounted:
            self._due = False
            self.draw()

    def on_key(self, event: events.Key) -> None:
        """Turn a key into its action; while a text is being typed, into text."""
        event.stop()
        event.prevent_default()
        top = self.app.screen
        if top is not self:
            # Typed ahead, before the screen that the last key opened or closed took over.
            top.post_message(events.Key(event.key, event.character))
            return
        key = key_of(event)
        if self.field is not None:
            self.field.key(key)
        else:
            self.key(key)
        self.redraw()

    def on_paste(self, event: events.Paste) -> None:
        """Pasted text goes into the field, if one is open."""
        event.stop()
        if self.field is not None:
            self.field.insert(event.text)
            self.redraw()

    def key(self, key: str) -> None:
        """Run the action of a key; a key without one does nothing."""
        action = self.host.keymap.action(key, self.WHERE)
        if action is not None:
            self.run(action)

    def run(self, action: str) -> None:
        """Run an action by its id."""
        getattr(self, f"do_{action}")()
        self.redraw()

    def ask(self, field: Field) -> None:
        """Open a text field in the news row."""
        self.field = field
        self.redraw()

    def end_field(self) -> None:
        """Close the text field; why a text was refused is of no interest any more."""
        if self.field is not None and self.field.refused:
            self.hush()
        self.field = None

    def hush(self) -> None:
        """Take back what was said."""

    def get_line_filters(self) -> tuple[()]:
        """No filter: the styles are made for the terminal's depth."""
        return ()
