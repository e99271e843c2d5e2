"""The numbers of the desk as text: cards, band differences and bars, all through the one rounding of report.numbers."""

from __future__ import annotations

from collections.abc import Mapping

from spectui.charts.bars import Bar
from spectui.charts.strip import Card, Cell
from spectui.core.compare import Comparison, Row
from spectui.core.metric import Metric
from spectui.core.results import Result, Value
from spectui.report.numbers import difference, number, percent, spread, unit

BANDS = {"blue": "blue", "green": "green", "red": "red", "far_red": "far red"}
# Units that the note over the strip tells once, or that the metric's name implies.
_TOLD = ("umol/m2/s", "mol/m2/d", "1")
_WEIGHTY = ("ppfd",)
WITHIN = "≈"


def card(key: str, known: Mapping[str, Metric], a: Result, b: Result | None, compared: Comparison | None) -> Card:
    """Return one card: A's number, and with a second scan B's and the difference."""
    metric = known[key]
    name = metric.name
    if key == "dli" and (hours := _hours(a)) is not None:
        name = f"{metric.name} {hours:g} h"
    first = _cell(a[key], key)
    if b is None or compared is None:
        return Card(name, first)
    return Card(name, first, _cell(b[key], key), _difference(compared.rows[key], key))


def _hours(result: Result) -> float | None:
    """The hours of a day behind a DLI, from the two numbers themselves."""
    dli, ppfd = result["dli"].value, result["ppfd"].value
    return None if not dli or not ppfd else round(dli / ppfd / 0.0036, 2)


def _cell(value: Value, key: str) -> Cell:
    if value.value is None:
        return Cell(number(None))
    wide = value.expanded_uncertainty
    shown = "" if value.unit in _TOLD else unit(value.unit)
    return Cell(number(value.value, wide), spread(wide), shown, bold=key in _WEIGHTY)


def _difference(row: Row, key: str) -> Cell:
    change = row.difference[1]
    if change is None:
        return Cell(number(None))
    if row.exceeds_uncertainty[1] is False:
        return Cell(WITHIN)
    of = (row.values[0], row.values[1])
    if row.unit in ("%", "nm", "K"):
        text = difference(change, of)
        return Cell(text, unit="pt" if row.unit == "%" else row.unit, bold=text != "0")
    text = percent(row.percent[1])
    return Cell(text, unit="%", bold=text != "0")


def far_red(compared: Comparison) -> tuple[str, str]:
    """Return the far-red band to show and its name: 700-800 nm, or 700-750 where a scan ends before 800."""
    if compared.bands["far_red"].difference[1] is None and compared.bands["far_red_par"].difference[1] is not None:
        return "far_red_par", "FR to 750"
    return "far_red", "far red"


def band_differences(compared: Comparison) -> dict[str, tuple[str, bool]]:
    """Return band → (B - A as text, whether it weighs) for the row of band names."""
    found = {}
    for band in BANDS:
        key, name = far_red(compared) if band == "far_red" else (band, BANDS[band])
        row = compared.bands[key]
        text = difference(row.difference[1], (row.values[0], row.values[1]))
        within = row.exceeds_uncertainty[1] is False
        told = f"{WITHIN} {text}" if within else text
        found[band] = (told if name == BANDS[band] else f"to 750 {told}", not within and row.difference[1] is not None)
    return found


def bars(compared: Comparison) -> list[Bar]:
    """Return the bars of the band differences."""
    found = []
    for band, name in BANDS.items():
        key, name = far_red(compared) if band == "far_red" else (band, name)
        row = compared.bands[key]
        wide = None  # the spread of a difference; not known until uncertainties are carried through
        within = row.exceeds_uncertainty[1] is False
        text = difference(row.difference[1], (row.values[0], row.values[1]), wide)
        found.append(Bar(name, row.difference[1], wide, WITHIN if within else text, spread(wide), within))
    return found


def note(a: Result, b: Result | None) -> str:
    """Return the words over the strip: the unit of the fluxes, and what is known of their uncertainty."""
    known = any(v.expanded_uncertainty is not None for r in (a, b) if r is not None for v in r.values.values())
    fluxes = unit("umol/m2/s")
    if not a.scan.absolute:
        return "relative: shares and ratios only" if a.scan.unit == "relative" else a.scan.unit
    return f"{fluxes}, k = 2" + (f", {WITHIN} within ±" if b is not None else "") if known else f"{fluxes}, ± not known"
