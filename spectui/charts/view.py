"""Which part of the spectrum a chart shows, and where a wavelength falls in it. Pure functions on a frozen View."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from spectui.core.scan import Scan

ENERGY, PHOTON_AXIS = "energy", "photon"
GUTTER = 6  # cells left of every plot: a label of up to four, one blank, the axis
SHORTEST_VIEW_NM = 5.0
DEFAULT_NM = (380.0, 800.0)
# A scan of which less than this lies within the default range (a UV lamp, infrared) begins with all it covers.
LEAST_HOME_NM = 150.0
# While scans are stepped through, the wavelength axis holds where they fill at least this share of it.
HELD_SHARE = 0.75
# What stands below zero by less than this share of the peak is taken for noise: the axis stays at zero.
NOISE_SHARE = 0.02
_TOPS = (1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0)


@dataclass(frozen=True, slots=True)
class View:
    """A window on the spectrum.

    lo, hi: the wavelengths at the plot's left and right edge [nm].
    axis: energy (the scan's own unit) or photon (umol m-2 s-1 nm-1, for scans in W m-2 nm-1).
    top, floor: the values at the upper and lower edge, in the axis's unit; floor is 0 or below.
    bounds: how far pan and zoom may go [nm].
    """

    lo: float
    hi: float
    axis: str = ENERGY
    top: float = 1.0
    floor: float = 0.0
    bounds: tuple[float, float] = DEFAULT_NM


def home(scans: Iterable[Scan]) -> tuple[float, float]:
    """Return the range [nm] to begin with: 380-800 nm as far as the scans reach, or all of theirs if that is little."""
    ranges = [scan.range_nm for scan in scans]
    if not ranges:
        return DEFAULT_NM
    first, last = min(r[0] for r in ranges), max(r[1] for r in ranges)
    lo, hi = max(first, DEFAULT_NM[0]), min(last, DEFAULT_NM[1])
    return (lo, hi) if hi - lo >= LEAST_HOME_NM else (first, last)


def fit(scans: Iterable[Scan], axis: str = ENERGY) -> View:
    """Return the view of one or more scans to begin with: their home range, the scale fitted."""
    shown = list(scans)
    lo, hi = home(shown)
    return rescale(bounded(View(lo, hi, axis), shown), shown) if shown else View(lo, hi, axis)


def followed(view: View, scans: Iterable[Scan]) -> View:
    """Return the view on the home range of other scans; it stays where it shows them whole and little else."""
    lo, hi = home(scans)
    if view.lo <= lo and hi <= view.hi and hi - lo >= HELD_SHARE * (view.hi - view.lo):
        return view
    return replace(view, lo=lo, hi=hi)


def rescale(view: View, scans: Iterable[Scan]) -> View:
    """Return the view with its scale fitted to what the scans show within it; the first scan's unit rules."""
    from spectui.charts.reduce import axis_kind, extremes_of

    shown = [scan for scan in scans if scan is not None]
    unit = axis_kind(shown[0], view) if shown else None
    low, high = 0.0, 0.0
    for scan in shown:
        if axis_kind(scan, view) == unit:
            lowest, highest = extremes_of(scan, view)
            low, high = min(low, lowest), max(high, highest)
    top = nice_top(high) if high > 0.0 else nice_top(-low) if low < 0.0 else 1.0
    return replace(view, top=top, floor=low if low < -NOISE_SHARE * top else 0.0)


def nice_top(peak: float) -> float:
    """Return the end of a scale that holds `peak` with a little room above it (0.7 for 0.62)."""
    from math import floor, log10

    need = peak * 1.04
    power = 10.0 ** floor(log10(need))
    return float(f"{next(t for t in _TOPS if t * power >= need * (1 - 1e-12)) * power:.3g}")


def bounded(view: View, scans: Iterable[Scan]) -> View:
    """Return the view with pan and zoom bounded by the scans' range; what is shown stays as it is."""
    ranges = [scan.range_nm for scan in scans if scan is not None]
    if not ranges:
        return view
    return replace(view, bounds=(min(r[0] for r in ranges), max(r[1] for r in ranges)))


def whole(view: View) -> View:
    """Return the view over all that the scans cover."""
    return replace(view, lo=view.bounds[0], hi=view.bounds[1])


def zoom(view: View, about_nm: float, factor: float) -> View:
    """Return the view narrowed (factor > 1) or widened by `factor`, `about_nm` keeping its column."""
    first, last = _outer(view)
    span = min(max((view.hi - view.lo) / factor, min(SHORTEST_VIEW_NM, last - first)), last - first)
    about = min(max(about_nm, view.lo), view.hi)
    lo = about - (about - view.lo) / (view.hi - view.lo) * span
    lo = min(max(lo, first), last - span)
    return replace(view, lo=lo, hi=lo + span)


def pan(view: View, nm: float) -> View:
    """Return the view moved by `nm`, as far as the bounds allow."""
    first, last = _outer(view)
    lo = min(max(view.lo + nm, first), last - (view.hi - view.lo))
    return replace(view, lo=lo, hi=lo + (view.hi - view.lo))


def showing(view: View, nm: float) -> View:
    """Return the view, moved just so far that `nm` lies within it."""
    if view.lo <= nm <= view.hi:
        return view
    return pan(view, nm - view.lo if nm < view.lo else nm - view.hi)


def _outer(view: View) -> tuple[float, float]:
    return min(view.bounds[0], view.lo), max(view.bounds[1], view.hi)


def plot_width(width: int) -> int:
    """Return the cells of the plot in a chart `width` cells wide."""
    return max(width - GUTTER, 1)


def column(view: View, nm: float, width: int) -> int:
    """Return the chart column (gutter included) of `nm`; outside the plot where the view does not show it."""
    from math import floor

    cells = plot_width(width)
    place = (nm - view.lo) / (view.hi - view.lo) * cells
    at = floor(place + 1e-9)
    # The right edge belongs to the last column, so that a caret on it is seen.
    return GUTTER + (cells - 1 if at == cells and nm <= view.hi else at)
