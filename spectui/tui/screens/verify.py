"""Verify: does this installation compute what is published? The command's record as a page, made in a worker."""

from __future__ import annotations

from collections.abc import Sequence
from time import monotonic

from textual.message import Message
from textual.worker import get_current_worker

from spectui.charts.cells import Form, Line, Span
from spectui.core.verify import checks, planned
from spectui.core.verify.check import Check, Verification
from spectui.report.numbers import ascii_only
from spectui.report.verify import NO, STATEMENT, summary, table
from spectui.tui.pages import Writer
from spectui.tui.screens.page import Page

# How often the page tells how far it is [s].
_EVERY = 0.25


class ChecksDone(Message):
    """The worker has done some checks."""

    def __init__(self, done: Sequence[Check], last: bool) -> None:
        super().__init__()
        self.done, self.last = done, last


def rows(done: Sequence[Check], finished: bool, width: int, form: Form) -> list[Line]:
    """Return the verdict and the record, or how far it is."""
    page = Writer(width, form)
    if not finished:
        page.text(f"{len(done)} of {planned()} checks done; leaving this page stops it", "bright")
        failed = [check for check in done if check.ran and not check.ok]
        for check in failed:
            page.text(f"does not hold: {check.quantity}", "bright", bold=True)
        return page.rows
    found = Verification(tuple(done))
    page.text(summary(found), "bright", bold=True)
    page.text(STATEMENT, "dim")
    page.rows.append(())
    for line in table(found):
        text = ascii_only(line) if form.ascii else line
        no = text.endswith(f" {NO}")
        page.rows.append((Span(_cut(text, width - 1, form), "bright" if no else "text", bold=no),))
    return page.rows


def _cut(text: str, width: int, form: Form) -> str:
    """Shorten a row in its middle: the verdict at its end is never cut."""
    more = "..." if form.ascii else "…"
    verdict = text.rsplit("  ", 1)[-1]
    return (
        text
        if len(text) <= width
        else text[: max(width - len(verdict) - len(more) - 1, 0)] + f"{more} {verdict}"[:width]
    )


class VerifyScreen(Page):
    """Runs every check while it is open."""

    def __init__(self) -> None:
        self._done: list[Check] = []
        self._finished = False
        content = lambda width: rows(self._done, self._finished, width, self.form)  # noqa: E731
        super().__init__("Verify", "Does this installation compute what is published?", content)

    def on_mount(self) -> None:
        """Begin."""
        self.run_worker(self._check, thread=True, exclusive=True)

    def _check(self) -> None:
        worker, fresh, told = get_current_worker(), [], monotonic()
        for check in checks():
            if worker.is_cancelled:
                return
            fresh.append(check)
            if monotonic() - told > _EVERY:
                self.post_message(ChecksDone(fresh, False))
                fresh, told = [], monotonic()
        self.post_message(ChecksDone(fresh, True))

    def on_checks_done(self, message: ChecksDone) -> None:
        """Take what the worker did."""
        self._done += message.done
        self._finished = message.last
        self.redraw()
