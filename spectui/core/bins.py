"""A user's bins: shapes in a chromaticity diagram, ranges of metrics; N scans sorted at once.

An edge belongs to its bin, and where bins touch or overlap the earlier one of the table has the scan: nothing falls
between two bins that share an edge. A bin that cannot be decided (a number that it needs is not available) leaves a
scan undecided, unless another number already says no. A light that has a chromaticity and no CCT (purple, say) is
decided: it lies in no range of CCT or Duv.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike

from spectui.core.chromaticity import EDGE, NOMINAL, NOT_AVAILABLE, OUTSIDE, nominal
from spectui.core.errors import UsageError
from spectui.core.metric import Array

XY, UV = ("x", "y"), ("u_prime", "v_prime")
MOST_CORNERS = 200


class Criterion(Protocol):
    """What a bin asks of a scan: `holds` answers for N scans at once, 1 yes, 0 no, NaN where it cannot be told."""

    @property
    def keys(self) -> tuple[str, ...]:
        """The metrics it needs."""

    def holds(self, columns: Mapping[str, Array]) -> Array:
        """Return the answers (N,) for columns key → (N,), NaN where a number is not available."""


@dataclass(frozen=True, slots=True, eq=False)
class Polygon:
    """The inside of a polygon and its edges. keys: XY or UV; corners: (k, 2)."""

    keys: tuple[str, ...]
    corners: Array

    @classmethod
    def build(cls, keys: tuple[str, ...], corners: ArrayLike) -> Polygon:
        """Check a polygon; the first corner may stand again at the end. Raises UsageError.

        Refused: fewer than 3 corners or more than 200, corners outside 0-1, a polygon that crosses or touches itself.
        """
        p = np.array(corners, dtype=np.float64)
        if p.ndim != 2 or p.shape[1] != 2 or not np.isfinite(p).all():
            raise UsageError("expected corners as pairs of numbers")
        if p.shape[0] > 1 and (p[0] == p[-1]).all():
            p = p[:-1]
        if not 3 <= p.shape[0] <= MOST_CORNERS:
            raise UsageError(f"expected 3-{MOST_CORNERS} corners, got {p.shape[0]}")
        if (p < 0).any() or (p > 1).any():
            raise UsageError("expected chromaticities of 0-1")
        _refuse_crossing(p)
        p.flags.writeable = False
        return cls(keys, p)

    def holds(self, columns: Mapping[str, Array]) -> Array:
        """Return 1 inside and within 1e-9 of an edge, 0 outside, NaN without a chromaticity."""
        a, b = (columns[key] for key in self.keys)
        points = np.stack((a, b), axis=1)
        inside, on = np.zeros(a.size, dtype=bool), np.zeros(a.size, dtype=bool)
        for first, last in zip(self.corners, np.roll(self.corners, -1, axis=0), strict=True):
            # A ray to the right crosses the edge: an odd number of crossings is inside.
            if first[1] != last[1]:
                at = first[0] + (b - first[1]) * ((last[0] - first[0]) / (last[1] - first[1]))
                inside ^= ((first[1] > b) != (last[1] > b)) & (a < at)
            on |= _away(points, first, last) <= EDGE
        return np.where(np.isnan(a) | np.isnan(b), np.nan, inside | on)


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle and its edge. keys: XY or UV; centre and radius in that diagram."""

    keys: tuple[str, ...]
    centre: tuple[float, float]
    radius: float

    def holds(self, columns: Mapping[str, Array]) -> Array:
        """Return 1 within the radius, 0 beyond, NaN without a chromaticity."""
        away = np.hypot(*(columns[key] - at for key, at in zip(self.keys, self.centre, strict=True)))
        return np.where(np.isnan(away), np.nan, away <= self.radius + EDGE)


@dataclass(frozen=True, slots=True)
class Range:
    """A metric from lo to hi, both ends included."""

    key: str
    lo: float
    hi: float

    @property
    def keys(self) -> tuple[str, ...]:
        """The metric; x tells a light without a CCT from one without a colour."""
        return (self.key, "x") if self.key in ("cct", "duv") else (self.key,)

    def holds(self, columns: Mapping[str, Array]) -> Array:
        """Return 1 within, 0 outside, NaN where the metric is not available."""
        value, known = columns[self.key], columns[self.keys[-1]]
        return np.where(np.isnan(known), np.nan, (value >= self.lo) & (value <= self.hi))


@dataclass(frozen=True, slots=True)
class InNominal:
    """In one of the nominal classes (core/chromaticity.py)."""

    cct: int
    keys: tuple[str, ...] = ("cct", "duv", "x")

    def holds(self, columns: Mapping[str, Array]) -> Array:
        """Return 1 in the class, 0 outside, NaN without a chromaticity."""
        found = nominal(columns["cct"], columns["duv"])
        return np.where(np.isnan(columns["x"]), np.nan, found == self.cct)


def centre(cct: int) -> tuple[float, float]:
    """Return x and y of a nominal class's centre. Raises UsageError on a CCT that is none."""
    for n in NOMINAL:
        if n.cct == cct:
            return n.x, n.y
    raise UsageError(f"expected a nominal CCT, {', '.join(str(n.cct) for n in NOMINAL)}, got {cct!r}")


@dataclass(frozen=True, slots=True)
class Bin:
    """A bin: what its name is and what it asks; all of it must hold."""

    name: str
    tests: tuple[Criterion, ...]

    @property
    def keys(self) -> tuple[str, ...]:
        """The metrics it needs, each once."""
        return tuple(dict.fromkeys(key for test in self.tests for key in test.keys))

    def holds(self, columns: Mapping[str, Array]) -> Array:
        """Return (N,): 0 where one test says no, else NaN where one cannot be told, else 1."""
        answers = np.stack([test.holds(columns) for test in self.tests])
        return np.where(np.fmin.reduce(answers) == 0, 0.0, np.minimum.reduce(answers))


@dataclass(frozen=True, slots=True)
class Bins:
    """A table of bins in order, the first that holds has the scan; `classes` divide each bin further (by flux, say)."""

    bins: tuple[Bin, ...]
    classes: tuple[Bin, ...] = ()
    title: str = ""

    def __post_init__(self) -> None:
        if not self.bins:
            raise UsageError("expected one bin or more")
        for kind in (self.bins, self.classes):
            names = [one.name for one in kind]
            for one in kind:
                if not one.name or one.name in (OUTSIDE, NOT_AVAILABLE) or names.count(one.name) > 1:
                    raise UsageError(f"expected a name of its own for each bin, got {one.name!r}")
                if not one.tests:
                    raise UsageError(f"{one.name}: expected a shape or the range of a metric")
        if len(set(self.names)) < len(self.names):
            raise UsageError("two names of a bin with its class are the same: change one")

    @property
    def names(self) -> tuple[str, ...]:
        """The names that a scan can get: a bin's, or a bin's and a class's."""
        if not self.classes:
            return tuple(one.name for one in self.bins)
        return tuple(f"{one.name} {more.name}" for one in self.bins for more in self.classes)

    @property
    def keys(self) -> tuple[str, ...]:
        """The metrics it needs, each once."""
        return tuple(dict.fromkeys(key for one in (*self.bins, *self.classes) for key in one.keys))

    def of(self, which: int) -> tuple[str, Bin]:
        """Return ("bin" or "class", the one that `sort` says cannot be decided): classes are counted after the bins."""
        more = which - len(self.bins)
        return ("bin", self.bins[which]) if more < 0 else ("class", self.classes[more])

    def sort(self, columns: Mapping[str, Array]) -> tuple[np.ndarray, np.ndarray]:
        """Sort N scans. columns: key → (N,) for each of `keys`, NaN where not available.

        Returns (place in `names`, −1 where there is none; the bin or class that cannot be decided, −1 where all can).
        """
        place, blocked = _first(self.bins, columns)
        if self.classes:
            more, open_ = _first(self.classes, columns)
            open_ = np.where(open_ >= 0, open_ + len(self.bins), -1)
            # One no is enough: outside the classes is outside, whatever the bin would be.
            no = ((place < 0) & (blocked < 0)) | ((more < 0) & (open_ < 0))
            blocked = np.where(no, -1, np.where(blocked >= 0, blocked, open_))
            place = np.where(no | (blocked >= 0), -1, place * len(self.classes) + more)
        return place, blocked


def _first(bins: Sequence[Bin], columns: Mapping[str, Array]) -> tuple[np.ndarray, np.ndarray]:
    """Return (first bin that holds, −1; the bin before it that cannot be decided, −1), each (N,)."""
    size = next(iter(columns.values())).size
    place, blocked = np.full(size, -1), np.full(size, -1)
    for k, one in enumerate(bins):
        answer = one.holds(columns)
        free = (place < 0) & (blocked < 0)
        place[free & (answer == 1)] = k
        blocked[free & np.isnan(answer)] = k
    return place, blocked


def _away(points: Array, first: Array, last: Array) -> Array:
    """Return the distance (N,) of points (N, 2) from a line between two points, or from each its own: (N, 2)."""
    along = last - first
    length = (along * along).sum(axis=-1)
    off = points - first
    t = np.clip((off * along).sum(axis=-1) / np.where(length > 0, length, 1.0), 0.0, 1.0)
    rest = off - t[..., np.newaxis] * along
    return np.asarray(np.hypot(rest[..., 0], rest[..., 1]))


def _refuse_crossing(p: Array) -> None:
    """Raise UsageError where two sides of a polygon (k, 2) cross, touch, or lie on each other."""
    k = p.shape[0]
    q = np.roll(p, -1, axis=0)
    if (_away(p, q, q) <= EDGE).any():
        at = int(np.argmax(_away(p, q, q) <= EDGE))
        raise UsageError(f"corner {at + 1} stands twice")
    i, j = np.triu_indices(k, 1)
    next_ = j == i + 1  # side i ends where side j begins
    around = (i == 0) & (j == k - 1)  # side j ends where side i begins
    touch = np.zeros(i.size, dtype=bool)
    for end, side, shared in ((p[i], j, around), (q[i], j, next_), (p[j], i, next_), (q[j], i, around)):
        touch |= ~shared & (_away(end, p[side], q[side]) <= EDGE)
    a, b, c, d = p[i], q[i], p[j], q[j]
    cross = (_turn(a, b, c) * _turn(a, b, d) < 0) & (_turn(c, d, a) * _turn(c, d, b) < 0) & ~next_ & ~around
    wrong = touch | cross
    if wrong.any():
        at = int(np.argmax(wrong))
        raise UsageError(
            f"the polygon crosses or touches itself: its sides from corner {i[at] + 1} and from corner {j[at] + 1}; "
            "list the corners in turn around it"
        )


def _turn(a: Array, b: Array, c: Array) -> Array:
    """Return which way a → b → c turns: twice the signed area."""
    turned: Array = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    return turned
