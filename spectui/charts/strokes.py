"""Polylines made ready to draw: cut to what is shown, or turned into dots an even way apart. Pure geometry."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import hypot, isfinite

from spectui.charts.grid import Window

Point = tuple[float, float]
_HAIR = 1e-9


def inside(points: Sequence[Point], window: Window) -> list[list[Point]]:
    """Cut a polyline to the window; return its pieces. What lies on an edge is moved a hair within it."""
    pieces: list[list[Point]] = []
    last: Point | None = None
    for one, two in pairwise(points):
        kept = _clip(one, two, window)
        if kept is None:
            last = None
            continue
        if last is not None and kept[0] == last:
            pieces[-1].append(kept[1])
        else:
            pieces.append([*kept])
        last = kept[1] if kept[1] == two else None
    across, up = (window.right - window.left) * _HAIR, (window.upper - window.lower) * _HAIR
    left, right, lower, upper = window.left + across, window.right - across, window.lower + up, window.upper - up
    return [[(min(max(x, left), right), min(max(y, lower), upper)) for x, y in piece] for piece in pieces]


def _clip(one: Point, two: Point, edges: Window) -> tuple[Point, Point] | None:
    """Return the part of a segment within the edges (Liang and Barsky's way), None where there is none."""
    if not all(isfinite(value) for value in (*one, *two)):
        return None
    dx, dy = two[0] - one[0], two[1] - one[1]
    start, stop = 0.0, 1.0
    for step, room in (
        (-dx, one[0] - edges.left), (dx, edges.right - one[0]), (-dy, one[1] - edges.lower), (dy, edges.upper - one[1])
    ):  # fmt: skip
        if step == 0:
            if room < 0:
                return None
        elif step < 0:
            start = max(start, room / step)
        else:
            stop = min(stop, room / step)
    if start > stop:
        return None
    first = one if start == 0.0 else (one[0] + start * dx, one[1] + start * dy)
    return first, two if stop == 1.0 else (one[0] + stop * dx, one[1] + stop * dy)


def walk(points: Sequence[Point], dot: tuple[float, float], every: int) -> list[Point]:
    """Return places along a polyline, `every` dots apart as the eye sees it."""
    spots, left = [points[0]], float(every)
    for (x0, y0), (x1, y1) in pairwise(points):
        length = hypot((x1 - x0) / dot[0], (y1 - y0) / dot[1])
        done = 0.0
        while length - done >= left:
            done += left
            left = float(every)
            spots.append((x0 + (x1 - x0) * done / length, y0 + (y1 - y0) * done / length))
        left -= length - done
    return spots
