"""The program itself, driven by keys in a headless terminal. Few: each costs a fifth of a second."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest

from spectui.charts.cells import plain
from spectui.core.errors import FileError
from spectui.tui.program import SpectuiApp, build
from spectui.tui.terminal import Terminal


def screen(app: SpectuiApp) -> str:
    """Return what the top screen shows."""
    top: Any = app.screen
    panels = top._panels.values() if hasattr(top, "_panels") else [top._panel]
    return "\n".join(plain(line) for panel in panels if panel.display for line in panel._lines)


def drive(app: SpectuiApp, use: Callable[[Any], Awaitable[None]], size: tuple[int, int] = (120, 36)) -> SpectuiApp:
    async def main() -> None:
        async with app.run_test(size=size) as pilot:
            await app.workers.wait_for_complete()
            await pilot.pause()
            await use(pilot)

    asyncio.run(main())
    return app


def test_keys_walk_the_desk(scans: Path) -> None:
    app = build([str(scans)], Terminal())

    async def use(pilot: Any) -> None:
        assert "White bar, aged" in screen(app)  # read by the worker
        assert "4-broken.csv" in screen(app)
        assert "still to read" not in screen(app)
        await pilot.press("down", "b", "right", "right", "l")
        assert (app.desk.b, app.desk.card) == (1, "dli")
        assert "▲ 557 nm" in screen(app)
        assert "by band" in screen(app)
        await pilot.press("v")
        assert app.desk.apart
        await pilot.press("escape", ".", "enter")
        assert (app.desk.apart, app.desk.a) == (False, 1)
        await pilot.press(":", "4", "5", "3", "enter", "y")
        assert app.desk.nm == 453
        await pilot.press("q")

    assert drive(app, use).return_code == 0


def test_two_files_named_stand_side_by_side(scans: Path) -> None:
    app = build([str(scans / "1-new.csv"), str(scans / "2-aged.csv")], Terminal())
    assert (app.desk.a, app.desk.b) == (0, 1)
    with pytest.raises(FileError):
        build([str(scans / "nowhere.csv")], Terminal())
    assert len(build([str(scans / "nowhere.csv"), str(scans / "1-new.csv")], Terminal()).desk.rows) == 2


def test_conditions_that_differ_are_told_when_a_pane_is_filled(scans: Path) -> None:
    for name, metres in (("1-new.csv", "0.3"), ("2-aged.csv", "0.4")):
        text = (scans / name).read_text(encoding="utf-8")
        (scans / name).write_text(text.replace("# place", f"# distance_m: {metres}\n# place"), encoding="utf-8")
    assert (
        build([str(scans / "1-new.csv"), str(scans / "2-aged.csv")], Terminal()).desk.news == "1 condition differs: c"
    )
    app = build([str(scans)], Terminal())

    async def use(pilot: Any) -> None:
        await pilot.press("down", "b")
        assert app.desk.news == "y scale held at 0.7   B put from 2/4   1 condition differs: c"

    drive(app, use)


def test_lists_pages_and_the_way_back(scans: Path) -> None:
    app = build([str(scans)], Terminal())

    async def use(pilot: Any) -> None:
        await pilot.press("?")
        assert "On the desk" in screen(app)
        await pilot.press("pagedown", "pagedown", "escape", "i")
        assert "photosynthetic photon flux density" in screen(app)
        assert "ANSI/ASABE S640" in screen(app)
        assert "the scan covers 380-800 nm" in screen(app)
        await pilot.press("escape", "c")
        assert "Pane B is empty" in screen(app)
        await pilot.press("escape", "/", *"aged", "enter")
        assert app.desk.cursor == 1
        await pilot.press("b", "c")
        assert "distance_m" in screen(app)
        await pilot.press("escape", "g", "down", "enter")
        assert "dark unsaid" in screen(app)
        assert "4-broken.csv" in screen(app)
        # The palette runs any action; the words of the last time are there and are replaced by new ones.
        await pilot.press("escape", "p", *"whole range", "enter")
        assert app.desk.news == "380-800 nm"
        await pilot.press("p")
        assert "whole range" in screen(app)
        await pilot.press(*"energy", "enter")
        assert app.desk.view.axis == "photon"

    drive(app, use)


def test_typed_ahead_keys_reach_the_screen_they_are_meant_for(scans: Path) -> None:
    app = build([str(scans)], Terminal())

    async def use(pilot: Any) -> None:
        from textual import events

        for key, character in (("x", "x"), ("down", None), ("enter", "\r"), ("escape", None), ("full_stop", ".")):
            app.post_message(events.Key(key, character))
        for _ in range(20):
            await pilot.pause()
        assert "dli" not in app.desk.cards
        assert app.desk.a == 1

    drive(app, use)


def test_a_key_held_draws_once(scans: Path) -> None:
    app = build([str(scans)], Terminal())

    async def use(pilot: Any) -> None:
        from textual import events

        desk_screen: Any = app.screen
        draw, draws = desk_screen.draw, []
        desk_screen.draw = lambda: (draws.append(app.desk.nm), draw())
        for _ in range(5):
            app.post_message(events.Key("right", None))
        await pilot.pause()
        await pilot.pause()
        assert draws == [560]

    drive(app, use)


def test_cards_stay_changed_after_a_restart(scans: Path) -> None:
    app = build([str(scans)], Terminal())

    async def use(pilot: Any) -> None:
        await pilot.press("x", "down", "enter", "down", "right", "k", *"mine", "enter", "escape")

    drive(app, use)
    expected = ("ppfd", "share_blue", "share_far_red", "share_red", "r_fr")
    assert app.desk.cards == expected
    again = build([str(scans)], Terminal())
    assert again.desk.cards == expected
    assert again.sets.current == "mine"


def test_a_set_of_cards_goes_only_when_its_key_comes_twice(scans: Path) -> None:
    app = build([str(scans)], Terminal())

    async def use(pilot: Any) -> None:
        await pilot.press("x", "k", *"mine", "enter", "r", "down")
        assert app.sets.current == "mine"
        assert "daily light integral: PPFD kept for the photoperiod" in screen(app).splitlines()[-2]
        assert " µmol m⁻² s⁻¹  photosynthetic" in screen(app)
        # Every key of this screen is told, at 80 columns too.
        assert "k keep   r remove   esc back" in screen(app)
        await pilot.press("r")
        assert "r again removes set mine" in screen(app)
        await pilot.press("r")
        assert app.sets.current == "default"

    drive(app, use, (80, 24))


def test_a_page_of_other_scans_begins_at_its_top(scans: Path) -> None:
    app = build([str(scans)], Terminal())

    async def use(pilot: Any) -> None:
        await pilot.press("?", "pagedown", "escape", "?")
        assert "On the desk" not in screen(app)
        await pilot.press("escape", "full_stop", "?")
        assert "On the desk" in screen(app)

    drive(app, use, (80, 24))


def test_why_a_text_was_refused_goes_with_its_field(scans: Path) -> None:
    app = build([str(scans)], Terminal())

    async def use(pilot: Any) -> None:
        await pilot.press("colon", "9", "enter")
        assert "expected a wavelength of 380-800 nm" in screen(app)
        await pilot.press("escape")
        assert "expected" not in screen(app)
        await pilot.press("p")
        assert "24 more below" in screen(app)

    drive(app, use, (80, 24))


def test_a_unit_is_assigned_kept_beside_the_file_and_taken_back(scans: Path) -> None:
    path = scans / "3-relative.csv"
    before = path.read_bytes()
    app = build([str(path)], Terminal())

    async def use(pilot: Any) -> None:
        assert app.desk.result_a["ppfd"].value is None  # type: ignore[index]
        await pilot.press("u", *"W/m2/nm", "enter")
        assert app.desk.news == "unit W/m2/nm assigned by you, kept in 3-relative.csv.spectui.toml"
        assert app.desk.result_a["ppfd"].value == pytest.approx(741, abs=2)  # type: ignore[index]
        await pilot.press("r")
        assert "W/m2/nm, assigned by you" in screen(app)
        await pilot.press("escape")

    drive(app, use, (80, 24))
    assert path.read_bytes() == before
    assert (scans / "3-relative.csv.spectui.toml").exists()
    again = build([str(path)], Terminal())

    async def take_back(pilot: Any) -> None:
        assert again.desk.scan_a.absolute  # type: ignore[union-attr]
        await pilot.press("u", *"relative again", "enter")
        assert "relative again" in again.desk.news
        assert not again.desk.scan_a.absolute  # type: ignore[union-attr]

    drive(again, take_back, (80, 24))
    declared = build([str(scans / "1-new.csv")], Terminal())

    async def declared_unit(pilot: Any) -> None:
        await pilot.press("u")
        assert "declares its unit" in declared.desk.news

    drive(declared, declared_unit)


def test_what_is_shown_is_written_and_nothing_overwritten(
    scans: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    app = build([str(scans / "1-new.csv"), str(scans / "2-aged.csv")], Terminal())

    async def use(pilot: Any) -> None:
        await pilot.press("w", "enter")
        assert app.desk.news == f"written to {tmp_path / '1-new-2-aged.txt'}"
        await pilot.press("w")
        assert "1-new-2-aged-2.txt" in screen(app)
        await pilot.press(*["backspace"] * 40, *"1-new-2-aged.txt", "enter")
        assert app.desk.news.endswith("is there already: type another name")
        assert "is there already: type another name" in screen(app)
        assert app.screen.field is not None  # type: ignore[attr-defined]
        await pilot.press("escape")

    drive(app, use)
    text = (tmp_path / "1-new-2-aged.txt").read_text(encoding="utf-8")
    for words in ("White bar, new", "▲ 555 nm", "by band", "PPFD", "−10", "µmol m⁻² s⁻¹", "Conditions that differ"):
        assert words in text
    assert [path.name for path in tmp_path.glob("*.txt")] == ["1-new-2-aged.txt"]


def test_a_theme_and_hours_are_remembered(scans: Path) -> None:
    app = build([str(scans)], Terminal())

    async def use(pilot: Any) -> None:
        await pilot.press("t", *"daylight", "enter", "d", *"16", "enter")
        assert app.paint.theme.name == "daylight"
        assert "DLI 16 h" in screen(app)

    drive(app, use)
    again = build([str(scans)], Terminal())
    assert (again.paint.theme.name, again.desk.hours) == ("daylight", 16)


def test_a_clashing_keymap_and_a_bad_theme_are_told(scans: Path, settings: Path) -> None:
    settings.mkdir(parents=True)
    (settings / "keys.toml").write_text('fit = "a"\n', encoding="utf-8")
    (settings / "desk.toml").write_text('theme = "dusk"\n', encoding="utf-8")
    (settings / "limits.toml").write_text("dark_age_min = -1\n", encoding="utf-8")
    app = build([str(scans)], Terminal())

    async def use(pilot: Any) -> None:
        assert "+2 more on ?: theme 'dusk' is not there" in screen(app)
        await pilot.press("?")
        assert "fit = 'a' clashes with put_a; fit keeps y" in " ".join(screen(app).split())
        assert "dark_age_min" in screen(app)
        (settings / "themes").mkdir()
        (settings / "themes" / "mine.toml").write_text('ribbon = "blue"\n', encoding="utf-8")
        await pilot.press("escape", "t", *"mine", "enter")
        assert f"theme themes{os.sep}mine.toml: ribbon is 'blue'" in screen(app)
        await pilot.press("?")
        assert 'expected "colour" or "dim"; showing night' in " ".join(screen(app).split())

    drive(app, use)


@pytest.mark.parametrize("size", [(80, 24), (60, 10), (200, 50)])
def test_every_size_and_a_change_of_it(scans: Path, size: tuple[int, int]) -> None:
    app = build([str(scans)], Terminal(ascii=True, depth="16"))

    async def use(pilot: Any) -> None:
        await pilot.press("down", "b", "s", "s", "x", "escape")
        await pilot.resize_terminal(70, 20)
        await pilot.pause()
        assert "needs 80 x 24" in screen(app)
        before = app.desk.a
        await pilot.press("full_stop", "w", "x")  # nothing happens unseen
        assert (app.desk.a, app.screen.field, len(app.screen_stack)) == (before, None, 1)
        await pilot.resize_terminal(100, 40)
        await pilot.pause()
        assert "needs" not in screen(app)
        assert screen(app).isascii()

    drive(app, use, size)
