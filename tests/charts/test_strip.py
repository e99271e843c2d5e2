"""The strip of cards, the note over it, the lines at the foot."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.cells import Form, line_width, plain
from spectui.charts.lines import keys_line, news_line
from spectui.charts.strip import Card, Cell, note_line, strip, unit_shown, window
from tests.charts.scenes import CARDS, KEYS, NOTE

FORMS = [Form(), Form(color=False), Form(ascii=True), Form(ascii=True, color=False)]


def test_the_strip_at_the_design_width() -> None:
    assert [plain(line).rstrip() for line in strip(CARDS[:6], 2, 79)] == [
        "      PPFD         DLI 16 h    blue        red         far red     R:FR",
        " A    412 ±21       23.7       18.2 %      41.0 %       6.2 %      6.6",
        " B    371 ±19       21.4       16.9 %      42.1 %       6.8 %      6.2",
        " B−A  −10 %        −10 %       −1.3 pt     +1.1 pt     +0.6 pt     ≈",
    ]


def test_without_colour_brackets_and_rules_stand_for_the_tile() -> None:
    assert [plain(line).rstrip() for line in strip(CARDS[:6], 2, 79, Form(ascii=True))] == [
        "      PPFD       | DLI 16 h  |[blue]     | red       | far red   | R:FR",
        " A    412 +-21   |  23.7     | 18.2 %    | 41.0 %    |  6.2 %    | 6.6",
        " B    371 +-19   |  21.4     | 16.9 %    | 42.1 %    |  6.8 %    | 6.2",
        " B-A  -10 %      | -10 %     | -1.3 pt   | +1.1 pt   | +0.6 pt   | ~",
    ]
    grounds = {span.ground for line in strip(CARDS, 2, 79, Form(color=False)) for span in line}
    assert grounds == {"bg"}


def test_the_selected_card_is_one_tile_of_eleven_cells_on_which_nothing_is_dim() -> None:
    for line in strip(CARDS[:6], 2, 79):
        tile = [span for span in line if span.ground == "selected"]
        assert sum(len(span.text) for span in tile) == 11 and not any(span.ink == "dim" for span in tile)
        before = line[: line.index(tile[0])]
        assert line_width(before) == 30


@settings(deadline=None)
@given(
    st.integers(20, 200),
    st.integers(0, 7),
    st.sampled_from(FORMS),
    st.integers(1, 8),
    st.sampled_from(["AB", "A", "B"]),
)
def test_widths_and_the_selected_card_in_view(width: int, selected: int, form: Form, count: int, tags: str) -> None:
    cards = CARDS[:count]
    selected = min(selected, count - 1)
    lines = strip(cards, selected, width, form, tags)
    assert [line_width(line) for line in lines] == [width] * (1 + {"AB": 3, "A": 1, "B": 2}[tags])
    first, last = window(count, selected, width)
    assert first <= selected < last
    assert cards[selected].name in plain(lines[0])
    assert (f"{count - last}›" in plain(lines[0]) or f"{count - last}>" in plain(lines[0])) == (last < count)


def test_one_scan_has_one_row() -> None:
    alone = [card._replace(b=None, difference=None) for card in CARDS]
    assert len(strip(alone, 0, 79)) == 2


def test_what_does_not_fit_a_card_is_left_out_whole() -> None:
    card = Card("wide", Cell("12\u2009345.67", "±1\u2009234", "µmol m⁻² s⁻¹"))
    text = plain(strip([CARDS[0], card], None, 60)[1])
    assert "12\u2009345.67" in text and "±1" not in text and "µmol" not in text


def test_cards_before_and_after_are_counted() -> None:
    assert plain(strip(CARDS, 0, 58)[0]).rstrip().endswith("4›")
    assert plain(strip(CARDS, 7, 58)[0]).startswith(" ‹4 ")


def test_the_note_is_ruled_where_there_is_no_panel() -> None:
    assert plain(note_line(NOTE, 79)).lstrip() == NOTE + " " and len(plain(note_line(NOTE, 79))) == 79
    assert plain(note_line(NOTE, 79, Form(ascii=True))).endswith("- umol/m2/s, k = 2, ~ within +- ")


def test_keys_keep_help_and_fit() -> None:
    assert plain(keys_line(KEYS, 80)).rstrip() == (", . A 3/14   a b put   s shelf   g go   / find   x card   ? keys")
    for width in range(8, 90):
        line = plain(keys_line(KEYS, width))
        assert len(line) == width and "? keys" in line


def test_news_is_safe_and_cut() -> None:
    assert plain(news_line(["y scale held at 0.7", "", "B put"], 60)).rstrip() == "y scale held at 0.7   B put"
    assert plain(news_line(["a\x1b[31m\nb"], 20)).rstrip() == "a\ufffd[31m\ufffdb"
    assert plain(news_line(["x" * 50], 20)) == "x" * 19 + "…"


def test_a_unit_without_room_is_known_to_be_missing() -> None:
    card = Card("irradiance", Cell("52.04", unit="W m⁻²"), Cell("44.97", unit="W m⁻²"), Cell("−14", unit="%"))
    assert not unit_shown(card, 0)  # the difference pushes the numbers to the right
    assert unit_shown(card._replace(difference=None), 0) and not unit_shown(card._replace(difference=None), 1)
    assert unit_shown(card._replace(a=Cell("52", unit="W m⁻²"), b=None, difference=None), 1)
    assert unit_shown(Card("UV", Cell("–")), 1)


def test_the_count_of_cards_stands_clear_of_the_last_name() -> None:
    cards = [Card("green flux", Cell("113.1"))] * 9
    assert plain(strip(cards, 0, 79)[0]).rstrip().endswith("green f… 3›")
