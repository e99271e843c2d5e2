"""Cells: widths as a terminal counts them, cuts that never break a character in two, lines of exact width."""

from __future__ import annotations

import itertools
from unicodedata import category, east_asian_width

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.cells import (
    Form,
    Span,
    cell_width,
    cut_end,
    cut_middle,
    fitted,
    line_width,
    merge,
    plain,
)  # fmt: skip
from spectui.files.width import _NARROW

TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=40)


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        ("", 0),
        ("bay 3", 5),
        ("−0.106 µ ²", 10),
        ("温室", 4),
        ("e\u0301te", 3),
        ("ｆｕｌｌ", 8),
        ("⠒█▁╱▲", 5),
        ("a温", 3),
    ],
)
def test_widths(text: str, cells: int) -> None:
    assert cell_width(text) == cells


def test_the_ranges_taken_as_narrow_have_no_wide_or_combining_character() -> None:
    for code in range(0x3000):
        char = chr(code)
        if _NARROW(char) and category(char) != "Cn":
            assert east_asian_width(char) not in "WF" and category(char) not in ("Mn", "Me", "Cf", "Cc"), hex(code)


def test_widths_agree_with_the_screen_library() -> None:
    from rich.cells import cell_len

    for text in ("bay 3 − µ", "温室 A", "ｆｕｌｌ", "⠒⠒██", "Größe", "กำ"):
        assert cell_width(text) == cell_len(text), text


@settings(deadline=None)
@given(TEXTS, st.integers(0, 30), st.booleans())
def test_cuts_fit_and_keep_what_fits(text: str, cells: int, ascii_only: bool) -> None:
    for cut in (cut_end, cut_middle):
        short = cut(text, cells, Form(ascii=ascii_only))
        assert cell_width(short) <= cells
        if cell_width(text) <= cells:
            assert short == text
        if ascii_only and text.isascii():
            assert short.isascii()


def test_a_title_is_cut_in_its_middle() -> None:
    assert cut_middle("White bar, bay 3, bench 12", 15) == "White b…ench 12"
    assert cut_middle("White bar, bay 3, bench 12", 15, Form(ascii=True)) == "White ...nch 12"
    assert cut_end("a long place", 8) == "a long…"


@settings(deadline=None)
@given(st.lists(st.tuples(TEXTS, st.sampled_from(["text", "dim"]), st.sampled_from(["bg", "fill"])), max_size=8),
       st.integers(0, 60))  # fmt: skip
def test_a_fitted_line_has_its_width_and_no_two_equal_neighbours(parts: list[tuple[str, str, str]], width: int) -> None:
    line = fitted([Span(*part) for part in parts], width)
    assert line_width(line) == width
    assert all(one[1:] != other[1:] for one, other in itertools.pairwise(line))


def test_a_blank_takes_its_neighbours_look_but_never_its_ground() -> None:
    joined = merge(
        [Span("  ", "text"), Span("a", "dim"), Span("  ", "text"), Span("b", "dim"), Span(" ", ground="fill")]
    )
    assert [span.text for span in joined] == ["  a  b", " "]
    reversed_ = merge([Span("a", reverse=True), Span("  ")])
    assert len(reversed_) == 2 and plain(reversed_) == "a  "
