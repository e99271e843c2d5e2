"""The integration rule itself: jumps, knots, coverage, and the matrix that is kept for each grid."""

from __future__ import annotations

import tracemalloc

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from spectui.core import weights
from spectui.core.weights import Weight, column, coverage, energy_band, integrals, matrix, missing, photon_band, weight

GRID = np.array([380.0, 401.0, 450.5, 599.0, 780.0])


def test_a_knot_that_stands_twice_is_a_jump() -> None:
    """By hand: 1 over 400-500 nm, then 0.1 over 500-600 nm, on a spectrum of 1: 100 + 10."""
    step = weight("step", [400, 500, 500, 600], [1, 1, 0.1, 0.1])
    for grid in (GRID, np.array([300.0, 900.0]), np.array([380.0, 500.0, 780.0])):
        assert column(grid, step).sum() == pytest.approx(110.0, rel=1e-12)


def test_both_linear() -> None:
    """By hand: weight t, spectrum t over 100 nm: 100 / 3; per photon ∫ t² c (400 + 100 t) 100 dt."""
    c = 0.008359347229111778
    grid, values = np.array([400.0, 500.0]), np.array([0.0, 1.0])
    assert values @ column(grid, weight("w", [400, 500], [0, 1])) == pytest.approx(100 / 3, rel=1e-12)
    per_photon = weight("w", [400, 500], [0, 1], photon=True)
    assert values @ column(grid, per_photon) == pytest.approx(100 * c * (400 / 3 + 25), rel=1e-12)


@pytest.mark.parametrize("band", [(100.0, 200.0), (800.0, 900.0), (780.0, 900.0), (200.0, 380.0)])
def test_weight_beside_the_grid_counts_nothing(band: tuple[float, float]) -> None:
    assert not column(GRID, energy_band("away", *band)).any()


def test_band_within_one_interval_and_at_its_edges() -> None:
    for lo, hi in ((460.0, 461.0), (450.5, 599.0), (450.5, 451.0), (598.0, 599.0), (401.0, 780.0)):
        assert column(GRID, energy_band("band", lo, hi)).sum() == pytest.approx(hi - lo, rel=1e-12)


@given(
    st.lists(st.integers(3000, 9000), min_size=2, max_size=12, unique=True),
    st.lists(st.integers(3000, 9000), min_size=2, max_size=8, unique=True),
    st.booleans(),
    st.integers(0, 2**32 - 1),
)
def test_samples_between_change_nothing(grid: list[int], knots: list[int], photon: bool, seed: int) -> None:
    """Samples put in on a scan's own lines, and knots on a weight's own lines, leave every integral as it is."""
    random = np.random.default_rng(seed)
    nm, at = np.sort(np.array(grid)) / 10, np.sort(np.array(knots)) / 10
    values, heights = random.normal(size=nm.size), random.uniform(0, 1, at.size)
    more_nm = np.union1d(nm, random.uniform(nm[0], nm[-1], 9))
    more_at = np.union1d(at, random.uniform(at[0], at[-1], 9))
    plain = values @ column(nm, weight("w", at, heights, photon=photon))
    fine_weight = weight("w", more_at, np.interp(more_at, at, heights), photon=photon)
    fine = np.interp(more_nm, nm, values) @ column(more_nm, fine_weight)
    assert fine == pytest.approx(plain, rel=1e-9, abs=1e-7)


def test_coverage_by_hand() -> None:
    """By hand: energy by length, photons by λ²."""
    assert coverage(energy_band("e", 400, 700), 380, 550) == pytest.approx(0.5, rel=1e-12)
    assert coverage(photon_band("p", 400, 700), 550, 800) == pytest.approx((700**2 - 550**2) / (700**2 - 400**2))
    assert coverage(photon_band("p", 400, 700), 400, 700) == pytest.approx(1.0, rel=1e-12)
    assert coverage(photon_band("p", 400, 700), 710, 800) == 0.0
    assert coverage(weight("none", [400, 500], [0, 0]), 300, 800) == 0.0


def test_negative_weight_counts_by_its_size_in_the_coverage() -> None:
    both = weight("both", [400, 500, 500, 600], [1, 1, -1, -1])
    assert coverage(both, 400, 500) == pytest.approx(0.5, rel=1e-12)
    assert missing(both, 390, 500) == "needs 400-600 nm, the scan covers 390-500 nm"


def test_what_is_seen_is_enough_where_the_weight_says_so() -> None:
    part = energy_band("part", 280, 400, seen=True)
    assert missing(part, 390, 780) is None
    assert missing(part, 400, 780) == "needs some of 280-400 nm, the scan covers 400-780 nm"


def test_reason_keeps_the_digits_that_tell_the_ranges_apart() -> None:
    """A scan that starts at 400.4 nm must not be said to cover 400 nm."""
    assert missing(photon_band("p", 400, 700), 402.25, 780.5) == "needs 400-700 nm, the scan covers 402.25-780.5 nm"


def test_matrix_is_kept_for_a_grid_and_read_only() -> None:
    some = (photon_band("a", 400, 700), energy_band("b", 400, 500))
    first = matrix(GRID, some)
    assert first.shape == (5, 2)
    assert matrix(GRID.copy(), some) is first
    with pytest.raises(ValueError, match="read-only"):
        first[0, 0] = 1.0


def test_a_grid_too_large_to_keep_gives_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    some: tuple[Weight, ...] = (photon_band("a", 400, 700), energy_band("b", 400, 500))
    values = np.random.default_rng(1).uniform(size=(3, GRID.size))
    kept = integrals(GRID, values, some)
    monkeypatch.setattr(weights, "_LARGEST_MATRIX", 1)
    for key, found in integrals(GRID, values, some).items():
        assert found == pytest.approx(kept[key], rel=1e-12)


def test_a_grid_too_large_to_keep_fills_no_memory_with_a_wide_table() -> None:
    """300 functions on 10 000 samples are 24 MB a copy: the columns are never all there at once."""
    grid = np.linspace(380.0, 780.0, 10_000)
    table = np.random.default_rng(2).uniform(size=(3, 300))
    wide = weight("wide", [400.0, 500.0, 700.0], table)
    values = np.random.default_rng(3).uniform(size=(2, grid.size))
    tracemalloc.start()
    found = integrals(grid, values, (wide,))["wide"]
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert found == pytest.approx(values @ weights.columns(grid, wide), rel=1e-12)
    assert peak < 8 * weights._LARGEST_MATRIX * 10
