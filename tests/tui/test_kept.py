"""What is kept from one start to the next: cards, theme, hours."""

from __future__ import annotations

from pathlib import Path

from spectui import cards
from spectui.core.metrics import FIRST_CARDS, catalogue
from spectui.tui import memory

KNOWN = catalogue()


def test_cards_come_back_in_their_order_and_their_sets() -> None:
    assert cards.load(KNOWN) == (cards.Cards(), ())
    mine = cards.Cards().changed(("r_fr", "ppfd")).kept('for "mums"').changed(("ppfd", "dli", "b_r"))
    assert cards.save(mine) is None
    assert cards.load(KNOWN) == (mine, ())
    assert cards.load(KNOWN)[0].keys == ("ppfd", "dli", "b_r")
    assert mine.next().keys == ("r_fr", "ppfd")
    assert mine.dropped().sets == {"default": FIRST_CARDS} or mine.dropped().current == "default"


def test_what_is_wrong_in_the_file_is_told(settings: Path) -> None:
    settings.mkdir(parents=True)
    (settings / "cards.toml").write_text(
        'current = "gone"\n[sets]\na = ["ppfd", "nonsense"]\nb = 3\nc = []\n', encoding="utf-8"
    )
    found, told = cards.load(KNOWN)
    assert found.keys == FIRST_CARDS
    assert found.sets["a"] == ("ppfd",)
    assert len(told) == 4
    (settings / "cards.toml").write_text("current = ", encoding="utf-8")
    found, told = cards.load(KNOWN)
    assert found == cards.Cards()
    assert "cards.toml" in told[0]


def test_theme_and_hours_come_back() -> None:
    assert memory.load() == (memory.Memory(), ())
    assert memory.save(memory.Memory("daylight", 16.5)) is None
    assert memory.load() == (memory.Memory("daylight", 16.5), ())
    assert memory.save(memory.Memory("daylight", None)) is None
    assert memory.load() == (memory.Memory("daylight", None), ())


def test_a_malformed_memory_is_told(settings: Path) -> None:
    settings.mkdir(parents=True)
    (settings / "desk.toml").write_text('theme = 3\nhours = "many"\n', encoding="utf-8")
    found, told = memory.load()
    assert found == memory.Memory()
    assert len(told) == 2


def test_a_folder_that_cannot_be_written_is_told(settings: Path) -> None:
    settings.parent.mkdir(parents=True, exist_ok=True)
    settings.write_text("a file where the folder should be", encoding="utf-8")
    assert "not kept" in (cards.save(cards.Cards()) or "")
    assert "not kept" in (memory.save(memory.Memory()) or "")
