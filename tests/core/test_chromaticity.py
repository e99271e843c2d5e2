"""Nominal classes, steps and bins: the published table, shapes by hand and against other methods, traps."""

from __future__ import annotations

import re
import warnings
from dataclasses import FrozenInstanceError
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

import spectui
from spectui.core.bins import UV, XY, Bin, Bins, Circle, InNominal, Polygon, Range, centre
from spectui.core.chromaticity import (
    DUV_TOLERANCE,
    KEYS,
    NOMINAL,
    OUTSIDE,
    STEP,
    chromaticity,
    counts,
    duv_of,
    nominal,
    steps,
    u_prime_v_prime,
)
from spectui.core.colour import nearest
from spectui.core.errors import UsageError
from spectui.core.metrics import evaluate
from spectui.core.scan import Scan
from spectui.core.units import COUNTS, IRRADIANCE, RELATIVE, TRANSMITTANCE

NAN = float("nan")
IDS = [str(n.cct) for n in NOMINAL]


def cct_duv(x, y) -> tuple[np.ndarray, np.ndarray]:
    u, v = u_prime_v_prime(np.atleast_1d(x), np.atleast_1d(y))
    mired, duv = nearest(u, v / 1.5)
    return 1e6 / mired, duv


def class_of(cct: float, duv: float) -> float:
    return float(nominal(np.array([cct]), np.array([duv]))[0])


# --- published: ANSI C78.377 -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("n", NOMINAL, ids=IDS)
def test_a_centre_has_its_target_cct_and_duv(n):
    """Published (ANSI C78.377 targets and centres): CCT within 2 K; Duv formula, from memory, within 0.00009."""
    (cct,), (duv,) = cct_duv(n.x, n.y)
    assert cct == pytest.approx(n.target, abs=2.0)
    assert duv == pytest.approx(float(duv_of(n.target)), abs=9e-5)
    assert duv == pytest.approx(n.duv, abs=9e-5)


@pytest.mark.parametrize("n", NOMINAL, ids=IDS)
def test_a_centre_lies_in_its_own_class_at_no_step(n):
    (cct,), (duv,) = cct_duv(n.x, n.y)
    assert class_of(cct, duv) == n.cct
    away, of = steps(*(np.atleast_1d(v) for v in u_prime_v_prime(n.x, n.y)))
    assert (away[0], of[0]) == (0.0, n.cct)


@pytest.mark.parametrize("n", NOMINAL, ids=IDS)
def test_corners_just_inside_and_just_outside(n):
    """By hand: target CCT ± tolerance, target Duv ± 0.006 (from memory)."""
    for way in (-1, 1):
        for up in (-1, 1):
            cct, duv = n.target + way * n.tolerance, n.duv + up * DUV_TOLERANCE
            assert class_of(cct - 0.01 * way, duv - 1e-6 * up) == n.cct
            assert class_of(cct - 0.01 * way, duv + 1e-6 * up) != n.cct
            assert class_of(cct + 0.01 * way, duv - 1e-6 * up) != n.cct
        assert np.isnan(class_of(n.target, n.duv + way * (DUV_TOLERANCE + 1e-6)))


# Corners of the quadrangles in ANSI C78.377-2008, from memory: upper left, upper right, lower right, lower left. Its
# targets of Duv were 0.000, 0.000, 0.002 and 0.003.
CORNERS_2008 = {
    2700: (0.000, [(0.4813, 0.4319), (0.4562, 0.4260), (0.4373, 0.3893), (0.4593, 0.3944)]),
    3000: (0.000, [(0.4562, 0.4260), (0.4299, 0.4165), (0.4147, 0.3814), (0.4373, 0.3893)]),
    5700: (0.002, [(0.3376, 0.3616), (0.3207, 0.3462), (0.3222, 0.3243), (0.3366, 0.3369)]),
    6500: (0.003, [(0.3205, 0.3481), (0.3028, 0.3304), (0.3068, 0.3113), (0.3221, 0.3261)]),
}


@pytest.mark.parametrize("name", CORNERS_2008)
def test_printed_corners_lie_on_edges_of_constant_cct_and_constant_duv(name):
    """Published (from memory): within 5 K and 0.0001; so Duv's target does not move with CCT within a class."""
    target, corners = CORNERS_2008[name]
    n = next(n for n in NOMINAL if n.cct == name)
    cct, duv = cct_duv(*np.array(corners).T)
    low, high = n.target - n.tolerance, n.target + n.tolerance
    assert cct == pytest.approx([low, high, high, low], abs=5.0)
    up = target + DUV_TOLERANCE
    down = target - DUV_TOLERANCE
    assert duv == pytest.approx([up, up, down, down], abs=1e-4)


def test_classes_follow_each_other_without_a_gap_and_share_their_edges():
    for a, b in pairwise(NOMINAL):
        assert a.target + a.tolerance == b.target - b.tolerance
        assert class_of(a.target + a.tolerance, a.duv) in (a.cct, b.cct)
    ccts = np.linspace(2136, 7042, 5001)
    assert not np.isnan(nominal(ccts, duv_of(ccts))).any()
    assert np.isnan(nominal(np.array([2135.9, 7042.1]), np.zeros(2))).all()


def test_the_shared_edge_goes_to_the_nearer_target_in_mired():
    """By hand: 2870 K is 19.5 mired from 2725 K and 20.0 from 3045 K."""
    assert class_of(2870.0, 0.0) == 2700


def test_no_cct_no_class():
    assert np.isnan(class_of(NAN, NAN)) and np.isnan(class_of(3000.0, NAN))


def test_duv_of_by_hand():
    """By hand: 57700 / 5000² − 44.6 / 5000 + 0.0085 = 0.001888."""
    assert duv_of([5000.0, 2869.0]) == pytest.approx([0.001888, 0.0], abs=1e-12)


def test_steps_are_counted_in_a_circle_round_the_centre():
    """CIE TN 001:2014, 0.0011 in u′v′ a step (from memory)."""
    for n in NOMINAL:
        u, v = (float(c) for c in u_prime_v_prime(n.x, n.y))
        turn = np.arange(0, 2 * pi, 0.3)
        away, of = steps(u + 3 * 0.0011 * np.cos(turn), v + 3 * 0.0011 * np.sin(turn))
        assert away == pytest.approx(np.full(turn.size, 3.0), rel=1e-9)
        assert set(of) == {n.cct}


def test_steps_are_from_the_nearest_of_all_centres():
    rng = np.random.default_rng(5)
    u, v = rng.uniform(0.18, 0.33, 500), rng.uniform(0.4, 0.56, 500)
    away, of = steps(u, v)
    for k in range(u.size):
        all_of_them = {n.cct: hypot(u[k] - p, v[k] - q) / STEP for n in NOMINAL for p, q in [_uv(n.x, n.y)]}
        assert away[k] == pytest.approx(min(all_of_them.values()), rel=1e-12)
        assert all_of_them[int(of[k])] == pytest.approx(away[k], rel=1e-12)
    assert np.isnan(steps(np.array([NAN]), np.array([NAN]))).all()


def _uv(x: float, y: float) -> tuple[float, float]:
    """CIE 15: u′ = 4x / (−2x + 12y + 3), v′ = 9y / (−2x + 12y + 3)."""
    return 4 * x / (-2 * x + 12 * y + 3), 9 * y / (-2 * x + 12 * y + 3)


# --- shapes ----------------------------------------------------------------------------------------------------------


def points(xs, ys, keys=XY) -> dict[str, np.ndarray]:
    return {keys[0]: np.asarray(xs, dtype=float), keys[1]: np.asarray(ys, dtype=float)}


def test_a_polygon_by_hand():
    """An L: the notch is outside; corners and edges are inside."""
    shape = Polygon.build(XY, [(0.1, 0.1), (0.5, 0.1), (0.5, 0.2), (0.2, 0.2), (0.2, 0.5), (0.1, 0.5)])
    inside = [(0.15, 0.15), (0.45, 0.15), (0.15, 0.45), (0.1, 0.1), (0.2, 0.2), (0.3, 0.2), (0.2, 0.35), (0.1, 0.3)]
    outside = [(0.3, 0.3), (0.21, 0.21), (0.09, 0.1), (0.5001, 0.1), (0.15, 0.51), (0.6, 0.1), (0.05, 0.5)]
    assert list(shape.holds(points(*zip(*inside, strict=True)))) == [1] * len(inside)
    assert list(shape.holds(points(*zip(*outside, strict=True)))) == [0] * len(outside)
    assert np.isnan(shape.holds(points([NAN], [0.2]))).all()


def test_which_way_a_polygon_is_listed_and_where_it_begins_do_not_matter():
    corners = np.array([(0.2, 0.2), (0.4, 0.22), (0.45, 0.4), (0.3, 0.3), (0.22, 0.42)])
    at = points(*np.random.default_rng(1).uniform(0.1, 0.5, (2, 2000)))
    first = Polygon.build(XY, corners).holds(at)
    assert 0 < first.sum() < first.size
    for other in (corners[::-1], np.roll(corners, 2, axis=0), [*corners, corners[0]]):
        assert (Polygon.build(XY, other).holds(at) == first).all()


def star(angles: list[float], reach: list[float]) -> np.ndarray:
    """A polygon seen whole from its middle: simple however its corners reach out."""
    return np.array([(0.4 + r * cos(a), 0.4 + r * sin(a)) for a, r in zip(sorted(angles), reach, strict=True)])


@st.composite
def stars(draw, convex: bool = False):
    k = draw(st.integers(3, 9))
    # The corners stand in sectors of their own, so no angle between two of them reaches half a turn.
    angles = [(i + draw(st.floats(0.1, 0.4))) * 2 * pi / k for i in range(k)]
    reach = [0.3] * k if convex else [draw(st.floats(0.05, 0.35)) for _ in range(k)]
    return star(angles, reach)


@given(stars(convex=True), st.integers(0, 2**32 - 1))
@settings(max_examples=60, deadline=None)
def test_a_convex_polygon_is_the_common_part_of_its_half_planes(corners, seed):
    at = np.random.default_rng(seed).uniform(0, 0.8, (200, 2))
    a, b = corners, np.roll(corners, -1, axis=0)
    left = (b[:, 0] - a[:, 0]) * (at[:, 1, None] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (at[:, 0, None] - a[:, 0])
    clear = (np.abs(left) > 1e-8).all(axis=1)
    found = Polygon.build(XY, corners).holds(points(*at.T))
    assert ((found == 1) == (left > 0).all(axis=1))[clear].all()


@given(stars(), st.integers(0, 2**32 - 1))
@settings(max_examples=60, deadline=None)
def test_a_polygon_winds_once_round_the_points_inside(corners, seed):
    """Against another method: the sum of the angles under which the sides are seen is a whole turn, or none."""
    at = np.random.default_rng(seed).uniform(0, 0.8, (40, 2))
    found = Polygon.build(XY, corners).holds(points(*at.T))
    for (x, y), answer in zip(at, found, strict=True):
        seen = [atan2(q - y, p - x) for p, q in corners]
        turns = [(b - a + pi) % (2 * pi) - pi for a, b in zip(seen, [*seen[1:], seen[0]], strict=True)]
        assume(max(map(abs, turns)) < pi - 1e-6)  # not on a side
        assert answer == (abs(sum(turns)) > pi)


@given(stars(), st.data())
@settings(max_examples=60, deadline=None)
def test_points_on_the_sides_are_inside(corners, data):
    k = data.draw(st.integers(0, len(corners) - 1))
    t = data.draw(st.floats(0, 1))
    x, y = corners[k] + t * (corners[(k + 1) % len(corners)] - corners[k])
    assert Polygon.build(XY, corners).holds(points([x], [y]))[0] == 1


@given(stars(convex=True), st.data())
@settings(max_examples=60, deadline=None)
def test_two_corners_exchanged_cross_the_polygon(corners, data):
    assume(len(corners) >= 4)
    k = data.draw(st.integers(0, len(corners) - 2))
    order = list(range(len(corners)))
    order[k], order[k + 1] = order[k + 1], order[k]
    with pytest.raises(UsageError, match="crosses or touches itself"):
        Polygon.build(XY, corners[order])


@pytest.mark.parametrize(
    ("corners", "told"),
    [
        ([(0.1, 0.1), (0.3, 0.3), (0.3, 0.1), (0.1, 0.3)], "sides from corner 1 and from corner 3"),
        ([(0.1, 0.1), (0.2, 0.2), (0.3, 0.3)], "crosses or touches itself"),  # flat
        ([(0.1, 0.1), (0.3, 0.1), (0.2, 0.1), (0.2, 0.3)], "crosses or touches itself"),  # goes back on itself
        ([(0.1, 0.1), (0.3, 0.1), (0.3, 0.3), (0.2, 0.1), (0.1, 0.3)], "crosses or touches itself"),  # touches
        ([(0.1, 0.1), (0.3, 0.1), (0.3, 0.1), (0.2, 0.3)], "corner 2 stands twice"),
        ([(0.1, 0.1), (0.3, 0.1)], "expected 3-200 corners, got 2"),
        ([(0.1, 0.1), (0.3, 0.1), (0.1, 0.1)], "expected 3-200 corners, got 2"),
        ([(0.1, 0.1), (0.3, 0.1), (0.2, 1.3)], "expected chromaticities of 0-1"),
        ([(0.1, 0.1), (0.3, NAN), (0.2, 0.3)], "pairs of numbers"),
        ([(0.1, 0.1, 0.1)] * 4, "pairs of numbers"),
    ],
)
def test_a_polygon_that_is_none_is_refused(corners, told):
    with pytest.raises(UsageError, match=told):
        Polygon.build(XY, corners)


def test_a_circle_and_its_edge():
    shape = Circle(UV, (0.25, 0.52), 0.0033)
    turn = np.linspace(0, 2 * pi, 50)
    for radius, answer in ((0.0033, 1), (0.0033 - 1e-7, 1), (0.0033 + 1e-7, 0), (0.0, 1)):
        at = points(0.25 + radius * np.cos(turn), 0.52 + radius * np.sin(turn), UV)
        assert (shape.holds(at) == answer).all()
    assert np.isnan(shape.holds(points([NAN], [NAN], UV))).all()


def test_a_range_has_both_its_ends():
    answer = Range("ppfd", 200.0, 240.0).holds({"ppfd": np.array([199.999, 200.0, 220.0, 240.0, 240.001, NAN])})
    assert list(answer[:5]) == [0, 1, 1, 1, 0] and np.isnan(answer[5])
    assert list(Range("ppfd", 200.0, float("inf")).holds({"ppfd": np.array([1e9])})) == [1]


def test_a_light_without_a_cct_lies_in_no_range_of_it_and_one_without_a_colour_is_unknown():
    columns = {"cct": np.array([3000.0, NAN, NAN]), "duv": np.array([0.0, NAN, NAN]), "x": np.array([0.4, 0.3, NAN])}
    for asked in (Range("cct", 2000, 4000), Range("duv", -1, 1), InNominal(3000)):
        answer = asked.holds(columns)
        assert list(answer[:2]) == [1, 0] and np.isnan(answer[2])


def test_centres_are_those_of_the_table():
    assert centre(3000) == (0.4339, 0.4033)
    for wrong in (3100, "3000", None):
        with pytest.raises(UsageError, match="expected a nominal CCT, 2200, 2500"):
            centre(wrong)


# --- sorting ---------------------------------------------------------------------------------------------------------


def square(name: str, x: float, y: float, side: float = 0.1) -> Bin:
    return Bin(name, (Polygon.build(XY, [(x, y), (x + side, y), (x + side, y + side), (x, y + side)]),))


def placed(bins: Bins, **columns) -> list[str]:
    place, blocked = bins.sort({key: np.asarray(column, dtype=float) for key, column in columns.items()})
    return [bins.names[p] if p >= 0 else "?" if b >= 0 else "-" for p, b in zip(place, blocked, strict=True)]


def test_the_first_bin_that_holds_has_the_scan():
    left, right = square("left", 0.2, 0.2), square("right", 0.3, 0.2)
    x, y = [0.25, 0.35, 0.3, 0.3, 0.45], [0.25, 0.25, 0.25, 0.2, 0.25]
    assert placed(Bins((left, right)), x=x, y=y) == ["left", "right", "left", "left", "-"]
    assert placed(Bins((right, left)), x=x, y=y) == ["left", "right", "right", "right", "-"]
    over = square("over", 0.15, 0.15, 0.4)
    assert placed(Bins((right, over, left)), x=x, y=y) == ["over", "right", "right", "right", "over"]


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=40, deadline=None)
def test_nothing_falls_between_bins_that_share_a_slanted_edge(seed):
    """Triangles round a middle fill a square: every point, on an edge or not, is in the first that holds it."""
    rng = np.random.default_rng(seed)
    middle = rng.uniform(0.3, 0.5, 2)
    square_ = np.array([(0.2, 0.2), (0.6, 0.2), (0.6, 0.6), (0.2, 0.6)])
    made = [Bin(f"{k}", (Polygon.build(XY, [square_[k], square_[(k + 1) % 4], middle]),)) for k in range(4)]
    t = rng.uniform(0, 1, (25, 1))
    on_edges = np.concatenate([middle + t * (corner - middle) for corner in square_])
    at = np.concatenate([rng.uniform(0.2, 0.6, (100, 2)), on_edges])
    x, y = at.T
    assert "-" not in placed(Bins(tuple(made)), x=x, y=y)
    # The edge to corner 1 is shared by triangles 0 and 1.
    x, y = on_edges[25:50].T
    assert set(placed(Bins((made[0], made[1])), x=x, y=y)) == {"0"}
    assert set(placed(Bins((made[1], made[0])), x=x, y=y)) == {"1"}


def test_what_cannot_be_told_is_not_sorted_unless_another_number_says_no():
    bright = Bin("bright", (*square("", 0.2, 0.2).tests, Range("ppfd", 200, 300)))
    here = square("here", 0.2, 0.2)
    x, y, ppfd = [0.25, 0.25, 0.25, 0.6, 0.25], [0.25] * 5, [250, 100, NAN, NAN, 301]
    assert placed(Bins((bright, here)), x=x, y=y, ppfd=ppfd) == ["bright", "here", "?", "-", "here"]
    # Before the bin that cannot be decided, one that holds has the scan.
    assert placed(Bins((here, bright)), x=x, y=y, ppfd=ppfd) == ["here", "here", "here", "-", "here"]
    place, blocked = Bins((bright, here)).sort({"x": np.array(x), "y": np.array(y), "ppfd": np.array(ppfd, float)})
    assert list(place) == [0, 1, -1, -1, 1] and list(blocked) == [-1, -1, 0, -1, -1]


def test_classes_divide_every_bin():
    bins = Bins(
        (square("L", 0.2, 0.2), square("R", 0.3, 0.2)),
        (Bin("1", (Range("ppfd", 200, 300),)), Bin("2", (Range("ppfd", 100, 200),))),
    )
    assert bins.names == ("L 1", "L 2", "R 1", "R 2")
    assert bins.keys == ("x", "y", "ppfd")
    x = [0.25, 0.25, 0.35, 0.35, 0.25, 0.6, 0.25, NAN, NAN, 0.6]
    ppfd = [250, 150, 150, 200, 99, 250, NAN, 250, 99, NAN]
    found = placed(bins, x=x, y=[0.25] * 10, ppfd=ppfd)
    assert found == ["L 1", "L 2", "R 2", "R 1", "-", "-", "?", "?", "-", "-"]
    _, blocked = bins.sort({"x": np.array([0.25, NAN]), "y": np.full(2, 0.25), "ppfd": np.array([NAN, NAN])})
    assert [bins.of(int(b))[0] for b in blocked] == ["class", "bin"]
    assert bins.of(2)[1].name == "1"


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda: Bins(()), "one bin or more"),
        (lambda: Bins((square("a", 0.2, 0.2), square("a", 0.3, 0.2))), "a name of its own"),
        (lambda: Bins((square("outside", 0.2, 0.2),)), "a name of its own"),
        (lambda: Bins((square("", 0.2, 0.2),)), "a name of its own"),
        (lambda: Bins((Bin("a", ()),)), "a shape or the range"),
        (
            lambda: Bins(
                (square("a", 0.2, 0.2), square("a b", 0.2, 0.2)),
                (Bin("b c", (Range("x", 0, 1),)), Bin("c", (Range("x", 0, 1),))),
            ),
            "the same",
        ),
    ],
)
def test_a_table_that_is_none_is_refused(make, told):
    with pytest.raises(UsageError, match=told):
        make()


# --- scans -----------------------------------------------------------------------------------------------------------

NM = np.arange(380.0, 781.0)


def line(nm: float, width: float = 9.0, grid=NM) -> np.ndarray:
    return np.exp(-0.5 * ((grid - nm) / width) ** 2)


def white(warm: float = 0.7) -> np.ndarray:
    return 0.5 * line(450) + warm * line(590, 55)


def scan(values, nm=NM, unit=IRRADIANCE, title="t", **more) -> Scan:
    return Scan.build(nm, values, unit, {"title": title}, **more)


UV_NM = np.arange(300.0, 781.0)
# Each trap with a piece of its reason.
TRAPS = {
    "far red alone": (scan(line(730)), "too little visible light"),
    "blue and red": (scan(line(450) + 2 * line(660)), r"\|Duv\| is over 0.05"),
    "zeros": (scan(np.zeros(NM.size)), "more than zero"),
    "ultraviolet": (scan(line(365, grid=UV_NM), UV_NM), "too little visible light"),
    "negative": (scan(-white()), "more than zero"),
    "counts": (scan(white() * 1e4, unit=COUNTS), "raw counts"),
    "a transmittance": (scan(line(550, 90), unit=TRANSMITTANCE), "no light"),
    "cut": (scan(white()[:200], NM[:200]), "needs 360-830 nm, the scan covers 380-579 nm"),
}


@pytest.mark.parametrize("trap", TRAPS)
def test_a_trap_has_no_class_no_steps_and_its_reason(trap):
    one, told = TRAPS[trap]
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        (found,) = chromaticity(one)
    assert (found.cct, found.duv, found.nominal_cct, found.steps, found.steps_from, found.bin) == (None,) * 6
    assert re.search(told, found.unavailable)
    assert (found.x is None) == (trap != "blue and red")


WARM = Bin("any white", (Range("cct", 1000.0, 25000.0),))
PURPLE = Bin("purple", (Polygon.build(XY, [(0.2, 0.0), (0.5, 0.0), (0.5, 0.3), (0.2, 0.3)]),))


def test_a_trap_is_sorted_where_that_can_be_told():
    bins = Bins((WARM, PURPLE))
    found = dict(zip(TRAPS, chromaticity([one for one, _ in TRAPS.values()], bins), strict=True))
    assert found.pop("blue and red").bin == "purple"
    for one in found.values():
        assert one.bin is None and one.unavailable
    assert counts(list(found.values()), bins) == {"any white": 0, "purple": 0, "outside": 0, "not available": 7}


def test_a_relative_scan_has_its_colour_and_no_bin_of_flux():
    bins = Bins((Bin("W", (Range("cct", 1000, 25000), Range("ppfd", 0, 1e6))),))
    absolute, relative = chromaticity([scan(white()), scan(white(), unit=RELATIVE)], bins)
    assert (absolute.bin, absolute.unavailable) == ("W", None)
    assert relative.cct == pytest.approx(absolute.cct, rel=1e-12)
    assert relative.nominal_cct == absolute.nominal_cct and relative.steps == pytest.approx(absolute.steps)
    assert relative.bin is None
    assert relative.unavailable == "bin W needs ppfd: relative scan: it has no absolute unit"


def test_one_at_a_time_all_at_once_and_in_any_order_is_the_same():
    rng = np.random.default_rng(3)
    fine = np.arange(370.0, 790.0, 0.5)
    scans = [scan(white(w) + 0.01 * rng.uniform(size=NM.size), title=f"{w}") for w in rng.uniform(0.05, 3, 30)]
    scans += [scan(0.5 * line(450, grid=fine) + w * line(600, 50, fine), fine) for w in rng.uniform(0.3, 2, 10)]
    scans += [one for one, _ in TRAPS.values()]
    bins = Bins(
        (*(Bin(str(n.cct), (InNominal(n.cct),)) for n in NOMINAL), PURPLE),
        (Bin("low", (Range("ppfd", 0, 200),)), Bin("high", (Range("ppfd", 200, float("inf")),))),
    )
    together = chromaticity(scans, bins)
    order = rng.permutation(len(scans))
    mixed = chromaticity([scans[k] for k in order], bins)
    assert [one.scan for one in mixed] == [scans[k] for k in order]
    tally = counts(together, bins)
    assert tally == counts(mixed, bins)
    assert sum(tally.values()) == len(scans) and len([n for n in tally.values() if n]) > 5
    for k, one in enumerate(mixed):
        for other in (together[order[k]], chromaticity(one.scan, bins)[0]):
            for name, value in one.as_dict().items():
                same = getattr(other, name, value)
                assert same == (pytest.approx(value, rel=1e-9, abs=1e-12) if isinstance(value, float) else value), name


def planck(kelvin: float) -> np.ndarray:
    """A black body, in some unit; c₂ = 1.4388e-2 m K as CIE 15 has it for colour temperatures."""
    radiance = (NM * 1e-9) ** -5 / np.expm1(1.4388e-2 / (NM * 1e-9 * kelvin))
    return radiance / radiance.max()


def test_a_black_body_lies_in_the_class_of_its_temperature():
    """By hand: on the locus, so CCT is its temperature (within 2 K on 380-780 nm) and Duv 0."""
    found = chromaticity([scan(planck(n.target)) for n in NOMINAL] + [scan(planck(t)) for t in (2100.0, 7100.0)])
    for one, n in zip(found, NOMINAL, strict=False):
        assert one.cct == pytest.approx(n.target, abs=2.0) and one.duv == pytest.approx(0, abs=1e-4)
    assert [one.nominal_cct for one in found] == [*(n.cct for n in NOMINAL), None, None]


def test_the_arrays_of_evaluate_give_the_same():
    stack = np.stack(
        [planck(t) for t in np.linspace(1900, 9000, 60)] + [line(730), line(450) + 2 * line(660), line(520)]
    )
    bins = Bins((WARM, PURPLE))
    columns = evaluate(NM, stack, dict.fromkeys((*KEYS, *bins.keys)))
    place, blocked = bins.sort(columns)
    classes = nominal(columns["cct"], columns["duv"])
    found = chromaticity([scan(values) for values in stack], bins)
    names = [bins.names[p] if p >= 0 else None if b >= 0 else OUTSIDE for p, b in zip(place, blocked, strict=True)]
    assert names == [one.bin for one in found]
    assert set(names) == {"any white", "purple", OUTSIDE, None}
    assert [None if np.isnan(c) else int(c) for c in classes] == [one.nominal_cct for one in found]
    assert {one.nominal_cct for one in found} == {*(n.cct for n in NOMINAL), None}


# Expected by the CCT that FACTS of CIE illuminants give (A 2856 K, D50 5001 K, D65 6503 K at Duv +0.0032, LED-B1
# 2735 K, LED-B2 2999 K, LED-B3 4102 K) and the table of classes.
@pytest.mark.parametrize(
    ("name", "expected"),
    [("A", 2700), ("D50", 5000), ("D65", 6500), ("LED-B1", 2700), ("LED-B2", 3000), ("LED-B3", 4000)],
)
def test_cie_illuminants_lie_in_the_class_of_their_cct(name, expected):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # about plotting that is not installed
        colour = pytest.importorskip("colour")
    sd = colour.SDS_ILLUMINANTS[name]
    (found,) = chromaticity(Scan.build(sd.wavelengths, sd.values, RELATIVE))
    assert found.nominal_cct == expected
    assert found.unavailable is None


def test_the_library_has_it_and_its_results_are_frozen():
    (found,) = spectui.chromaticity([scan(white(), source="a.csv", index=2)], bins=None)
    assert isinstance(found, spectui.Chromaticity)
    assert list(found.as_dict()) == [
        "source",
        "index",
        *KEYS,
        "nominal_cct",
        "steps",
        "steps_from",
        "bin",
        "unavailable",
    ]
    assert found.as_dict()["source"] == "a.csv" and found.as_dict()["index"] == 2
    assert spectui.chromaticity([]) == []
    with pytest.raises(FrozenInstanceError):
        found.bin = "mine"
