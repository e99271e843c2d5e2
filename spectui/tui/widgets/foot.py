"""The desk's last two rows: news, and the keys that come first."""

from __future__ import annotations

from spectui.charts.cells import Form, Line, Span
from spectui.files.safe import safe
from spectui.tui.actions import FOOTER, WIDE_FOOTER
from spectui.tui.field import Field
from spectui.tui.keymap import Keymap
from spectui.tui.screens.base import foot
from spectui.tui.state import Desk

WIDE = 100


def lines(desk: Desk, keymap: Keymap, width: int, form: Form, field: Field | None, reading: str) -> list[Line]:
    """Return news and keys. reading: how far the worker is, empty when it is done."""
    if field is not None:
        news = field.line(form.ascii)
    else:
        news = (Span(safe(desk.news, form.ascii)), Span("   " if desk.news and reading else ""), Span(reading, "dim"))
    keys = []
    for ids, label in WIDE_FOOTER if width >= WIDE else FOOTER:
        if ids == ("step_back", "step_on") and width < WIDE:
            label = f"A {desk.position}"
        elif ids == ("apart",) and desk.apart:
            label = "together"
        elif ids == ("shelf",) and desk.shelf and width >= WIDE:
            label = "fold shelf"
        keys.append((keymap.of(*ids), label))
    return foot(news, keys, width)
