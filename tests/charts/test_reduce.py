"""The reduction to columns: no peak lost, no flank moved, every dot on the curve."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.reduce import columns, dot_rows, extremes_of, value_at
from spectui.charts.view import View
from tests.charts.lights import A, scan, sodium

COUNTS = st.integers(1, 250)


@st.composite
def curves(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray]:
    steps = draw(st.lists(st.floats(0.1, 40), min_size=2, max_size=60))
    nm = 350 + np.cumsum(steps)
    values = draw(st.lists(st.floats(-2, 10), min_size=nm.size, max_size=nm.size))
    return nm, np.array(values)


def slow_extremes(nm: np.ndarray, values: np.ndarray, lo: float, hi: float) -> tuple[float, float]:
    """Extremes of the piecewise linear curve in [lo, hi], the plain way."""
    ends = np.clip([lo, hi], nm[0], nm[-1])
    seen = np.concatenate((np.interp(ends, nm, values), values[(nm >= ends[0]) & (nm <= ends[1])]))
    return float(seen.min()), float(seen.max())


@settings(max_examples=60, deadline=None)
@given(curves(), COUNTS)
def test_extremes_of_each_column_are_those_of_the_curve(curve: tuple[np.ndarray, np.ndarray], count: int) -> None:
    nm, values = curve
    view = View(380, 800)
    got = columns(scan(values, nm=nm), view, count)
    edges = np.linspace(380, 800, count + 1)
    for i in range(count):
        if edges[i + 1] <= nm[0] or edges[i] >= nm[-1]:
            assert np.isnan([got.high[i], got.low[i], got.upper[i], got.lower[i]]).all()
            continue
        low, high = slow_extremes(nm, values, edges[i], edges[i + 1])
        assert got.high[i] == pytest.approx(high, abs=1e-9) and got.low[i] == pytest.approx(low, abs=1e-9)
        assert low - 1e-9 <= got.lower[i] <= got.upper[i] <= high + 1e-9


@settings(max_examples=60, deadline=None)
@given(st.floats(381, 799), COUNTS)
def test_a_spike_between_columns_is_seen_at_full_height(at: float, count: int) -> None:
    nm = np.array([380, at - 0.05, at, at + 0.05, 800])
    got = columns(scan(np.array([0, 0, 1, 0, 0]), nm=nm), View(380, 800), count)
    assert got.upper.max() == pytest.approx(1.0, abs=1e-9)
    assert (got.upper > 0.01).sum() <= 2


def test_a_spike_on_the_edge_of_two_columns_is_seen() -> None:
    nm = np.array([380, 589.9, 590, 590.1, 800])
    got = columns(scan(np.array([0, 0, 1, 0, 0]), nm=nm), View(380, 800), 2)
    assert got.upper.tolist() == [1.0, 1.0]


def test_a_flank_stands_where_it_is() -> None:
    ramp = columns(scan(np.array([0.0, 420.0]), nm=np.array([380.0, 800.0])), View(380, 800), 10)
    assert ramp.upper == pytest.approx(np.arange(21.0, 420.0, 42.0))
    assert ramp.lower == pytest.approx(ramp.upper)


@settings(max_examples=60, deadline=None)
@given(curves(), COUNTS, st.floats(0.5, 30))
def test_every_dot_lies_on_the_curve_and_the_line_has_no_gap(
    curve: tuple[np.ndarray, np.ndarray], count: int, per_unit: float
) -> None:
    nm, values = curve
    got = columns(scan(values, nm=nm), View(380, 800), count)
    rows, zero = 400, 80
    dots = dot_rows(got, per_unit, zero, rows)
    reached = np.flatnonzero(~np.isnan(got.high))
    for i in reached:
        set_rows = np.flatnonzero(dots[:, i])
        assert set_rows.size and (np.diff(set_rows) == 1).all()
        assert set_rows[0] >= np.floor(got.low[i] * per_unit + zero - 1e-6)
        assert set_rows[-1] <= np.floor(got.high[i] * per_unit + zero + 1e-6)
    for i, j in pairwise(reached):
        one, other = np.flatnonzero(dots[:, i]), np.flatnonzero(dots[:, j])
        assert max(one[0], other[0]) - min(one[-1], other[-1]) <= 1


def test_readings_are_linear_between_samples_and_absent_outside() -> None:
    two = scan(np.array([1.0, 3.0]), nm=np.array([400.0, 500.0]))
    view = View(380, 800)
    assert value_at(two, view, 425) == pytest.approx(1.5)
    assert value_at(two, view, 399.9) is None and value_at(two, view, 500.1) is None
    photons = View(380, 800, axis="photon")
    # 1e-3 / (h c N_A) * 450 nm = 3.76171 umol/J (exact SI constants).
    assert value_at(two, photons, 450) == pytest.approx(2 * 3.76171, rel=1e-5)


def test_a_scan_with_no_part_in_the_view_counts_as_nothing() -> None:
    assert extremes_of(A, View(900, 1000)) == (0.0, 0.0)
    assert extremes_of(scan(sodium()), View(380, 800))[1] == pytest.approx(sodium().max())
