"""Where the panels stand: the rows of the design, and nothing over an edge or over another panel at any size."""

from __future__ import annotations

from itertools import product

import pytest

from spectui.tui.layout import Box, layout, shelf_shown


def test_80_by_24_has_the_designs_rows() -> None:
    found = layout(80, 24, two=True, shelf=False, apart=False, cards=6)
    assert found.boxes == {
        "heads": Box(0, 0, 80, 2),
        "picture": Box(0, 2, 80, 14),  # chart 2-12, ribbon 13, names 14, caret 15
        "strip": Box(0, 16, 80, 5),  # note 16, cards 17-20
        "foot": Box(0, 22, 80, 2),
    }
    assert (found.across, found.strips, found.bars) == (6, 1, False)


def test_120_by_36_has_the_designs_rows() -> None:
    found = layout(120, 36, two=True, shelf=True, apart=False, cards=6)
    assert found.boxes["picture"] == Box(41, 3, 79, 18)  # chart 3-17, ribbon, names and caret 18-20
    assert found.boxes["strip"] == Box(41, 21, 79, 5)  # cards 22-25
    assert found.boxes["bars"] == Box(41, 27, 79, 6)  # 27-32
    assert found.boxes["foot"].y == 34
    assert found.boxes["shelf"] == Box(0, 0, 40, 33)
    assert found.beside


def test_one_scan_gives_its_rows_to_the_chart() -> None:
    one = layout(80, 24, two=False, shelf=False, apart=False, cards=6).boxes
    two = layout(80, 24, two=True, shelf=False, apart=False, cards=6).boxes
    assert one["picture"].height == two["picture"].height + 3


def test_apart_needs_width_and_a_second_scan() -> None:
    assert not layout(99, 36, two=True, shelf=False, apart=True, cards=6).apart
    assert not layout(120, 36, two=False, shelf=False, apart=True, cards=6).apart
    found = layout(120, 36, two=True, shelf=False, apart=True, cards=8)
    assert found.apart
    assert (found.across, found.strips) == (4, 2)
    assert found.pane(found.boxes["picture"]) == 58


def test_below_the_smallest_size_one_panel_is_left() -> None:
    assert layout(79, 24, two=True, shelf=True, apart=False, cards=6).small
    assert set(layout(80, 23, two=True, shelf=True, apart=True, cards=6).boxes) == {"heads"}


@pytest.mark.parametrize("width", [1, 80, 99, 100, 109, 110, 120, 200, 400])
@pytest.mark.parametrize("height", [1, 24, 29, 30, 35, 36, 50, 120])
def test_no_panel_leaves_the_screen_or_covers_another(width: int, height: int) -> None:
    for two, shelf, apart, cards in product((False, True), (False, True), (False, True), (1, 6, 7, 30)):
        found = layout(width, height, two=two, shelf=shelf, apart=apart, cards=cards)
        taken: set[tuple[int, int]] = set()
        for name, box in found.boxes.items():
            assert box.x >= 0
            assert box.y >= 0
            assert box.x + box.width <= width
            assert box.y + box.height <= height
            if name == "shelf" and not found.beside:
                continue
            cells = {(x, y) for x in range(box.x, box.x + box.width) for y in range(box.y, box.y + box.height)}
            assert not taken & cells, (name, width, height, two, shelf, apart, cards)
            taken |= cells
        if not found.small:
            assert found.boxes["picture"].height >= 14


def test_the_shelf_shows_by_itself_where_it_has_room_and_a_choice() -> None:
    assert shelf_shown(None, 120, 2, False)
    assert not shelf_shown(None, 120, 1, False)
    assert not shelf_shown(None, 80, 9, False)
    assert not shelf_shown(None, 120, 9, True)
    assert shelf_shown(True, 80, 9, True)
