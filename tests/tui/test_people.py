"""The People screen: both halves at their sizes, the keys, what is kept, colour computed beside the screen."""

from __future__ import annotations

import asyncio
import os
import threading
from pathlib import Path

import pytest

from spectui.charts.cells import Form, line_width, plain
from spectui.tui import program
from spectui.tui.screens import people
from spectui.tui.screens.people import CHROMATICITY, PENDING, PeopleView, compute, halves
from spectui.tui.terminal import Terminal
from tests.charts.lights import A, B

KEPT = Path(__file__).parent / "snapshots"


def view_of(*scans: object) -> PeopleView:
    view = PeopleView()
    for scan in scans:
        view.take(*compute(scan))  # type: ignore[arg-type]
    return view


@pytest.mark.parametrize(
    ("name", "size", "half", "form"),
    [
        ("people-80x24-rendition", (80, 19), "rendition", Form()),
        ("people-80x24-chromaticity", (80, 19), CHROMATICITY, Form()),
        ("people-80x24-chromaticity-ascii", (80, 19), CHROMATICITY, Form(ascii=True)),
        ("people-120x36", (120, 31), "rendition", Form()),
        ("people-120x36-ascii", (120, 31), "rendition", Form(ascii=True)),
    ],
)
def test_the_halves_look_as_they_did(name: str, size: tuple[int, int], half: str, form: Form) -> None:
    view = view_of(A, B)
    view.half = half
    lines = halves(view, A, B, *size, form)
    assert len(lines) == size[1] and all(line_width(line) <= size[0] for line in lines)
    text = "".join(plain(line).rstrip() + "\n" for line in lines)
    assert not form.ascii or text.isascii()
    path = KEPT / f"{name}.txt"
    if os.environ.get("SPECTUI_SNAPSHOTS") == "update":
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8")


def test_what_is_not_computed_yet_is_said() -> None:
    assert plain(halves(view_of(A), A, B, 80, 19, Form())[0]).strip() == PENDING
    assert "No scan" in plain(halves(PeopleView(), None, None, 80, 19, Form())[0])


def text_of(app: program.SpectuiApp) -> str:
    panel = app.screen._panel  # type: ignore[attr-defined]
    return "\n".join(plain(line) for line in panel._lines)


def drive(scans: Path, size: tuple[int, int], steps: object) -> None:
    """Run the program headless and give `steps` the pilot."""

    async def run() -> None:
        app = program.build([str(scans)], Terminal(depth="true", ascii=False))
        async with app.run_test(size=size) as pilot:
            await steps(app, pilot)  # type: ignore[operator]

    asyncio.run(run())


async def settled(app: program.SpectuiApp, pilot: object) -> None:
    for _ in range(100):
        await app.workers.wait_for_complete()
        await pilot.pause()  # type: ignore[attr-defined]
        if PENDING not in text_of(app):
            return
    raise AssertionError("colour never came")


def test_keys_change_what_is_shown_and_it_is_kept(scans: Path) -> None:
    async def steps(app: program.SpectuiApp, pilot: object) -> None:
        await pilot.press("o")  # type: ignore[attr-defined]
        await settled(app, pilot)
        assert "Rf " in text_of(app) and "C78.377" not in text_of(app)
        await pilot.press("tab", "e")  # type: ignore[attr-defined]
        await pilot.pause()  # type: ignore[attr-defined]
        assert "C78.377" in text_of(app) and "diagram of x y" in text_of(app)
        await pilot.press("0")  # type: ignore[attr-defined]
        await pilot.pause()  # type: ignore[attr-defined]
        assert "spectrum in nm" in text_of(app)
        await pilot.press("escape")  # type: ignore[attr-defined]
        await pilot.pause()  # type: ignore[attr-defined]
        assert app.screen is app._first
        await pilot.press("o")  # type: ignore[attr-defined]
        await settled(app, pilot)
        assert "spectrum in nm" in text_of(app)

    drive(scans, (80, 24), steps)


def test_colour_comes_from_a_worker(scans: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    held, where = threading.Event(), []

    def slow(scan: object) -> object:
        where.append(threading.current_thread())
        held.wait(10)
        return compute(scan)  # type: ignore[arg-type]

    monkeypatch.setattr(people, "compute", slow)

    async def steps(app: program.SpectuiApp, pilot: object) -> None:
        await pilot.press("o")  # type: ignore[attr-defined]
        await pilot.pause()  # type: ignore[attr-defined]
        try:
            assert PENDING in text_of(app) and "White bar, new" in text_of(app)
        finally:
            held.set()
        await settled(app, pilot)
        assert "Rf " in text_of(app) and "C78.377" in text_of(app)
        assert where and threading.main_thread() not in where

    drive(scans, (120, 36), steps)
