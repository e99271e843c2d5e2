"""The desk's state: every action without a screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from spectui.tui import loading, moves
from spectui.tui.moves import MOVES
from spectui.tui.rows import Row
from spectui.tui.state import Desk
from tests.tui.invented import write_scan


def desk_of(folder: Path) -> Desk:
    files = loading.found([str(folder)])
    desk = Desk(rows=[Row(Path(file.path)) for file in files], folder=folder.name)
    desk.take([(Path(file.path), loading.read(file)) for file in files])
    return desk


@pytest.fixture
def desk(scans: Path) -> Desk:
    return desk_of(scans)


def test_the_first_scan_goes_into_a_and_a_broken_file_hides_no_other(desk: Desk) -> None:
    assert [row.name for row in desk.rows] == ["White bar, new", "White bar, aged", "No unit", "4-broken.csv"]
    assert (desk.a, desk.b, desk.position) == (0, None, "1/4")
    assert desk.rows[3].error is not None
    assert "line" in desk.rows[3].error


def test_stepping_passes_over_what_is_no_scan_and_stops_at_the_ends(desk: Desk) -> None:
    for expected in (1, 2, 2):
        desk.step(+1)
        assert desk.a == expected
    assert desk.news == "this is the last scan of the shelf"
    for expected in (1, 0, 0):
        desk.step(-1)
        assert desk.a == expected
    assert "first" in desk.news


def test_the_scale_holds_until_it_is_fitted(desk: Desk, scans: Path) -> None:
    top = desk.view.top
    desk.step(+1)
    assert desk.view.top == top
    assert "y scale held at 0.7" in desk.news
    desk.fit()
    assert desk.view.top == 0.6
    desk.step(+1)  # another unit: there is no scale to hold
    assert desk.view.top == 1.4
    assert "held" not in desk.news


def test_b_is_held_while_a_walks_and_is_taken_out_by_the_same_key(desk: Desk) -> None:
    desk.move(+1)
    desk.put_b(desk.cursor)
    assert desk.scan_b is desk.rows[1].scan
    desk.step(+2)
    assert (desk.a, desk.b) == (2, 1)
    assert desk.comparison is not None
    desk.cursor = 1
    desk.put_b(desk.cursor)
    assert desk.b is None
    assert desk.comparison is None


def test_an_empty_shelf_says_so(tmp_path: Path) -> None:
    desk = desk_of(tmp_path)
    desk.step(+1)
    assert desk.news == "the shelf is empty"


def test_a_broken_file_is_told_and_not_put(desk: Desk) -> None:
    desk.put_a(3)
    assert desk.a == 0
    assert desk.news == desk.rows[3].error


def test_a_file_of_several_scans_moves_the_panes_with_it(tmp_path: Path) -> None:
    write_scan(tmp_path / "b.csv", "later")
    (tmp_path / "a.csv").write_text("# unit: W/m2/nm\nnm,one,two\n400,1,2\n500,1,2\n600,1,2\n", encoding="utf-8")
    desk = Desk(rows=[Row(tmp_path / "a.csv"), Row(tmp_path / "b.csv")])
    files = loading.found([str(tmp_path)])
    desk.take([(tmp_path / "b.csv", loading.read(files[1]))])
    desk.put_b(desk.cursor)
    assert (desk.a, desk.b, desk.cursor) == (1, 1, 1)
    desk.take([(tmp_path / "a.csv", loading.read(files[0]))])
    assert len(desk.rows) == 3
    assert (desk.a, desk.b, desk.cursor) == (2, 2, 2)
    assert desk.rows[desk.cursor].name == "later"


def test_a_file_that_is_no_scan_leaves_no_row(tmp_path: Path) -> None:
    desk = Desk(rows=[Row(tmp_path / "a"), Row(tmp_path / "b")], cursor=1)
    desk.take([(tmp_path / "a", [])])
    assert [row.path.name for row in desk.rows] == ["b"]
    assert desk.cursor == 0
    desk.take([(tmp_path / "b", [])])
    assert desk.rows == []
    for name, move in MOVES.items():  # an empty desk survives every key
        move(desk)
        assert desk.rows == [], name


def test_the_caret_steps_by_whole_nanometres_within_the_scan(desk: Desk) -> None:
    desk.caret_to(555.4)
    desk.caret(+1)
    assert desk.nm == 556
    desk.caret_to(9000)
    assert desk.nm == 800
    desk.caret(+1)
    assert desk.nm == 800


def test_peaks_and_edges(desk: Desk) -> None:
    desk.caret_to(400)
    MOVES["next_peak"](desk)
    assert desk.nm == pytest.approx(450, abs=1)
    MOVES["next_edge"](desk)
    assert desk.nm == 500
    MOVES["previous_peak"](desk)
    assert desk.nm == pytest.approx(450, abs=1)
    MOVES["previous_peak"](desk)
    assert "no peak of A below" in desk.news
    MOVES["previous_edge"](desk)
    MOVES["previous_edge"](desk)
    assert desk.nm == 400
    assert "no band edge below" in desk.news


@pytest.mark.parametrize(("text", "nm"), [("453", 453), (" 453,5 nm", 453.5), ("453.5", 453.5)])
def test_a_typed_wavelength(desk: Desk, text: str, nm: float) -> None:
    assert desk.type_wavelength(text)
    assert desk.nm == nm


@pytest.mark.parametrize("text", ["", "x", "300", "900", "nan", "inf"])
def test_a_typed_wavelength_out_of_reach_is_told(desk: Desk, text: str) -> None:
    before = desk.nm
    assert not desk.type_wavelength(text)
    assert desk.nm == before
    assert desk.news == "expected a wavelength of 380-800 nm"


def test_zoom_pan_and_the_whole_range(desk: Desk) -> None:
    desk.caret_to(600)
    MOVES["zoom_in"](desk)
    assert desk.view.hi - desk.view.lo == pytest.approx(210)
    MOVES["pan_right"](desk)
    desk.caret_to(400)  # the range follows the caret
    assert desk.view.lo <= 400 <= desk.view.hi
    MOVES["whole"](desk)
    assert (desk.view.lo, desk.view.hi) == (380, 800)


def test_the_range_follows_other_scans_unless_it_was_zoomed(tmp_path: Path) -> None:
    write_scan(tmp_path / "1.csv", "White")
    write_scan(tmp_path / "2.csv", "Short", 0.01, hi=660)
    desk = desk_of(tmp_path)
    desk.step(+1)
    assert (desk.view.lo, desk.view.hi) == (380, 660)
    desk.fit()
    assert desk.news == "y scale fitted, held at 7"  # in mW, as its axis counts
    desk.step(-1)
    assert (desk.view.lo, desk.view.hi) == (380, 800)
    desk.caret_to(450)
    MOVES["zoom_in"](desk)
    zoomed = desk.view
    desk.step(+1)
    assert (desk.view.lo, desk.view.hi) == (zoomed.lo, zoomed.hi)


def test_the_whole_range_and_back(tmp_path: Path) -> None:
    write_scan(tmp_path / "1.csv", "Long", hi=1100)
    desk = desk_of(tmp_path)
    for expected in ((380, 1100), (380, 800), (380, 1100)):
        MOVES["whole"](desk)
        assert (desk.view.lo, desk.view.hi) == expected
    assert desk.news == "380-1100 nm"


def test_the_photon_axis(desk: Desk) -> None:
    MOVES["axis"](desk)
    assert (desk.view.axis, desk.news) == ("photon", "photons per nm")
    MOVES["axis"](desk)
    assert desk.view.axis == "energy"
    desk.step(+2)
    MOVES["axis"](desk)
    assert "absolute unit" in desk.news


def test_hours_set_the_dli(desk: Desk) -> None:
    result = desk.result_a
    assert result is not None
    assert result["dli"].value is None
    assert result["dli"].unavailable
    assert desk.set_hours("16 h")
    again = desk.result_a
    assert again is not None
    assert again["dli"].value == pytest.approx(again["ppfd"].value * 16 * 0.0036)  # type: ignore[operator]
    for text in ("25", "-1", "x", "nan"):
        assert not desk.set_hours(text)
    assert desk.hours == 16
    assert desk.set_hours("0")
    assert desk.hours is None


def test_cards_are_selected_in_a_circle_and_stay_selected(desk: Desk) -> None:
    desk.take_cards(("ppfd", "r_fr", "share_red"))
    desk.select(-1)
    assert desk.card == "share_red"
    desk.take_cards(("share_red", "ppfd"))
    assert desk.card == "share_red"
    desk.take_cards(("ppfd",))
    assert desk.card == "ppfd"


def test_apart_says_why_not(desk: Desk) -> None:
    moves.apart(desk, 120)
    assert (desk.apart, desk.news) == (False, "apart needs a scan in pane B")
    desk.put_b(1)
    moves.apart(desk, 80)
    assert (desk.apart, desk.news) == (False, "apart needs 100 columns, here are 80")
    moves.apart(desk, 120)
    assert desk.apart
    moves.apart(desk, 80)
    assert not desk.apart


def test_a_relative_scan_beside_an_absolute_one(desk: Desk) -> None:
    desk.put_b(2)
    assert desk.comparison is not None
    assert desk.comparison.rows["ppfd"].difference[1] is None
    assert desk.comparison.rows["share_blue"].difference[1] is not None


def test_a_reader_that_fails_hides_no_other_file(scans: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(file: object, unit: str | None = None) -> object:
        raise RuntimeError("not foreseen")

    monkeypatch.setattr(loading, "load", fails)
    (row,) = loading.read(loading.found([str(scans / "1-new.csv")])[0])
    assert row.error == "1-new.csv: RuntimeError: not foreseen"


def test_the_worker_stops_when_it_is_told(scans: Path) -> None:
    class Stop:
        is_cancelled = False

    stop = Stop()
    seen = []
    for batch in loading.batches(loading.found([str(scans)]), stop, seconds=0.0):
        seen += batch
        stop.is_cancelled = True
    assert len(seen) == 1
