"""The heads: trust words whole at every width, B saying only what differs, titles that cannot act on the terminal."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.cells import Form, line_width, plain
from spectui.charts.heads import Head, head, heads, pane_heads
from tests.charts.lights import A, B

HEAD_A, HEAD_B = head(A, "trust ok", False), head(B, "doubt: dark 47 min old", True)


def test_two_heads_at_the_design_width() -> None:
    first, second = (plain(line) for line in heads(HEAD_A, HEAD_B, 79))
    assert first == ("A ██ White bar, new       bay 3 bench 2  2026-03-14 09:12             trust ok ")
    assert second == ("B ⠒⠒ White bar, 3 years   same place     09:20          doubt: dark 47 min old ")


def test_ascii_and_position() -> None:
    lines = heads(HEAD_A._replace(position="3/14"), HEAD_B, 100, Form(ascii=True))
    assert plain(lines[0]).startswith("A :: 3/14 White bar, new     ")
    assert plain(lines[1]).startswith("B **      White bar, 3 years ")


def test_doubt_is_bold_on_a_raised_ground_and_trust_is_dim() -> None:
    first, second = heads(HEAD_A, HEAD_B, 79)
    assert (first[-1].ink, first[-1].bold, first[-1].ground) == ("dim", False, "bg")
    assert (second[-1].text, second[-1].ink, second[-1].bold, second[-1].ground) == (
        " doubt: dark 47 min old ", "bright", True, "selected",
    )  # fmt: skip
    assert heads(HEAD_A, HEAD_B, 79, Form(color=False))[1][-1].ground == "bg"


WORDS = st.text(st.characters(codec="utf-8"), max_size=60)


@settings(max_examples=150, deadline=None)
@given(st.integers(36, 140), WORDS, WORDS, WORDS, st.booleans())
def test_the_trust_words_are_never_cut(width: int, title: str, place: str, when: str, narrow: bool) -> None:
    trust = "doubt: dark 47 min old"
    form = Form(ascii=narrow)
    one, two = Head(title, trust, True, place, when, "09:12", "3/14"), Head(title, "trust ok", False, place, when)
    lines = [*heads(one, two, width, form), *pane_heads("B", one, width, form, two)]
    for line in lines:
        assert line_width(line) == width
        text = plain(line)
        assert not any(ord(c) < 32 or 0x7F <= ord(c) < 0xA0 for c in text)
        if narrow:
            assert text.isascii()
    assert trust in plain(lines[0]) and "trust ok" in plain(lines[1]) and trust in plain(lines[2])


def test_the_place_is_cut_first_then_the_title_in_its_middle() -> None:
    long = HEAD_A._replace(title="White bar, a long title, bench 12", place="a greenhouse far away")
    at = {width: plain(heads(long, None, width)[0]) for width in (100, 80, 60, 50)}
    assert "White bar, a long title, bench 12   a greenhouse far away  2026-03-14 09:12" in at[100]
    assert "White bar, a long title, bench 12   a greenhou…  2026-03-14 09:12 trust ok" in at[80]
    assert "greenhouse" not in at[60] and "…" in at[60] and "bench 12   2026-03-14 09:12" in at[60]
    assert "2026-03-14 09:12" in at[50] and "trust ok" in at[50]


def test_b_says_another_day_in_full_and_no_time_where_there_is_none() -> None:
    other = HEAD_B._replace(date="2026-03-15")
    assert "2026-03-15 09:20" in plain(heads(HEAD_A, other, 90)[1])
    assert "same time" in plain(heads(HEAD_A, HEAD_A, 79)[1])
    assert plain(heads(HEAD_A, Head("x", "trust ok"), 79)[1]).split() == ["B", "⠒⠒", "x", "trust", "ok"]


def test_the_two_lines_over_a_pane() -> None:
    first, second = (plain(line) for line in pane_heads("B", HEAD_B, 58, reference=HEAD_A))
    assert first == "B ⠒⠒ White bar, 3 years            doubt: dark 47 min old "
    assert second.rstrip() == "     same place   09:20"
    positioned = plain(pane_heads("A", HEAD_A._replace(position="3/14"), 58)[0])
    assert positioned.startswith("A ██ White bar, new   3/14  ")


def test_a_time_is_shown_as_the_file_says_it() -> None:
    assert (HEAD_A.date, HEAD_A.time) == ("2026-03-14", "09:12")
    assert head(A.with_(meta={"title": "x"}), "trust ok", False)[3:6] == ("", "", "")
