"""What the pages say: keys, a card's detail, trust, conditions. Functions of the state; no screen is needed."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from spectui.charts.cells import Form, Line, Span
from spectui.core.compare import conditions
from spectui.core.errors import SpectuiError
from spectui.core.quality import worst
from spectui.core.results import Result, Value
from spectui.core.scan import DOUBT, FAULT, LONGEST_NM, SHORTEST_NM, UNSAID, Scan
from spectui.core.weights import coverage
from spectui.files.safe import safe
from spectui.report.numbers import ascii_only, difference, number, percent, spread, unit
from spectui.report.text import UV_CAUTION, needs_caution
from spectui.shelf import sidecar
from spectui.tui.actions import rows
from spectui.tui.state import Desk

LABEL, FACT = 14, 32
MOST_KEYS = 24  # cells of the longest list of keys that the names still stand in line with
_COMPONENTS = ("calibration_uncertainty_percent", "wavelength_uncertainty_nm", "noise_percent")
RULE = (
    "Piecewise linear between its samples, integrated exactly; band edges are cut exactly, never rounded to a sample."
)


class Writer:
    """Collects rows in the width and the glyphs of the screen."""

    def __init__(self, width: int, form: Form) -> None:
        self.rows: list[Line] = []
        self._width, self._form = width, form

    def _clean(self, text: str) -> str:
        return safe(ascii_only(text), ascii=True) if self._form.ascii else safe(text)

    def heading(self, text: str) -> None:
        """A bold row with a blank before it."""
        if self.rows:
            self.rows.append(())
        self.rows.append((Span(self._clean(text), "bright", bold=True),))

    def entry(self, label: str, text: str, ink: str = "text", bold: bool = False, room: int = LABEL) -> None:
        """A dim label and a wrapped text beside it."""
        lines = wrap(self._clean(text), max(self._width - room - 2, 20)) or [""]
        label = self._clean(label)
        self.rows.append((Span(label.ljust(room) + " ", "dim"), Span(lines[0], ink, bold=bold)))
        self.rows += [(Span(" " * (room + 1)), Span(line, ink, bold=bold)) for line in lines[1:]]

    def text(self, text: str, ink: str = "text", bold: bool = False) -> None:
        """A wrapped paragraph."""
        lines = wrap(self._clean(text), max(self._width - 2, 20)) or [""]
        self.rows += [(Span(line, ink, bold=bold),) for line in lines]


def keys(desk: Desk, chosen: dict[str, tuple[str, ...]], told: Sequence[str], width: int, form: Form) -> list[Line]:
    """Return every key with its action; first what was not taken from the user's own files."""
    page = Writer(width, form)
    if told:
        page.heading("Not taken from your files")
        for sentence in told:
            page.text(sentence, "bright", bold=True)
    table = rows(chosen)
    wide = min(max(len(shown) for _, entries in table for shown, _, _ in entries), MOST_KEYS)
    for heading, entries in table:
        page.heading(heading)
        for shown, name, sentence in entries:
            first, *more = wrap(sentence, max(width - wide - 21, 20))
            page.rows.append(
                (Span(f"  {shown:<{wide}} ", "bright", bold=True), Span(f"{name:<16} ", "dim"), Span(first))
            )
            page.rows += [(Span(" " * (wide + 20)), Span(line)) for line in more]
    page.heading("Your own keys")
    page.text('In keys.toml of the settings folder: action = "key", or a list of keys. The names stand in the middle.')
    return page.rows


def detail(desk: Desk, key: str, width: int, form: Form) -> list[Line]:
    """Return all about one card: what it means, where it comes from, how far to trust it."""
    metric = desk.known[key]
    page = Writer(width, form)
    page.entry("is", metric.definition)
    page.entry("formula", metric.formula)
    page.entry("unit", unit(metric.unit) or "none: a plain ratio")
    page.entry("source", metric.source)
    page.entry("rule", RULE)
    results = [(tag, r) for tag, r in (("A", desk.result_a), ("B", desk.result_b)) if r is not None]
    for tag, result in results:
        page.heading(f"{tag}  {result.scan.title}")
        _value(page, result[key], result.scan)
        lo, hi = result.scan.range_nm
        for weight in metric.weights:
            first, last = weight.range_nm
            if (first, last) == (SHORTEST_NM, LONGEST_NM):
                continue  # whatever the scan covers: there is no share of it to tell
            share = coverage(weight, lo, hi)
            whole = "all" if lo <= first and last <= hi else "nearly all"
            told = whole if share > 0.9995 else f"{100 * share:.3g} %"
            page.entry("coverage", f"{told} of {first:g}-{last:g} nm; the scan covers {lo:g}-{hi:g} nm")
    if desk.comparison is not None:
        row = desk.comparison.rows[key]
        page.heading("B−A")
        text = difference(row.difference[1], (row.values[0], row.values[1]))
        percents = "" if row.percent[1] is None or row.unit == "%" else f"   {percent(row.percent[1])} %"
        points = "points" if row.unit == "%" else unit(row.unit)
        page.entry("difference", f"{text} {points}{percents}" if row.difference[1] is not None else "not available")
    if key == "dli":
        page.heading("Hours")
        page.text("d on the desk sets the hours of light a day, for every scan; 0 goes back to those of the file.")
    if any(needs_caution(result) for _, result in results):
        page.heading("Caution")
        page.text(UV_CAUTION)
    return page.rows


def _unknown(scan: Scan) -> str:
    """Why a number has no uncertainty."""
    stated = [f"{key} {scan.meta[key]}" for key in _COMPONENTS if scan.meta.get(key)]
    if stated:
        return f"not known: the file states {', '.join(stated)}, which this number does not carry through"
    return f"not known: the file states none of {', '.join(_COMPONENTS)}"


def _value(page: Writer, value: Value, scan: Scan) -> None:
    if value.value is None:
        page.entry("value", f"not available: {value.unavailable}", "bright", bold=True)
        return
    wide = value.expanded_uncertainty
    page.entry(
        "value",
        f"{number(value.value, wide)} {spread(wide)} {unit(value.unit)}".replace("  ", " "),
        "bright",
        bold=True,
    )
    page.entry("uncertainty", f"{spread(wide)}, expanded, k = 2" if wide is not None else _unknown(scan))
    if value.note:
        page.entry("note", value.note)


def trusts(desk: Desk, width: int, form: Form) -> list[Line]:
    """Return every flag of the panes, and the cautions."""
    page = Writer(width, form)
    results = [(tag, r) for tag, r in (("A", desk.result_a), ("B", desk.result_b)) if r is not None]
    if not results:
        page.text("No scan is in a pane yet.")
    for tag, result in results:
        page.heading(f"{tag}  {result.scan.title}")
        if worst(result.flags) is None:
            page.entry("trust", "ok: no fault, no doubt", "bright", bold=True)
        _flags(page, result)
    if any(needs_caution(result) for _, result in results):
        page.heading("Caution")
        page.text(UV_CAUTION)
        for tag, result in results:
            page.entry(f"{tag} ultraviolet", f"below {result.scan.range_nm[0]:g} nm not seen: not absence")
    broken = [row for row in desk.rows if row.error is not None]
    if broken:
        page.heading(f"{len(broken)} file{'s' if len(broken) > 1 else ''} on the shelf not read")
        for row in broken:
            page.text(str(row.error))
    for tag, result in results:
        page.heading(f"What is known of {tag}  {result.scan.title}")
        _facts(page, result.scan)
    return page.rows


def _flags(page: Writer, result: Result) -> None:
    for rank in (FAULT, DOUBT, UNSAID):
        for flag in result.flags:
            if flag.rank == rank:
                page.entry(rank, flag.message, "bright" if rank != UNSAID else "text", bold=rank != UNSAID)


def _facts(page: Writer, scan: Scan) -> None:
    steps = scan.wavelength[1:] - scan.wavelength[:-1]
    least, most = float(steps.min()), float(steps.max())
    page.entry("file", scan.source, room=FACT)
    lo, hi = scan.range_nm
    steps_told = f"{least:.4g}" if most - least < 1e-6 else f"{least:.4g}-{most:.4g}"
    page.entry("range", f"{lo:g}-{hi:g} nm, steps of {steps_told} nm", room=FACT)
    page.entry("unit", _declared(scan), room=FACT)
    for key in scan.meta:
        if key not in ("title", "unit"):
            page.entry(key[:FACT], scan.meta[key], room=FACT)


def _declared(scan: Scan) -> str:
    """The unit, and who says it."""
    if not scan.given_unit:
        return "none declared: relative (u on the desk assigns one)"
    try:
        said = sidecar.read(scan.source)
    except SpectuiError:
        said = None
    if said is not None and said.unit is not None:
        return f"{scan.given_unit}, assigned by you in {sidecar.beside(scan.source)}"
    return f"{scan.given_unit}, as declared"


def condition_rows(desk: Desk, width: int, form: Form) -> list[Line]:
    """Return what differs between A and B, and what is unsaid."""
    page = Writer(width, form)
    a, b = desk.scan_a, desk.scan_b
    if a is None or b is None:
        page.text("Conditions are compared between A and B. Pane B is empty: b on the desk puts a scan there.")
        return page.rows
    found = conditions(a, b)
    differ = [c for c in found if not c.unsaid]
    unsaid = [c for c in found if c.unsaid]
    page.heading("Differ" if differ else "Nothing that both files state differs")
    for condition in differ:
        for label, tag, value in ((condition.key, "A", condition.values[0]), ("", "B", condition.values[1])):
            page.entry(label, f"{tag} {value}", "bright", bold=True, room=22)
    page.heading("Unsaid" if unsaid else "Nothing is unsaid")
    for condition in unsaid:
        one, two = condition.values
        told = "in both" if one is None and two is None else f"in A; B {two}" if one is None else f"in B; A {one}"
        page.entry(condition.key, told, room=22)
    page.heading("Why it matters")
    page.text(
        "Two lights are compared fairly when all of these are the same. "
        "What differs or is unsaid can make the difference."
    )
    return page.rows
