"""A scan reduced to the columns of a plot, by its piecewise linear curve and not by its samples.

A column shows the curve's value at its middle, so that flanks stand where they are and two equal scans coincide. A peak
or dip that lies wholly within a column, or on the edge of two, is shown at its full height instead: a line narrower
than a column never vanishes. Its width is then the column's: heights are true, the area under a narrow line is not.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from spectui.charts.view import PHOTON_AXIS, View
from spectui.core.scan import Scan
from spectui.core.units import PHOTON, UMOL_PER_JOULE_NM

Floats = NDArray[np.float64]


class Columns(NamedTuple):
    """Values in the axis's unit for n columns, NaN where the scan does not reach.

    high, low: (n,) extremes within the column's span. edges: (n + 1,) values between columns.
    upper, lower: (n,) what the column shows: its middle value, but a peak in `upper` and a dip in `lower`.
    """

    high: Floats
    low: Floats
    upper: Floats
    lower: Floats
    edges: Floats


def axis_kind(scan: Scan, view: View) -> str:
    """Return the unit in which the view shows the scan: its own, or the photon unit where it is absolute."""
    return PHOTON if scan.absolute and view.axis == PHOTON_AXIS else scan.unit


def value_at(scan: Scan, view: View, nm: float) -> float | None:
    """Return the scan's value at `nm` in the view's unit, linear between samples; None outside its range."""
    if not scan.range_nm[0] <= nm <= scan.range_nm[1]:
        return None
    value = float(np.interp(nm, scan.wavelength, scan.values))
    return value * nm * UMOL_PER_JOULE_NM if axis_kind(scan, view) == PHOTON else value


def extremes_of(scan: Scan, view: View) -> tuple[float, float]:
    """Return the lowest and the highest value within the view; 0, 0 where the scan has no part in it."""
    reduced = columns(scan, view, 1)
    low, high = float(reduced.low[0]), float(reduced.high[0])
    return (low, high) if low == low else (0.0, 0.0)


def peak_of(scan: Scan, view: View) -> float:
    """Return the highest value of the whole scan, shown or not, in the view's unit."""
    return float(_values(scan, scan.wavelength, axis_kind(scan, view) == PHOTON).max())


def columns(scan: Scan, view: View, count: int) -> Columns:
    """Reduce the scan to `count` columns of the view; kept for the last few (scan, view, width)."""
    return _columns(scan, view.lo, view.hi, axis_kind(scan, view) == PHOTON, count)


@lru_cache(maxsize=32)
def _columns(scan: Scan, lo: float, hi: float, photon: bool, count: int) -> Columns:
    first, last = scan.range_nm
    edges = np.linspace(lo, hi, count + 1)
    reached = (edges[1:] > first) & (edges[:-1] < last)
    start, stop = np.searchsorted(scan.wavelength, (max(lo, first), min(hi, last)))
    # Every sample within the view and every column edge, in order; edges beyond the scan stand at its end.
    stops = np.clip(edges, first, last)
    middles = np.clip((edges[1:] + edges[:-1]) / 2.0, first, last)
    inside = scan.wavelength[start:stop]
    at_edges = _values(scan, stops, photon)
    at_samples = _values(scan, inside, photon)
    places = np.searchsorted(inside, stops) + np.arange(count + 1)
    merged = np.empty(inside.size + count + 1)
    is_edge = np.zeros(merged.size, dtype=bool)
    is_edge[places] = True
    merged[is_edge] = at_edges
    merged[~is_edge] = at_samples
    high = np.maximum(np.maximum.reduceat(merged, places)[:-1], at_edges[1:])
    low = np.minimum(np.minimum.reduceat(merged, places)[:-1], at_edges[1:])
    middle = _values(scan, middles, photon)
    upper = np.where(_turns(high, at_edges, middle), high, middle)
    lower = np.where(_turns(-low, -at_edges, -middle), low, middle)
    for values in (high, low, upper, lower):
        values[~reached] = np.nan
        values.flags.writeable = False
    return Columns(high, low, upper, lower, at_edges)


def _turns(high: Floats, edges: Floats, middle: Floats) -> NDArray[np.bool_]:
    """Return which columns hold a peak: inside, or on an edge that is the highest point of both its columns."""
    peak = high > np.maximum(np.maximum(edges[:-1], edges[1:]), middle)
    shared = (high[:-1] == edges[1:-1]) & (high[1:] == edges[1:-1])
    peak[:-1] |= shared
    peak[1:] |= shared
    return np.asarray(peak)


def _values(scan: Scan, nm: Floats, photon: bool) -> Floats:
    values = np.interp(nm, scan.wavelength, scan.values)
    return values * nm * UMOL_PER_JOULE_NM if photon else values


def dot_rows(reduced: Columns, per_unit: float, zero: float, rows: int) -> NDArray[np.bool_]:
    """Return which of (rows, n) dots a thin connected line through the columns sets; row 0 is the lowest.

    A value v lies in row floor(v * per_unit + zero). Each column has the dot of the value it shows and those towards
    its edges that join it to its neighbours, no more: every dot lies on the curve within the column.
    """

    def row(values: Floats) -> Floats:
        return np.floor(values * per_unit + zero + 1e-9)

    upper, lower = row(reduced.upper), row(reduced.lower)
    with np.errstate(invalid="ignore"):
        _join(upper, lower, row(reduced.edges[1:-1]))
        height = np.arange(rows)[:, None]
        return (height >= lower) & (height <= upper)


def _join(upper: Floats, lower: Floats, between: Floats) -> None:
    """Close the gaps between neighbouring columns in place: up to the value on their common edge, then from it."""
    left_top, left_bottom = upper[:-1].copy(), lower[:-1].copy()
    right_top, right_bottom = upper[1:].copy(), lower[1:].copy()
    rising = right_bottom > left_top + 1
    falling = right_top < left_bottom - 1
    meet = np.clip(between, left_top, right_bottom - 1)
    upper[:-1] = np.where(rising, np.maximum(upper[:-1], meet), upper[:-1])
    lower[1:] = np.where(rising, np.minimum(lower[1:], meet + 1), lower[1:])
    meet = np.clip(between, right_top + 1, left_bottom)
    lower[:-1] = np.where(falling, np.minimum(lower[:-1], meet), lower[:-1])
    upper[1:] = np.where(falling, np.maximum(upper[1:], meet - 1), upper[1:])
