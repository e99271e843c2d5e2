"""The chooser of cards lists what a strip can hold, not the single numbers of a long row; a card opens to a page."""

from __future__ import annotations

from types import SimpleNamespace

from spectui.cards import Cards
from spectui.charts.cells import Form, plain
from spectui.core.metrics import catalogue, metrics
from spectui.core.scan import Scan
from spectui.tui.pages import detail
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


def test_the_last_of_all_cards_comes_off_too():
    known = catalogue()
    sets = Cards(sets={"default": tuple(known)})
    screen = SimpleNamespace(sets=sets, order=list(known), cursor=len(known) - 1, taken=None)
    screen._take = lambda keys, at, news: setattr(screen, "taken", keys)
    CardsScreen.do_card_toggle(screen)
    assert screen.taken == tuple(known)[:-1]


def test_the_coverage_of_a_card_is_told_without_a_contradiction():
    """A scan of 380-780 nm has nearly all of V(λ), and its own range is no share of anything."""
    scan = Scan.build([380.0, 550.0, 780.0], [1.0, 1.0, 1.0], unit="W/m2/nm")
    result = metrics(scan, ["cct"])[0]
    desk = SimpleNamespace(known=catalogue(), result_a=result, result_b=None, comparison=None)
    told = [plain(row) for row in detail(desk, "cct", 100, Form())]
    coverage = [row for row in told if row.startswith("coverage")]
    assert len(coverage) == 1 and "nearly all of 360-830 nm; the scan covers 380-780 nm" in coverage[0]
