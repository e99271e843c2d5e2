"""Text of a file made safe for a terminal (by hand, from the Unicode code charts' own ranges)."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spectui.files.safe import safe, shown

CASES = [
    ("plain µ² text", "plain µ² text", "plain \\xb5\\xb2 text"),
    ("\x1b[31mred", "\ufffd[31mred", "\\x1b[31mred"),
    ("a\tb\nc\rd", "a\ufffdb\ufffdc\ufffdd", "a\\x09b\\x0ac\\x0dd"),
    ("\x7f\x9b", "\ufffd\ufffd", "\\x7f\\x9b"),
    ("\u202eabc\u2069", "\ufffdabc\ufffd", "\\u{202e}abc\\u{2069}"),
    ("zero\u200bwidth\u200d\ufeff", "zero\ufffdwidth\ufffd\ufffd", "zero\\u{200b}width\\u{200d}\\u{feff}"),
    ("[b]markup[/b]", "[b]markup[/b]", "[b]markup[/b]"),
    ("\U0001f4a1", "\U0001f4a1", "\\u{1f4a1}"),
    ("\ud800", "\ufffd", "\\u{d800}"),
    ("\u2028\u2029", "\ufffd\ufffd", "\\u{2028}\\u{2029}"),
    ("\U000e0041", "\ufffd", "\\u{e0041}"),
]


@pytest.mark.parametrize(("text", "wide", "narrow"), CASES)
def test_each_kind_of_character(text: str, wide: str, narrow: str) -> None:
    assert safe(text) == wide
    assert safe(text, ascii=True) == narrow


@given(st.text(st.characters()))
def test_nothing_of_a_control_or_format_kind_is_left(text: str) -> None:
    shown_text = safe(text)
    assert len(shown_text) == len(text)
    assert not any(unicodedata.category(letter) in ("Cc", "Cs", "Zl", "Zp") for letter in shown_text)
    assert not any(
        unicodedata.bidirectional(letter) in ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
        for letter in shown_text
    )
    assert safe(text, ascii=True).isascii() and safe(text, ascii=True).isprintable()


def test_a_piece_for_a_message_is_cut_and_quoted() -> None:
    assert shown("x" * 100) == "'" + "x" * 39 + "…'"
    assert shown("a\x1bb") == "'a\ufffdb'"
