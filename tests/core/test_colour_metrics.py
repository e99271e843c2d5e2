"""The fixed list for each colour and rendition metric: value, scaling, grids, range, NaN, negative, dark, units, batch.

The values are those of colour-science (tests/core/colour_cases.py); the other checks compare the core with itself where
it must agree.
"""

from __future__ import annotations

import re

import numpy as np
import pytest

from spectui.core.metrics import catalogue, evaluate, metrics
from spectui.core.results import Result
from spectui.core.scan import Scan
from spectui.core.units import COUNTS, IRRADIANCE, TRANSMITTANCE
from tests.core.colour_cases import COLOURS, LAMP
from tests.core.lamps import GRID, WHITE, WHITE_NM

KEYS = list(COLOURS)


def result(nm: np.ndarray, values: np.ndarray, unit: str | None = IRRADIANCE) -> Result:
    return metrics(Scan.build(nm, values, unit), KEYS)[0]


@pytest.fixture(scope="module")
def base() -> dict[str, float]:
    return {key: float(value) for key, value in evaluate(WHITE_NM, WHITE, KEYS).items()}


def same(found: dict[str, np.ndarray], base: dict[str, float], rel: float = 1e-9) -> None:
    for key in KEYS:
        assert found[key] == pytest.approx(base[key], rel=rel, abs=rel), key


def none(found: Result) -> set[str]:
    """The reasons of a result that has no colour number at all, each with its reason."""
    for key in KEYS:
        assert found[key].value is None, key
        assert found[key].unavailable, key
    return {str(found[key].unavailable) for key in KEYS}


@pytest.mark.parametrize("key", KEYS)
def test_value(key: str) -> None:
    """Published: colour-science 0.4.7 on FL2, rule sum."""
    assert float(evaluate(*LAMP, [key], rule="sum")[key]) == pytest.approx(COLOURS[key].value, abs=COLOURS[key].within)


@pytest.mark.parametrize("key", KEYS)
def test_metric_says_what_it_is(key: str) -> None:
    metric = catalogue()[key]
    assert metric.key == key and not metric.absolute
    assert all((metric.unit, metric.name, metric.definition, metric.formula, metric.source))
    assert metric.part == (re.fullmatch(r"(rf|rcs|rhs)_h\d+|r\d+", key) is not None and key != "r9")


def test_the_white_of_these_checks_has_every_number(base: dict[str, float]) -> None:
    assert np.isfinite(list(base.values())).all()
    assert 4000 < base["cct"] < 5000 and base["rf"] < 95  # between the two reference lights, and no reference itself


@pytest.mark.parametrize("factor", [1e-200, 1e-6, 3.0, 1e9])
def test_scaling_changes_nothing(factor: float, base: dict[str, float]) -> None:
    same(evaluate(WHITE_NM, factor * WHITE, KEYS), base)


@pytest.mark.parametrize("step", [5.0, 1.0, 0.25, None])
def test_grid_does_not_matter_to_a_piecewise_linear_spectrum(step: float | None, base: dict[str, float]) -> None:
    if step is None:
        grid = np.union1d(WHITE_NM, np.random.default_rng(5).uniform(WHITE_NM[0], WHITE_NM[-1], 333))
    else:
        grid = np.arange(WHITE_NM[0], WHITE_NM[-1] + step / 2, step)
        assert np.isin(WHITE_NM, grid).all()
    same(evaluate(grid, np.interp(grid, WHITE_NM, WHITE), KEYS), base)


@pytest.mark.parametrize(("lo", "hi"), [(430, 780), (380, 640), (420, 700), (505, 595)])
def test_truncated_range_is_not_available_and_says_what_is_needed(lo: float, hi: float) -> None:
    nm = np.arange(lo, hi + 1.0)
    for reason in none(result(nm, np.interp(nm, WHITE_NM, WHITE))):
        told = re.fullmatch(r"needs (\d+)-(\d+) nm, the scan covers (\d+)-(\d+) nm", reason)
        assert told, reason
        assert (float(told[3]), float(told[4])) == (lo, hi)
        assert not (lo <= float(told[1]) and float(told[2]) <= hi)


@pytest.mark.parametrize(("lo", "hi"), [(380, 780), (380, 750), (360, 830), (250, 1100)])
def test_usual_ranges_are_enough(lo: float, hi: float) -> None:
    nm = np.arange(lo, hi + 1.0)
    found = result(nm, np.interp(nm, WHITE_NM, WHITE))
    assert all(found[key].value is not None for key in KEYS)


def test_light_beyond_the_visible_does_not_matter(base: dict[str, float]) -> None:
    """Infrared within the scan is no colour; until so much of it that the visible light is a rest (1 lm/W)."""
    nm = np.concatenate((WHITE_NM, [840, 1700.0]))
    same(evaluate(nm, np.concatenate((WHITE, [0.0, 1.0])), KEYS), base)
    assert np.isnan(evaluate(nm, np.concatenate((WHITE, [0.0, 200.0])), ["cct"])["cct"])


def test_nan_sample_gives_no_number() -> None:
    values = np.tile(WHITE, (3, 1))
    values[1, 5] = np.nan
    for key, found in evaluate(WHITE_NM, values, KEYS).items():
        assert np.isnan(found).tolist() == [False, True, False], key


def test_all_zero_and_all_negative() -> None:
    for values in (0.0 * WHITE, -WHITE, -1e-9 * WHITE):
        assert none(result(WHITE_NM, values)) == {"the light does not add up to more than zero"}
        assert all(np.isnan(found) for found in evaluate(WHITE_NM, values, KEYS).values())


@pytest.mark.parametrize("factor", [1e-320, 1e-300, 1e-260])
def test_next_to_nothing_is_not_available_without_a_warning(factor: float) -> None:
    with np.errstate(divide="raise", over="raise", invalid="raise"):
        none(result(WHITE_NM, factor * WHITE))


def test_relative_scan_has_colour(base: dict[str, float]) -> None:
    found = result(WHITE_NM, 0.01 * WHITE, None)
    assert {key: found[key].value for key in KEYS} == pytest.approx(base, rel=1e-9)


@pytest.mark.parametrize(("unit", "word"), [(COUNTS, "counts"), (TRANSMITTANCE, "transmittance")])
def test_counts_and_transmittance_have_none(unit: str, word: str) -> None:
    assert all(word in reason for reason in none(result(WHITE_NM, 0.1 * WHITE, unit)))


def test_batch_equals_single_and_keeps_its_shape() -> None:
    """More rows than are computed at once, dark and coloured ones among them."""
    random = np.random.default_rng(7)
    stack = random.uniform(0.0, 1.0, (3, 250, GRID.size))
    stack[0, 3], stack[1, 200, :350], stack[2, 9, 7] = 0.0, 0.0, np.nan
    batch = evaluate(GRID, stack, KEYS)
    for place in ((0, 0), (0, 3), (1, 200), (1, 201), (2, 9), (2, 10), (2, 249)):
        for key, single in evaluate(GRID, stack[place], KEYS).items():
            assert batch[key].shape == (3, 250)
            assert batch[key][place] == pytest.approx(float(single), rel=1e-9, abs=1e-9, nan_ok=True), (key, place)


def test_one_key_alone_is_the_key_among_all(base: dict[str, float]) -> None:
    for key in KEYS:
        assert float(evaluate(WHITE_NM, WHITE, [key])[key]) == pytest.approx(base[key], rel=1e-9)
