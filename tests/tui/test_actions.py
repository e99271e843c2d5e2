"""The table of actions, and the user's own keys over it."""

from __future__ import annotations

from pathlib import Path

import pytest

from spectui.charts.cells import Form, plain
from spectui.tui import keymap, pages
from spectui.tui.actions import ACTIONS, BY_ID, CARDS, DESK, FOOTER, LIST, PAGE, PEOPLE, WIDE_FOOTER, markdown, rows
from spectui.tui.keymap import NAMED, build
from spectui.tui.moves import MOVES
from spectui.tui.screens.cards import CardsScreen
from spectui.tui.screens.choice import Choice
from spectui.tui.screens.desk import DeskScreen
from spectui.tui.screens.page import Page
from spectui.tui.screens.people import PeopleScreen
from spectui.tui.state import Desk

SCREENS = {DESK: DeskScreen, LIST: Choice, CARDS: CardsScreen, PAGE: Page, PEOPLE: PeopleScreen}


def test_ids_are_unique_and_the_default_keys_do_not_clash() -> None:
    assert len(BY_ID) == len(ACTIONS)
    for where in SCREENS:
        keys = [key for action in ACTIONS if action.where == where for key in action.keys]
        assert len(keys) == len(set(keys)), where


@pytest.mark.parametrize("action", ACTIONS, ids=lambda action: action.id)
def test_every_action_can_be_run_and_has_plain_keys(action: object) -> None:
    assert action.id in MOVES or hasattr(SCREENS[action.where], f"do_{action.id}")  # type: ignore[attr-defined]
    for key in action.keys:  # type: ignore[attr-defined]
        assert key in NAMED or len(key) == 1
        assert not key.isupper() or len(key) > 1


def test_footer_help_and_readme_come_from_the_table() -> None:
    assert len(FOOTER) <= 7
    for ids, _ in (*FOOTER, *WIDE_FOOTER):
        assert all(BY_ID[name].where == DESK for name in ids)
    listed = [name for _, entries in rows() for _, name, _ in entries]
    assert sorted(listed) == sorted(BY_ID)
    table = markdown()
    assert all(f"`{name}`" in table for name in BY_ID)


def test_the_users_keys_are_taken() -> None:
    found = build({"fit": "f", "step_on": [">", "."], "quit": "f10"})
    assert found.news == ()
    assert found.action("f", DESK) == "fit"
    assert found.action("y", DESK) is None
    assert found.action(">", DESK) == "step_on"
    assert found.action("f10", DESK) == "quit"


def test_a_swap_is_no_clash() -> None:
    found = build({"put_a": "b", "put_b": "a"})
    assert found.news == ()
    assert (found.action("b", DESK), found.action("a", DESK)) == ("put_a", "put_b")


def test_a_clash_is_told_and_the_loser_keeps_its_default() -> None:
    found = build({"fit": "a"}, "keys.toml")
    assert found.news == ("keys.toml: fit = 'a' clashes with put_a; fit keeps y",)
    assert found.action("a", DESK) == "put_a"
    assert found.action("y", DESK) == "fit"


def test_two_changed_actions_on_one_key_the_later_loses() -> None:
    found = build({"fit": "f", "go": "f"})
    assert found.action("f", DESK) == "fit"
    assert found.action("g", DESK) == "go"
    assert len(found.news) == 1


def test_a_loser_whose_default_was_taken_takes_it_back() -> None:
    found = build({"go": "y", "fit": "a"})
    assert (found.action("a", DESK), found.action("y", DESK), found.action("g", DESK)) == ("put_a", "fit", "go")
    assert len(found.news) == 2


def test_a_key_of_another_kind_of_screen_is_no_clash() -> None:
    assert build({"page_back": ["esc", "y"]}).news == ()


@pytest.mark.parametrize(
    ("table", "told"),
    [
        ({"fitt": "f"}, "unknown action 'fitt'"),
        ({"fit": "ctrl+f"}, "unknown key 'ctrl+f'"),
        ({"fit": ""}, "unknown key ''"),
        ({"fit": []}, "unknown key"),
        ({"fit": 3}, "unknown key 3"),
        ({"fit": {"key": "f"}}, "unknown key"),
    ],
)
def test_what_is_unknown_is_told(table: dict[str, object], told: str) -> None:
    found = build(table)
    assert told in found.news[0]
    assert found.action("y", DESK) == "fit"


def test_a_broken_file_is_told(tmp_path: Path) -> None:
    path = tmp_path / "keys.toml"
    path.write_text("fit = \n", encoding="utf-8")
    found = keymap.load(path)
    assert "not read as TOML" in found.news[0]
    assert found.keys == build({}).keys
    assert keymap.load(tmp_path / "none.toml").news == ()


@pytest.mark.parametrize("own", [{}, {"page_page_down": ["pagedown", "space", "f12"], "fit": "Y"}])
def test_the_keys_screen_stands_in_columns_at_80(own: dict[str, object]) -> None:
    chosen = build(own).keys
    lines = [plain(line) for line in pages.keys(Desk(), chosen, (), 80, Form())]
    assert max(map(len, lines)) <= 80
    found = {name: next(line.index(f" {name} ") for line in lines if f" {name} " in line) for name in BY_ID}
    assert len(set(found.values())) == 1  # names stand under each other, clear of the longest keys
    assert all(" ".join(chosen[name]) in "\n".join(lines) for name in BY_ID)
