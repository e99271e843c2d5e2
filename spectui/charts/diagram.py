"""What a chromaticity diagram is made of: spaces, loci, classes, a user's bins. Points of u′, v′ unless said."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import cos, isfinite, pi, sin
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from spectui.charts.grid import Window
from spectui.charts.strokes import Point
from spectui.core.chromaticity import DUV_TOLERANCE, NOMINAL, u_prime_v_prime
from spectui.core.isotherms import place
from spectui.core.results import Result
from spectui.core.tables import table

if TYPE_CHECKING:
    from spectui.core.bins import Bin, Bins

UV, XY = "u′v′", "xy"
WHOLE = {UV: Window(-0.04, 0.65, 0.0, 0.62), XY: Window(-0.05, 0.77, -0.02, 0.87)}
# Around the nominal classes: a light within it is shown together with them, else the whole diagram is.
_NEAR_WHITE = Window(0.16, 0.36, 0.42, 0.57)  # u′ and v′
_MARGIN = 0.005
_CIRCLE = 48


class Spot(NamedTuple):
    """The chromaticity of one light; None where a number is not available, and `unavailable` says why."""

    u_prime: float | None = None
    v_prime: float | None = None
    cct: float | None = None
    duv: float | None = None
    unavailable: str | None = None


class Region(NamedTuple):
    """A bin of the user's: its name and its corners in u′, v′, in turn."""

    name: str
    corners: Sequence[Point]


def spot_of(result: Result) -> Spot:
    """Take the numbers from a result that holds KEYS."""
    u, v, cct, duv = (result[key] for key in ("u_prime", "v_prime", "cct", "duv"))
    return Spot(u.value, v.value, cct.value, duv.value, u.unavailable or cct.unavailable)


def regions_of(bins: Bins) -> list[Region]:
    """Return the shapes of a user's bins that a diagram can show; a bin of other metrics alone has none."""
    return [Region(one.name, corners) for one in bins.bins for corners in _shapes(one)]


def _shapes(one: Bin) -> list[list[Point]]:
    """Return the corners in u′, v′ of what a bin asks of chromaticity; CCT and Duv count where both are bounded."""
    from spectui.core import bins as kinds

    found: list[list[Point]] = []
    ranges = {}
    for test in one.tests:
        if isinstance(test, kinds.Polygon):
            found.append(_out(test.keys == kinds.XY, [(float(x), float(y)) for x, y in test.corners]))
        elif isinstance(test, kinds.Circle):
            (x, y), r = test.centre, test.radius
            turn = [2 * pi * k / _CIRCLE for k in range(_CIRCLE)]
            found.append(_out(test.keys == kinds.XY, [(x + r * cos(t), y + r * sin(t)) for t in turn]))
        elif isinstance(test, kinds.InNominal):
            found += [class_of(n.target, n.tolerance, n.duv)[:-1] for n in NOMINAL if n.cct == test.cct]
        elif isinstance(test, kinds.Range):
            ranges[test.key] = (test.lo, test.hi)
    cct, duv = ranges.get("cct"), ranges.get("duv")
    if cct and duv and all(isfinite(end) for end in (*cct, *duv)) and cct[0] > 0:
        found.append(_box(*cct, *duv)[:-1])
    return found


def _out(xy: bool, points: list[Point]) -> list[Point]:
    """Return points of a bin in u′, v′: straight sides stay straight from one diagram to the other."""
    if not xy:
        return points
    u, v = u_prime_v_prime([x for x, _ in points], [y for _, y in points])
    return list(zip(u.tolist(), v.tolist(), strict=True))


def in_space(space: str, points: Sequence[Point]) -> list[Point]:
    """Return points of u′, v′ in a diagram."""
    if space == UV:
        return list(points)
    below = [6.0 * u - 16.0 * v + 12.0 for u, v in points]
    return [(9.0 * u / d, 4.0 * v / d) for (u, v), d in zip(points, below, strict=True)]


def class_of(target: float, tolerance: float, duv: float) -> list[Point]:
    return _box(target - tolerance, target + tolerance, duv - DUV_TOLERANCE, duv + DUV_TOLERANCE)


def _box(cool: float, hot: float, under: float, over: float) -> list[Point]:
    """Return the closed outline of a range of CCT and Duv; its long sides bend with the locus."""
    along = 1e6 / np.linspace(1e6 / cool, 1e6 / hot, 5)
    u, v = place([*along, *along[::-1], along[0]], [under] * 5 + [over] * 5 + [under])
    return list(zip(u.tolist(), v.tolist(), strict=True))


def middle(corners: Sequence[Point]) -> Point:
    return sum(x for x, _ in corners) / len(corners), sum(y for _, y in corners) / len(corners)


def centre_of(x: float, y: float) -> list[Point]:
    u, v = u_prime_v_prime(x, y)
    return [(float(u), float(v))]


def near_white(spot: Spot | None) -> Point | None:
    """Return where a light lies if it lies near the nominal classes."""
    if spot is None or spot.u_prime is None or spot.v_prime is None:
        return None
    u, v, near = spot.u_prime, spot.v_prime, _NEAR_WHITE
    return (u, v) if near.left <= u <= near.right and near.lower <= v <= near.upper else None


def around(window: Window, points: Sequence[Point]) -> Window:
    """Return the window, grown to hold the points."""
    for x, y in points:
        window = Window(
            min(window.left, x - _MARGIN), max(window.right, x + _MARGIN),
            min(window.lower, y - _MARGIN), max(window.upper, y + _MARGIN),
        )  # fmt: skip
    return window


@cache
def whites(space: str) -> Window:
    """Return the window of the nominal classes in a diagram."""
    points = [p for n in NOMINAL for p in in_space(space, class_of(n.target, n.tolerance, n.duv))]
    x, y = [p[0] for p in points], [p[1] for p in points]
    # Their names need room on the right.
    return Window(min(x) - _MARGIN, max(x) + 2 * _MARGIN, min(y) - _MARGIN, max(y) + _MARGIN)


@cache
def border() -> tuple[np.ndarray, list[Point]]:
    """Return the spectrum locus, 390-700 nm every 2 nm: wavelengths and u′, v′."""
    rows = table("cie1931")
    rows = rows[(rows[:, 0] >= 390) & (rows[:, 0] <= 700)][::2]
    total = rows[:, 1:].sum(axis=1)
    u, v = u_prime_v_prime(rows[:, 1] / total, rows[:, 2] / total)
    return rows[:, 0], list(zip(u.tolist(), v.tolist(), strict=True))


@cache
def planck() -> list[Point]:
    """Return the Planckian locus from 25 000 K to 1000 K."""
    u, v = place(1e6 / np.linspace(40.0, 1000.0, 97))
    return list(zip(u.tolist(), v.tolist(), strict=True))
