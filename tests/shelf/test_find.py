"""Searching the shelf and counting over it: pure functions, by hand."""

from __future__ import annotations

from pathlib import Path

from spectui.core.scan import DOUBT, FAULT, UNSAID, Flag, Scan
from spectui.shelf.find import matches, search
from spectui.shelf.folder import Entry
from spectui.shelf.tally import Tally, by_folder, tally

BAR = Scan.build([400, 500], [1, 2], meta={"title": "White bar", "place": "Bench 2", "fixture_id": "W-01"})
ROWS = [
    Entry(Path("house/white.csv"), scan=BAR),
    Entry(Path("house/sodium.csv"), scan=Scan.build([400, 500], [1, 2], meta={"title": "Sodium lamp"})),
    Entry(Path("house/broken.csv"), error="line 4: empty"),
]


def test_words_are_looked_for_in_path_title_metadata_and_error():
    assert search(ROWS, "") == [0, 1, 2]
    assert search(ROWS, "house") == [0, 1, 2]
    assert search(ROWS, "WHITE bench") == [0]
    assert search(ROWS, "w-01") == [0]
    assert search(ROWS, "white sodium") == []
    assert search(ROWS, "line 4") == [2]


def test_a_word_does_not_reach_over_two_fields():
    assert matches(ROWS[0], "bar Bench")
    assert matches(ROWS[0], "barBench") is False


PLACE, DARK = Flag("place_unsaid", UNSAID, ""), Flag("dark_unsaid", UNSAID, "")
FAULTY, DOUBTED = Flag("negative", FAULT, ""), Flag("dark_old", DOUBT, "")


def test_faults_and_doubts_are_counted_by_scan_and_facts_by_fact():
    counted = tally([(), (PLACE, DARK), (FAULTY, FAULTY, DOUBTED), (DOUBTED, PLACE)])
    assert counted == Tally(scans=4, faults=1, doubts=2, unsaid={"place": 2, "dark": 1})
    assert counted.unsaid_facts == 3
    assert tally([]) == Tally(0, 0, 0, {})


def test_each_folder_is_counted_apart():
    counted = by_folder([("a", (PLACE,)), ("b", (FAULTY,)), ("a", (PLACE, DARK))])
    assert counted == {"a": Tally(2, 0, 0, {"place": 2, "dark": 1}), "b": Tally(1, 1, 0, {})}
