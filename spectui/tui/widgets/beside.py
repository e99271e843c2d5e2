"""Two panes side by side with a rule between, when the desk shows them apart."""

from __future__ import annotations

from collections.abc import Sequence

from spectui.charts.cells import Form, Line, Span, fitted


def beside(left: Sequence[Line], right: Sequence[Line], width: int, form: Form) -> list[Line]:
    """Return rows of both panes; the shorter one is filled up with blanks."""
    pane = (width - 4) // 2
    rule = Span(" | " if form.ascii else " │ ", "faint")
    blank = fitted([], pane)
    height = max(len(left), len(right))
    rows = []
    for y in range(height):
        one = left[y] if y < len(left) else blank
        two = right[y] if y < len(right) else blank
        rows.append(fitted([*one, rule, *two], width))
    return rows


def rule(box_width: int, height: int, form: Form) -> list[Line]:
    """Return rows that hold the rule between the panes alone: it also stands where no panel does."""
    return beside([], [fitted([], (box_width - 4) // 2)] * height, box_width, form)
