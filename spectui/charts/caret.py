"""The caret under the ribbon, with what it reads: the one place where the picture says its numbers."""

from __future__ import annotations

from typing import NamedTuple

from spectui.charts.cells import FULL, Form, Line, Span, cell_width, fitted
from spectui.charts.glyphs import glyphs
from spectui.charts.peaks import next_edge, next_peak, peaks
from spectui.charts.reduce import axis_kind, value_at
from spectui.charts.scale import Prefix, decimals, fixed, prefix
from spectui.charts.view import GUTTER, View, column
from spectui.core.scan import Scan
from spectui.report.numbers import NONE, percent

__all__ = ["caret_line", "next_edge", "next_peak", "peaks"]

# Under this share of the scale a ratio to A says nothing: the percentage is left out.
LEAST_SHARE = 0.01


class _Part(NamedTuple):
    spans: tuple[Span, ...]
    gap: int  # blanks before it

    @property
    def cells(self) -> int:
        return self.gap + sum(cell_width(span.text) for span in self.spans)


def caret_line(
    a: Scan | None, b: Scan | None, view: View, nm: float, width: int, form: Form = FULL, *, without_a: bool = False
) -> Line:
    """Draw the caret at `nm` and beside it the values there, linear between samples, in the axis's unit.

    The reading stands right of the caret, past the middle left of it; where neither side has room it is parted.
    A scan that does not reach `nm` reads as a dash. without_a: B and B-A alone (B's pane, when the two stand apart).
    """
    parts = _parts(a, b, view, nm, form, without_a)
    if not view.lo <= nm <= view.hi:
        return fitted([Span(" " * GUTTER), *_spans(parts)], width)
    at = column(view, nm, width)
    mark = Span("^" if form.ascii else "▲", "bright", bold=True)
    while parts:
        tight = [part._replace(gap=1) for part in parts]
        whole = (len(parts), 0) if at - GUTTER >= (width - GUTTER) / 2 else (0, len(parts))
        bare = [tight[0]._replace(gap=0), *tight[1:]]
        for some, splits in ((parts, whole), (tight, whole), (bare, whole), (tight, range(1, len(parts)))):
            for split in splits:  # how many parts stand left of the caret
                before = sum(part.cells for part in some[:split])
                if before <= at and sum(part.cells for part in some[split:]) <= width - at - 1:
                    lead = [Span(" " * (at - before)), *_spans(some[:split], trailing=True)]
                    return fitted([*lead, mark, *_spans(some[split:])], width)
        parts = parts[:-1]
    return fitted([Span(" " * at), mark], width)


def _spans(parts: list[_Part], trailing: bool = False) -> list[Span]:
    """Lay parts out, the gap of each before it, or (left of the caret) the first one's after the last."""
    spans: list[Span] = []
    for i, part in enumerate(parts):
        spans += [Span(" " * (0 if trailing and i == 0 else part.gap)), *part.spans]
    if trailing and parts:
        spans.append(Span(" " * parts[0].gap))
    return spans


def _parts(a: Scan | None, b: Scan | None, view: View, nm: float, form: Form, without_a: bool) -> list[_Part]:
    where = f"{nm:.0f}" if abs(nm - round(nm)) < 0.05 else f"{nm:.1f}"
    parts = [_Part((Span(f"{where} nm", "bright", bold=True),), 1)]
    lead = a if a is not None else b
    if lead is None:
        return parts
    gap = 3
    for tag, scan in (("A", a), ("B", b)):
        if scan is not None and not (without_a and tag == "A"):
            parts.append(_Part((Span(f"{tag} ", "dim"), Span(_reading(scan, lead, view, nm, form), "bright")), gap))
            gap = 2
    if a is None or b is None:
        return parts
    minus = "-" if form.ascii else "\N{MINUS SIGN}"
    name = Span(f"B{minus}A ", "dim")
    first, second = value_at(a, view, nm), value_at(b, view, nm)
    if first is None or second is None or axis_kind(a, view) != axis_kind(b, view):
        return [*parts, _Part((name, Span(glyphs(NONE, form), "dim")), 2)]
    shown, places = _shown(lead, view, form)
    text = fixed((second - first) * shown.factor, places, form, sign=True)
    sure = bool(text.strip("0.")) and _beyond(a, b, nm)
    ink = "bright" if sure else "text"
    parts.append(_Part((name, Span(text, ink, bold=sure)), 2))
    if first > LEAST_SHARE * view.top:
        share = percent(100.0 * (second - first) / first)
        parts.append(_Part((Span(glyphs(f"{share} %", form), ink, bold=sure),), 2))
    return parts


def _shown(scan: Scan, view: View, form: Form) -> tuple[Prefix, int]:
    shown = prefix(axis_kind(scan, view), view.top, form)
    return shown, decimals(view.top * shown.factor)


def _reading(scan: Scan, lead: Scan, view: View, nm: float, form: Form) -> str:
    value = value_at(scan, view, nm)
    if value is None:
        return glyphs(NONE, form)
    if axis_kind(scan, view) != axis_kind(lead, view):
        # Another unit than the axis's: the plain number, its unit after it.
        return f"{fixed(value, decimals(max(abs(value), 1e-4)), form)} {prefix(axis_kind(scan, view), 1.0, form).unit}"
    shown, places = _shown(lead, view, form)
    return fixed(value * shown.factor, places, form)


def _beyond(a: Scan, b: Scan, nm: float) -> bool:
    """Return whether the difference is beyond the uncertainty of both; True where that is not known."""
    if a.expanded_uncertainty is None or b.expanded_uncertainty is None:
        return True
    import numpy as np

    one, two = a.expanded_uncertainty, b.expanded_uncertainty
    wide = float(np.interp(nm, a.wavelength, one)) ** 2 + float(np.interp(nm, b.wavelength, two)) ** 2
    difference = float(np.interp(nm, b.wavelength, b.values)) - float(np.interp(nm, a.wavelength, a.values))
    return difference**2 > wide
