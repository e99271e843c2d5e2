"""The actions of the desk that open something: a list, a page, a text field."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from spectui.charts.cells import Line
from spectui.core.errors import SpectuiError
from spectui.core.units import UNITS
from spectui.files.safe import safe
from spectui.report.numbers import number
from spectui.tui import memory, pages, themes, writing
from spectui.tui.actions import ACTIONS, DESK
from spectui.tui.field import Field
from spectui.tui.screens.base import KeyScreen
from spectui.tui.state import Desk

# Screens by the question they answer.
QUESTIONS = (
    ("light", "Light", "What light is this, and which is better?"),
    ("trust", "Trust", "Can I trust this scan?"),
    ("people", "People", "How do colours look under it, and what white is it?"),
    ("verify", "Verify", "Does this installation compute what is published?"),
)
RELATIVE_AGAIN = "no unit: relative again"


class Openings(KeyScreen):
    """Mixed into the desk's screen; the modules of other screens are imported when they are first opened."""

    @property
    def desk(self) -> Desk:
        """The state."""
        return self.host.desk

    def hush(self) -> None:
        """Take back what was said."""
        self.desk.news = ""

    def _page(self, title: str, what: str, content: Callable[[int], Sequence[Line]]) -> None:
        from spectui.tui.screens.page import Page

        self.app.push_screen(Page(title, what, content), self._returned)

    def _returned(self, value: object) -> None:
        self.redraw()

    def do_help(self) -> None:
        host, desk = self.host, self.desk
        self._page("Keys", "", lambda width: pages.keys(desk, host.keymap.keys, host.told, width, host.form))

    def do_palette(self) -> None:
        from spectui.tui.screens.choice import Choice, Item

        keys = self.host.keymap.keys
        items = [
            Item(a.id, a.help, "", " ".join(keys[a.id]), a.id) for a in ACTIONS if a.where == DESK and a.id != "palette"
        ]
        screen = Choice(
            "Actions", "enter runs one", items, typed=self.host.typed.get("palette", ""), keep=self._keep("palette")
        )
        self.app.push_screen(screen, lambda action: self.run(str(action)) if action else self.redraw())

    def _keep(self, name: str) -> Callable[[str], None]:
        def keep(words: str) -> None:
            self.host.typed[name] = words

        return keep

    def do_go(self) -> None:
        from spectui.tui.screens.choice import Choice, Item

        items = [Item(value, name, question) for value, name, question in QUESTIONS]
        self.app.push_screen(Choice("Go", "to the screen that answers a question", items), self._went)

    def _went(self, value: object) -> None:
        if value == "trust":
            self.do_trust()
        elif value == "people":
            self.do_people()
        elif value == "verify":
            self.do_verify()
        self.redraw()

    def do_trust(self) -> None:
        desk, form = self.desk, self.host.form
        self._page("Trust", "Can I trust this scan?", lambda width: pages.trusts(desk, width, form))

    def do_people(self) -> None:
        from spectui.tui.screens.people import PeopleScreen, PeopleView

        self.host.people = getattr(self.host, "people", None) or PeopleView()
        self.app.push_screen(PeopleScreen(self.host.people), self._returned)

    def do_verify(self) -> None:
        from spectui.tui.screens.verify import VerifyScreen

        self.app.push_screen(VerifyScreen(), self._returned)

    def do_find(self) -> None:
        from spectui.tui.screens.choice import Choice, Item

        items = []
        for at, row in enumerate(self.desk.rows):
            scan = row.scan
            if scan is None:
                items.append(Item(at, row.name, row.error or "not read yet", also=str(row.path)))
                continue
            ppfd = row.result["ppfd"].value if row.result is not None else None
            taken = (scan.taken_at or "")[:16].replace("T", " ")
            beside = f"PPFD {number(ppfd):>6}   {taken:<16}   {scan.meta.get('place', '')}"
            items.append(Item(at, scan.title, beside, also=" ".join([str(row.path), *scan.meta.values()])))
        typed = self.host.typed.get("find", "")
        screen = Choice(
            "Find", "scans by words of title, place and other facts", items, self.desk.cursor, typed, self._keep("find")
        )
        self.app.push_screen(screen, self._found)

    def _found(self, at: object) -> None:
        if isinstance(at, int):
            self.desk.cursor = at
            name = safe(self.desk.rows[at].name, self.host.form.ascii)
            self.desk.news = (
                f"{name}: {self.host.keymap.of('put_a')} puts it into A, {self.host.keymap.of('put_b')} into B"
            )
        self.redraw()

    def do_cards(self) -> None:
        from spectui.tui.screens.cards import CardsScreen

        self.app.push_screen(CardsScreen(self.host.sets, self.desk.card), self._carded)

    def _carded(self, key: object) -> None:
        if key in self.desk.cards:
            self.desk.selected = self.desk.cards.index(str(key))
        self.redraw()

    def do_detail(self) -> None:
        desk, form, key = self.desk, self.host.form, self.desk.card
        if key is not None:
            title = desk.known[key].name
            self._page(title, key, lambda width: pages.detail(desk, key, width, form))

    def do_conditions(self) -> None:
        desk, form = self.desk, self.host.form
        self._page(
            "Conditions", "Is it fair to compare A and B?", lambda width: pages.condition_rows(desk, width, form)
        )

    def do_wavelength(self) -> None:
        self.ask(Field("wavelength, nm:", self.desk.type_wavelength, self.end_field))

    def do_hours(self) -> None:
        hours = self.desk.hours
        self.ask(Field("hours of light a day, for DLI:", self._hours, self.end_field, f"{hours:g}" if hours else ""))

    def _hours(self, text: str) -> bool:
        if not self.desk.set_hours(text):
            return False
        self.host.memory = memory.Memory(self.host.memory.theme, self.desk.hours)
        self.desk.news = memory.save(self.host.memory) or self.desk.news
        return True

    def do_write(self) -> None:
        if self.desk.result_a is None:
            self.desk.news = "nothing to write: pane A is empty"
            return
        self.ask(Field("write to:", self._write, self.end_field, writing.free_name(self.desk)))

    def _write(self, text: str) -> bool:
        width, height = self.app.size
        done, news = writing.write(text, writing.document(self.host, width, height), self.desk)
        self.desk.news = news
        return done

    def do_unit(self) -> None:
        from spectui.shelf import sidecar
        from spectui.tui.screens.choice import Choice, Item

        desk = self.desk
        scan = desk.scan_a
        if scan is None or desk.a is None:
            desk.news = "pane A is empty"
            return
        try:
            said = sidecar.read(desk.rows[desk.a].path)
        except SpectuiError as error:
            desk.news = str(error)
            return
        mine = said.unit if said is not None else None
        if scan.given_unit is not None and mine is None:
            desk.news = f"this scan's file declares its unit: {scan.given_unit}"
            return
        items = [Item(name, name) for name in UNITS if name != "relative"]
        if mine is not None:
            items.append(Item(RELATIVE_AGAIN, RELATIVE_AGAIN))
        title = f"Unit of {safe(scan.title, self.host.form.ascii)}"
        self.app.push_screen(
            Choice(title, "the file states none; what you choose is kept beside it", items, mine), self._unit
        )

    def _unit(self, chosen: object) -> None:
        if chosen is not None:
            self.desk.news = writing.assign_unit(self.desk, None if chosen == RELATIVE_AGAIN else str(chosen))
        self.redraw()

    def do_theme(self) -> None:
        from spectui.tui.screens.choice import Choice, Item

        items = [Item(name, name, str(path)) for name, path in themes.available().items()]
        self.app.push_screen(Choice("Themes", "", items, self.host.memory.theme), self._themed)

    def _themed(self, name: object) -> None:
        if name is not None:
            self.desk.news = self.host.take_theme(str(name))
        self.redraw()
