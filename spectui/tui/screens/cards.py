"""Choosing, ordering and keeping the cards of the strip."""

from __future__ import annotations

from spectui import cards
from spectui.charts.cells import Line, Span, cut_end
from spectui.charts.glyphs import glyphs
from spectui.report.numbers import number, unit
from spectui.tui import pages
from spectui.tui.actions import CARDS
from spectui.tui.field import Field
from spectui.tui.screens.page import Page
from spectui.tui.screens.sheet import Sheet


class CardsScreen(Sheet):
    """Every metric in one list, those on the strip first, in their order; parts of a long row (hue bins) stay out."""

    WHERE = CARDS

    def __init__(self, sets: cards.Cards, at: str | None = None) -> None:
        super().__init__("Cards", "")
        self.sets = sets
        self.at = at
        self._first = 0
        self._sure = False  # the set goes when its key comes a second time

    @property
    def order(self) -> list[str]:
        """The keys as listed."""
        chosen = self.sets.keys
        return [*chosen, *(m.key for m in self.host.desk.known.values() if m.key not in chosen and not m.part)]

    @property
    def cursor(self) -> int:
        """Where the cursor is: on a card, not on a row, so that it moves with it."""
        order = self.order
        return order.index(self.at) if self.at in order else 0

    def run(self, action: str) -> None:
        """Run an action; the news of the one before are over."""
        self.news = ""
        self._sure = self._sure and action == "card_drop"
        super().run(action)

    def words(self) -> str:
        """Return the news; while there are none, the definition of the card at the cursor."""
        return self.news or self.host.desk.known[self.order[self.cursor]].definition

    def _move(self, by: int) -> None:
        order = self.order
        self.at = order[max(min(self.cursor + by, len(order) - 1), 0)]

    def do_card_up(self) -> None:
        self._move(-1)

    def do_card_down(self) -> None:
        self._move(+1)

    def do_card_toggle(self) -> None:
        key = self.order[self.cursor]
        chosen = self.sets.keys
        if key not in chosen:
            self._take((*chosen, key), key, f"{key} is on the strip")
        elif len(chosen) > 1:
            order = self.order
            below = order[min(self.cursor + 1, len(order) - 1)]  # the last of all has none when every card is chosen
            self._take(tuple(k for k in chosen if k != key), below, f"{key} is off the strip")
        else:
            self.news = "one card stays on the strip"

    def do_card_earlier(self) -> None:
        self._shift(-1)

    def do_card_later(self) -> None:
        self._shift(+1)

    def _shift(self, by: int) -> None:
        key, chosen = self.order[self.cursor], list(self.sets.keys)
        if key not in chosen:
            self.news = "only cards on the strip have a place"
            return
        at = chosen.index(key)
        to = max(min(at + by, len(chosen) - 1), 0)
        chosen.insert(to, chosen.pop(at))
        self._take(tuple(chosen), key, f"{key} is card {to + 1} of {len(chosen)}")

    def do_card_detail(self) -> None:
        key = self.order[self.cursor]
        desk, form = self.host.desk, self.form
        self.app.push_screen(Page(desk.known[key].name, key, lambda width: pages.detail(desk, key, width, form)))

    def do_card_set(self) -> None:
        self.sets = self.sets.next()
        self._keep(f"set {self.sets.current}, {len(self.sets.sets)} in all")

    def do_card_keep(self) -> None:
        self.ask(Field("name of the set:", self._named, self.end_field))

    def do_card_drop(self) -> None:
        name = self.sets.current
        self._sure = not self._sure
        if self._sure:
            what = "takes back the changes to it" if name == cards.DEFAULT else f"removes set {name}"
            self.news = f"{self.host.keymap.of('card_drop')} again {what}"
            return
        self.sets = self.sets.dropped()
        self._keep("the default set is as at first" if name == cards.DEFAULT else f"set {name} removed")

    def do_card_back(self) -> None:
        self.dismiss(self.at)

    def _named(self, text: str) -> bool:
        name = text.strip()
        if not name:
            self.news = "expected a name"
            return False
        self.sets = self.sets.kept(name)
        self._keep(f"kept as {name}")
        return True

    def _take(self, keys: tuple[str, ...], at: str, news: str) -> None:
        self.sets = self.sets.changed(keys)
        self.at = at
        self._keep(news)

    def _keep(self, news: str) -> None:
        self.host.sets = self.sets
        self.host.desk.take_cards(self.sets.keys)
        self.news = cards.save(self.sets) or news

    def body(self, width: int) -> list[Line]:
        """Return the cards in sight, each with A's value and what it is."""
        self.what = f"set {self.sets.current}"
        desk = self.host.desk
        order, chosen = self.order, self.sets.keys
        self._first = max(min(self._first, self.cursor), self.cursor - self.room + 1, 0)
        rows: list[Line] = []
        for n, key in enumerate(order[self._first : self._first + self.room], self._first):
            here = n == self.cursor
            ground = "selected" if here and self.form.color else "bg"
            metric = desk.known[key]
            value, measure = "", ""
            if desk.result_a is not None:
                found = desk.result_a[key]
                value = glyphs(number(found.value, found.expanded_uncertainty), self.form)
                measure = glyphs(unit(found.unit), self.form) if found.value is not None else ""
            place = f"{chosen.index(key) + 1:>2}" if key in chosen else "  "
            told = cut_end(self.clean(metric.definition), max(width - 51, 10), self.form)
            rows.append(
                (
                    Span("> " if here else "  ", "bright", ground, bold=True),
                    Span(place + "  ", "bright", ground, bold=True),
                    Span(
                        f"{self.clean(metric.name)[:18]:<19}",
                        "bright" if key in chosen else "text",
                        ground,
                        bold=key in chosen,
                    ),
                    Span(f"{value:>10} ", "text", ground),
                    Span(f"{measure:<13} {told}".ljust(max(width - 36, 0)), "dim", ground),
                )
            )
        return rows

    def keys(self) -> list[tuple[str, str]]:
        """Return the keys of this screen."""
        of = self.host.keymap.of
        return [
            (of("card_toggle"), "on/off"),
            (of("card_earlier", "card_later"), "order"),
            (of("card_detail"), "detail"),
            (of("card_set"), "set"),
            (of("card_keep"), "keep"),
            (of("card_drop"), "remove"),
            (of("card_back"), "back"),
        ]
