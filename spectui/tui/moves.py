"""The actions of the desk that change its state and need no other screen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from spectui.charts import view as views
from spectui.charts.peaks import next_edge, next_peak
from spectui.charts.view import View
from spectui.tui.layout import APART
from spectui.tui.state import Desk

ZOOM = 2.0
PAN_SHARE = 0.25


def zoom(desk: Desk, factor: float) -> None:
    """Narrow (factor > 1) or widen the range shown, around the caret."""
    _show(desk, views.zoom(desk.view, desk.nm, factor))


def pan(desk: Desk, way: int) -> None:
    """Move the range shown by a quarter of itself; the caret stays within it."""
    _show(desk, views.pan(desk.view, way * PAN_SHARE * (desk.view.hi - desk.view.lo)))
    desk.nm = min(max(desk.nm, desk.view.lo), desk.view.hi)


def whole(desk: Desk) -> None:
    """Show all that the scans cover; again, the range to begin with."""
    view = views.whole(desk.view)
    if (view.lo, view.hi) == (desk.view.lo, desk.view.hi):
        lo, hi = desk.home = views.home(desk.shown)
        view = replace(view, lo=lo, hi=hi)
        desk.nm = min(max(desk.nm, lo), hi)
    _show(desk, view)


def _show(desk: Desk, view: View) -> None:
    desk.view = view
    desk.news = f"{view.lo:.0f}-{view.hi:.0f} nm"


def turn_axis(desk: Desk) -> None:
    """Change the y axis between energy and photons."""
    photon = desk.view.axis == views.PHOTON_AXIS
    axis = views.ENERGY if photon else views.PHOTON_AXIS
    desk.view = views.rescale(replace(desk.view, axis=axis), desk.shown)
    if not any(scan.absolute for scan in desk.shown):
        desk.news = "photons need a scan with an absolute unit"
    else:
        desk.news = "energy per nm" if photon else "photons per nm"


def peak(desk: Desk, way: int) -> None:
    """Move the caret to the next peak of A, or say that there is none."""
    scan = desk.scan_a
    nm = None if scan is None else next_peak(scan, desk.nm, way)
    if nm is None:
        desk.news = f"no peak of A {'above' if way > 0 else 'below'} {desk.nm:g} nm"
    else:
        desk.caret_to(nm)


def edge(desk: Desk, way: int) -> None:
    """Move the caret to the next band edge within the scans."""
    nm = next_edge(desk.nm, way)
    lo, hi = desk.view.bounds
    if nm is None or not lo <= nm <= hi:
        desk.news = f"no band edge {'above' if way > 0 else 'below'} {desk.nm:g} nm"
    else:
        desk.caret_to(nm)


def apart(desk: Desk, width: int) -> None:
    """Set the panes apart or together again; say why not, where they cannot be."""
    if desk.apart:
        desk.apart, desk.shelf = False, None
        desk.news = "panes together"
    elif desk.scan_b is None:
        desk.news = "apart needs a scan in pane B"
    elif width < APART:
        desk.news = f"apart needs {APART} columns, here are {width}"
    else:
        desk.apart, desk.shelf = True, False
        desk.news = "panes apart, one y scale, one caret"


MOVES: dict[str, Callable[[Desk], None]] = {
    "step_back": lambda desk: desk.step(-1),
    "step_on": lambda desk: desk.step(+1),
    "put_a": lambda desk: desk.put_a(desk.cursor),
    "put_b": lambda desk: desk.put_b(desk.cursor),
    "fit": Desk.fit,
    "shelf_up": lambda desk: desk.move(-1),
    "shelf_down": lambda desk: desk.move(+1),
    "caret_left": lambda desk: desk.caret(-1),
    "caret_right": lambda desk: desk.caret(+1),
    "next_peak": lambda desk: peak(desk, +1),
    "previous_peak": lambda desk: peak(desk, -1),
    "next_edge": lambda desk: edge(desk, +1),
    "previous_edge": lambda desk: edge(desk, -1),
    "zoom_in": lambda desk: zoom(desk, ZOOM),
    "zoom_out": lambda desk: zoom(desk, 1 / ZOOM),
    "pan_left": lambda desk: pan(desk, -1),
    "pan_right": lambda desk: pan(desk, +1),
    "whole": whole,
    "axis": turn_axis,
    "next_card": lambda desk: desk.select(+1),
    "previous_card": lambda desk: desk.select(-1),
}
