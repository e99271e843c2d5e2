"""The y axis: a unit prefix that keeps labels short, ticks at round values, and where a value lies in rows."""

from __future__ import annotations

from math import ceil, floor, log10
from typing import NamedTuple

from spectui.charts.cells import FULL, Form
from spectui.charts.glyphs import glyphs
from spectui.charts.view import View
from spectui.core.units import COUNTS, IRRADIANCE, PHOTON, RELATIVE, TRANSMITTANCE

ROWS_PER_TICK = 3.0
MINUS = "\N{MINUS SIGN}"


class Scale(NamedTuple):
    """Where values lie: rows above the plot's lower edge = value * per_unit + zero. zero is a whole number of rows."""

    per_unit: float
    zero: int
    rows: int

    def row(self, value: float) -> float:
        """Return how many rows above the plot's lower edge the value lies."""
        return value * self.per_unit + self.zero


def scale(view: View, rows: int) -> Scale:
    """Return the scale of a plot `rows` high: the top holds, zero stands between two rows."""
    if view.floor >= 0.0:
        return Scale(rows / view.top, 0, rows)
    below = min(max(ceil(rows * -view.floor / (view.top - view.floor)), 1), rows - 1)
    return Scale((rows - below) / view.top, below, rows)


class Prefix(NamedTuple):
    """A shown value is the axis's value times `factor`, in `unit`."""

    factor: float
    unit: str


_UNITS = {  # as shown, the values times 1, 1000, 1e6, 1e-3
    IRRADIANCE: ("W m⁻² nm⁻¹", "mW m⁻² nm⁻¹", "µW m⁻² nm⁻¹", "kW m⁻² nm⁻¹"),
    PHOTON: ("µmol m⁻² s⁻¹ nm⁻¹", "nmol m⁻² s⁻¹ nm⁻¹", "pmol m⁻² s⁻¹ nm⁻¹", "mmol m⁻² s⁻¹ nm⁻¹"),
    COUNTS: ("counts", "counts × 1000", "counts × 1e6", "counts / 1000"),
    RELATIVE: ("relative", "relative × 1000", "relative × 1e6", "relative / 1000"),
    TRANSMITTANCE: ("transmittance", "transmittance × 1000", "transmittance × 1e6", "transmittance / 1000"),
}


def prefix(unit: str, top: float, form: Form = FULL) -> Prefix:
    """Return the prefix in which a scale up to `top` has labels of at most four characters."""
    which = 3 if top >= 5000.0 else 0 if top >= 0.05 else 1 if top >= 5e-5 else 2
    names = _UNITS.get(unit, (unit,) * 4)
    return Prefix((1.0, 1e3, 1e6, 1e-3)[which], glyphs(names[which], form))


def top_of(view: View, unit: str) -> str:
    """Return the upper end of the scale as its labels count."""
    return f"{view.top * prefix(unit, view.top).factor:.4g}"


def decimals(top: float) -> int:
    """Return how many decimals a reading on a scale up to `top` (as shown) has: three digits at the top."""
    return min(max(2 - floor(log10(top) + 1e-9), 0), 6)


def fixed(value: float, places: int, form: Form = FULL, sign: bool = False) -> str:
    """Return a number with fixed decimals and a real minus; zero has no sign."""
    text = f"{value:+.{places}f}" if sign else f"{value:.{places}f}"
    if not float(text):
        text = text.lstrip("+-")
    return text if form.ascii else text.replace("-", MINUS)


def ticks(view: View, rows: int, unit: str, form: Form = FULL) -> dict[int, str]:
    """Return {row from the lower edge: label} at round values, each in the row that contains its value.

    The end of the scale stands in the top row, as its edge.
    """
    shown = prefix(unit, view.top, form)
    on = scale(view, rows)
    per_shown = on.per_unit / shown.factor
    step = _step(ROWS_PER_TICK / per_shown)
    places = max(-floor(log10(step) + 1e-9), 0)
    labels: dict[int, str] = {}
    lowest = -floor(on.zero / per_shown / step + 1e-9)
    for k in range(lowest, floor((rows - on.zero) / per_shown / step + 1e-9) + 1):
        at = min(floor(k * step * per_shown + on.zero + 1e-9), rows - 1)
        if at not in labels:
            labels[at] = fixed(k * step, places, form) if k else "0"
    return labels


def _step(least: float) -> float:
    """Return the smallest of 1, 2, 5 times a power of ten that is at least `least`."""
    power = 10.0 ** floor(log10(least))
    return next(s * power for s in (1.0, 2.0, 5.0, 10.0) if s * power >= least * (1 - 1e-9))
