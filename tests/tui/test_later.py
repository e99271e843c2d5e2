"""Colour numbers come from a worker, and photon numbers never wait for them; the verify page tells how far it is."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from spectui.charts.cells import Form, plain
from spectui.core.metrics import later, metrics
from spectui.core.scan import Scan
from spectui.core.verify import checks
from spectui.tui.program import build
from spectui.tui.results import PENDING, Results, colours_of
from spectui.tui.screens import desk as desk_screen
from spectui.tui.screens import verify as verify_screen
from spectui.tui.state import Desk
from spectui.tui.terminal import Terminal
from tests.tui.invented import light
from tests.tui.test_app import drive, screen


def scan(factor: float = 1.0) -> Scan:
    return Scan.build(*light(factor), "W/m2/nm", {"title": f"times {factor:g}"})


def of(results: Results, one: Scan) -> Any:
    desk = Desk()
    return results.of(one, None, desk.more, desk.limits)


def test_a_colour_number_says_that_it_is_still_to_come() -> None:
    results, one = Results(), scan()
    before = of(results, one)
    assert {key for key, value in before.values.items() if value.unavailable == PENDING} == set(later())
    assert before["ppfd"].value == metrics(one, ["ppfd"])[0]["ppfd"].value
    results.take([(one, colours_of(one))])
    after, whole = of(results, one), metrics(one)[0]
    assert list(after.values) == list(whole.values)
    for key, value in whole.values.items():
        found = after[key]
        assert (found.unavailable, found.unit) == (value.unavailable, value.unit), key
        assert found.value is value.value or found.value == pytest.approx(value.value, rel=1e-9), key


def test_a_comparison_follows_the_colours() -> None:
    results, one, two = Results(), scan(), scan(0.8)
    compared = results.comparison(of(results, one), of(results, two), None, ())
    assert compared.rows["ppfd"].percent[1] == pytest.approx(-20)
    assert compared.rows["cct"].unavailable == (PENDING, PENDING)
    results.take([(each, colours_of(each)) for each in (one, two)])
    compared = results.comparison(of(results, one), of(results, two), None, ())
    assert compared.rows["cct"].difference[1] == pytest.approx(0, abs=1e-6)


def test_the_desk_shows_photons_while_colour_is_computed(scans: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    held, where = threading.Event(), []

    def slow(one: Scan) -> Any:
        where.append(threading.current_thread())
        held.wait(10)
        return colours_of(one)

    monkeypatch.setattr(desk_screen, "colours_of", slow)
    app = build([str(scans)], Terminal())
    app.desk.take_cards(("ppfd", "cct"))

    async def use(pilot: Any) -> None:
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert threading.main_thread() not in where
        assert app.desk.result_a is not None and app.desk.result_a["cct"].value is not None

    # While the worker is held the first frame already stands; it is let go once that frame was looked at.
    first = app._first
    draw = first.draw
    seen: list[str] = []

    def drawn() -> None:
        draw()
        if not held.is_set() and app.desk.result_a is not None:
            seen.append(str(app.desk.result_a["cct"].unavailable))
            held.set()

    monkeypatch.setattr(first, "draw", drawn)
    drive(app, use)
    assert seen == [PENDING]


def test_the_verify_page_ends_with_the_verdict(scans: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    some = [check for _, check in zip(range(40), checks(), strict=False)]

    def few() -> Iterator[Any]:
        yield from some

    monkeypatch.setattr(verify_screen, "checks", few)
    app = build([str(scans)], Terminal())

    async def use(pilot: Any) -> None:
        await pilot.press("z")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert "40 checks, all hold" in screen(app)
        assert "ISO/IEC 17025" in screen(app)

    drive(app, use)


def test_the_verify_page_names_what_does_not_hold_at_once() -> None:
    first = next(iter(checks()))
    wrong = first._replace(found=1.0, ok=False)
    text = "\n".join(plain(line) for line in verify_screen.rows([wrong], False, 80, Form()))
    assert "1 of " in text and f"does not hold: {first.quantity}" in text
    text = "\n".join(plain(line) for line in verify_screen.rows([wrong], True, 80, Form()))
    assert "does not hold" in text and " NO\n" in text + "\n"
    assert all(len(line) < 80 for line in text.splitlines())
