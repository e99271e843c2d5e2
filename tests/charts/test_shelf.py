"""The rows of the shelf."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.cells import Form, line_width, plain
from spectui.charts.shelf import ShelfRow, shelf_foot, shelf_head, shelf_row, shelf_rows

FORMS = [Form(), Form(color=False), Form(ascii=True)]
ROW = ShelfRow("White bar, aged", "371", "6.2", "doubt", "B", "bay 3 bench 2", "2026-03-14 09:20")


def test_a_row_at_the_shelfs_width() -> None:
    head = [plain(line) for line in shelf_head("bay 3", 14, 38)]
    assert head == ["bay 3" + " " * 24 + "14 scans ".rstrip().rjust(9), "    name              PPFD  R:FR      "]
    assert plain(shelf_row(ROW, False, 38)) == "  B White bar, aged    371   6.2 doubt"
    assert plain(shelf_row(ROW._replace(mark="A", word=""), True, 38)) == "> A White bar, aged    371   6.2      "


def test_the_wide_form_adds_place_and_time() -> None:
    text = plain(shelf_row(ROW, False, 80))
    assert "bay 3 bench 2" in text and "2026-03-14 09:20" in text and text.endswith("371   6.2 doubt")


@settings(deadline=None)
@given(st.text(st.characters(codec="utf-8"), max_size=60), st.integers(30, 120), st.booleans(), st.sampled_from(FORMS))
def test_rows_have_their_width_whatever_the_title(name: str, width: int, at_cursor: bool, form: Form) -> None:
    row = ROW._replace(name=name, place=name)
    lines = [shelf_row(row, at_cursor, width, form), *shelf_head(name, 3, width, form)]
    for line in lines:
        assert line_width(line) == width
        assert not any(ord(c) < 32 or 0x7F <= ord(c) < 0xA0 for c in plain(line))
        if form.ascii:
            assert plain(line).isascii()
    assert plain(lines[0]).endswith("doubt") and "371" in plain(lines[0])


def test_a_faulty_row_and_the_cursor_are_seen_without_colour() -> None:
    line = shelf_row(ROW._replace(word="fault", ppfd="–", ratio="–"), True, 38, Form(color=False))
    assert plain(line).startswith("> B") and plain(line).endswith("fault")
    assert {span.ground for span in line} == {"bg"}
    assert {span.ground for span in shelf_row(ROW, True, 38)} == {"selected"}


def test_only_the_rows_asked_for_are_drawn() -> None:
    rows = [ROW._replace(name=f"scan {i}") for i in range(10_000)]
    lines = [plain(line) for line in shelf_rows(rows, 9_998, 9_999, 4, 38)]
    assert [line.split()[:3] for line in lines] == [["B", "scan", "9998"], [">", "B", "scan"], [], []]


def test_the_foot_counts() -> None:
    assert [plain(line).rstrip() for line in shelf_foot(1, 2, [("place", 3), ("time", 0)], 38)] == [
        "1 fault, 2 doubts", "place unsaid in 3",
    ]  # fmt: skip
    assert plain(shelf_foot(0, 0, [], 38)[0]).rstrip() == "no fault, no doubt"
    assert plain(shelf_foot(0, 1, [], 38, errors=2)[0]).rstrip() == "2 errors, 1 doubt"


def test_a_number_too_wide_is_left_out_and_not_cut() -> None:
    line = plain(shelf_row(ROW._replace(ppfd="27 490 000", ratio="1 103"), False, 38))
    assert "27" not in line and "     … 1 103" in line
