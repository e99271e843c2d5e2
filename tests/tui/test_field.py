"""Typing a text in the news row; narrowing a list."""

from __future__ import annotations

from spectui.charts.cells import plain
from spectui.tui.field import Field
from spectui.tui.screens.choice import Item, matching


def typed(*keys: str, text: str = "") -> tuple[Field, list[str]]:
    told: list[str] = []
    field = Field("name:", lambda words: told.append(words) or words != "", lambda: told.append("left"), text)  # type: ignore[func-returns-value]
    for key in keys:
        field.key(key)
    return field, told


def test_keys_edit_the_text() -> None:
    field, _ = typed("a", "b", "c", "left", "left", "x", "space", "home", "delete", "end", "backspace", "f5", "tab")
    assert field.text == "x b"
    assert plain(field.line("")).startswith("name: x b ")


def test_enter_accepts_and_esc_leaves() -> None:
    assert typed("a", "enter")[1] == ["a", "left"]
    assert typed("enter")[1] == [""]  # not taken: the field stays
    assert typed("a", "esc")[1] == ["left"]


def test_why_a_text_was_not_taken_is_told_until_it_changes() -> None:
    field, _ = typed("enter")
    assert "expected a name" in plain(field.line("expected a name"))
    field.key("a")
    assert "expected a name" not in plain(field.line("expected a name"))


def test_pasted_control_characters_stay_out() -> None:
    field, _ = typed()
    field.insert("a\x1b[31m\nb" + "c" * 1000)
    assert field.text.startswith("a[31mbc")
    assert len(field.text) == 500


def test_a_list_is_narrowed_by_every_word() -> None:
    items = [Item(1, "Red bar", "bench 1"), Item(2, "White bar", "bench 1"), Item(3, "Sun", "bar", also="glass")]
    assert [item.value for item in matching(items, "BAR bench")] == [1, 2]
    assert [item.value for item in matching(items, "glass")] == [3]
    # Those that begin with the words come first.
    assert [item.value for item in matching(items, "white")] == [2]
    assert [item.value for item in matching(items, "")] == [1, 2, 3]
    assert matching(items, "nothing") == []
