"""The chooser of cards lists what a strip can hold: not the single numbers of a long row."""

from __future__ import annotations

from types import SimpleNamespace

from spectui.core.metrics import catalogue
from spectui.tui.screens.cards import CardsScreen


def order(*chosen: str) -> list[str]:
    screen = SimpleNamespace(
        sets=SimpleNamespace(keys=chosen), host=SimpleNamespace(desk=SimpleNamespace(known=catalogue()))
    )
    return CardsScreen.order.fget(screen)


def test_hue_bins_and_single_test_colours_stay_out():
    listed = order("ppfd", "r_fr")
    assert listed[:2] == ["ppfd", "r_fr"] and {"ra", "r9", "rf", "cct"} <= set(listed)
    assert not [key for key in listed if catalogue()[key].part]
    assert len(listed) == len(set(listed)) == sum(not m.part for m in catalogue().values())


def test_one_that_a_user_has_on_the_strip_stays_listed():
    assert order("ppfd", "rcs_h1")[:2] == ["ppfd", "rcs_h1"]
