"""The view: pure moves on the wavelength axis, and a scale that holds its peak."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.view import (
    GUTTER,
    View,
    bounded,
    column,
    fit,
    followed,
    home,
    nice_top,
    pan,
    rescale,
    showing,
    whole,
    zoom,
)
from tests.charts.lights import NM, A, scan, white

VIEW = View(380, 800, bounds=(350, 900))


@pytest.mark.parametrize(("peak", "top"), [(0.62, 0.7), (0.95, 1.0), (1.0, 1.2), (0.0031, 0.0035), (47000, 50000)])
def test_a_scale_ends_at_a_round_value_a_little_above_the_peak(peak: float, top: float) -> None:
    assert nice_top(peak) == pytest.approx(top, rel=1e-12)


@settings(deadline=None)
@given(st.floats(1e-9, 1e9))
def test_a_scale_holds_its_peak_and_wastes_less_than_a_third(peak: float) -> None:
    assert peak < nice_top(peak) < peak * 1.34


def test_a_view_begins_with_380_to_800_as_far_as_the_scans_reach() -> None:
    long = np.arange(280.0, 1101.0)
    assert (fit([scan(np.ones(long.size), nm=long)]).lo, fit([scan(np.ones(long.size), nm=long)]).hi) == (380, 800)
    short = np.arange(400.0, 701.0)
    assert (fit([scan(np.ones(301), nm=short)]).lo, fit([scan(np.ones(301), nm=short)]).hi) == (400, 700)
    infrared = np.arange(900.0, 1701.0)
    view = fit([scan(np.ones(801), nm=infrared)])
    assert (view.lo, view.hi, view.bounds) == (900, 1700, (900, 1700))
    assert fit([]).hi == 800


@settings(deadline=None)
@given(st.floats(380, 800), st.floats(0.05, 20))
def test_zoom_keeps_the_wavelength_in_its_column_unless_a_bound_is_met(about: float, factor: float) -> None:
    view = zoom(VIEW, about, factor)
    first, last = VIEW.bounds
    assert first - 1e-9 <= view.lo < view.hi <= last + 1e-9
    if view.lo > first + 1e-6 and view.hi < last - 1e-6:
        before = (about - VIEW.lo) / (VIEW.hi - VIEW.lo)
        assert (about - view.lo) / (view.hi - view.lo) == pytest.approx(before, abs=1e-9)
    assert view.hi - view.lo >= 5.0 - 1e-9


@settings(deadline=None)
@given(st.floats(-1000, 1000))
def test_pan_keeps_the_width_and_the_bounds(step: float) -> None:
    view = pan(VIEW, step)
    assert view.hi - view.lo == pytest.approx(420)
    assert view.lo >= 350 - 1e-9 and view.hi <= 900 + 1e-9


def test_a_wavelength_is_brought_into_view_by_the_least_move() -> None:
    view = replace(VIEW, lo=500.0, hi=600.0)
    assert showing(view, 550) is view
    assert showing(view, 620).hi == pytest.approx(620)
    assert showing(view, 480).lo == pytest.approx(480)
    assert (whole(view).lo, whole(view).hi) == (350, 900)
    assert bounded(view, [A]).bounds == (380, 800)


def test_columns_of_band_edges_at_the_design_width() -> None:
    view = View(380, 800)
    assert [column(view, nm, 79) for nm in (400, 500, 600, 700)] == [9, 26, 44, 61]
    assert column(view, 380, 79) == GUTTER and column(view, 800, 79) == 78


def test_the_axis_reaches_below_zero_when_the_data_do_beyond_noise() -> None:
    random = np.random.default_rng(3)
    quiet = scan(white() + random.normal(0, 0.002, NM.size))
    assert quiet.values.min() < 0 and fit([quiet]).floor == 0
    assert fit([scan(white() - 0.1)]).floor == pytest.approx(-0.1, abs=1e-3)


def test_all_zero_and_all_negative_scans_have_a_scale() -> None:
    assert fit([scan(np.zeros(421))]).top == 1.0
    view = fit([scan(np.full(421, -0.5))])
    assert view.floor == -0.5 and view.top > 0


def test_the_photon_axis_has_its_own_scale() -> None:
    view = fit([A], axis="photon")
    # By hand: the peak of 0.642 W m-2 nm-1 at 453 nm is 0.642 * 453 * 0.0083593 = 2.43.
    assert view.top == 3.0
    assert rescale(replace(view, axis="energy"), [A]).top == 0.7


def test_the_axis_holds_while_scans_fill_it_and_follows_those_that_do_not() -> None:
    white, short = scan(np.ones(421)), scan(np.ones(401), nm=np.arange(380.0, 781.0))
    lamp, narrow = scan(np.ones(201), nm=np.arange(200.0, 401.0)), scan(np.ones(301), nm=np.arange(400.0, 701.0))
    view = fit([white])
    assert followed(view, [short]) is view  # ends that differ by little do not move the picture
    assert (followed(view, [lamp]).lo, followed(view, [lamp]).hi) == (200, 400)  # and not its last 20 nm
    assert followed(followed(view, [narrow]), [white]) == view
    assert home([lamp, white]) == (380, 800)
