"""The desk's last two rows: news, and the keys that come first."""

from __future__ import annotations

from spectui.charts.cells import Form, Line, fitted
from spectui.charts.lines import keys_line, news_line
from spectui.tui.actions import FOOTER, WIDE_FOOTER
from spectui.tui.field import Field
from spectui.tui.keymap import Keymap
from spectui.tui.state import Desk

WIDE = 100


def lines(
    desk: Desk, keymap: Keymap, width: int, form: Form, field: Field | None, reading: str, shelf: bool
) -> list[Line]:
    """Return news and keys. reading: how far the worker is, empty when it is done. shelf: it is shown."""
    news = news_line([desk.news, reading], width, form)
    if field is not None:
        news = fitted(field.line(desk.news, form.ascii), width)
    keys = []
    for ids, label in WIDE_FOOTER if width >= WIDE else FOOTER:
        if ids == ("step_back", "step_on") and width < WIDE:
            label = f"A {desk.position}"
        elif ids == ("apart",) and desk.apart:
            label = "together"
        elif ids == ("shelf",) and shelf and width >= WIDE:
            label = "fold shelf"
        keys.append((keymap.of(*ids), label))
    return [news, keys_line(keys, width, form)]
