"""User-supplied action spectra. Every table in here is INVENTED for the test and stands for no publication."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad

from spectui.core.actions import Action
from spectui.core.errors import ScanError
from spectui.core.metrics import metrics
from spectui.core.scan import Scan
from spectui.core.units import IRRADIANCE, UMOL_PER_JOULE_NM
from spectui.core.weights import columns, coverage

INVENTED = "invented for this test, no publication"

# INVENTED weights. Only where they peak is McCree's (1972, Agric. Meteorol. 9:191-216, abstract: quantum yield has
# broad maxima at 620 and 440 nm, a shoulder at 670 nm, the blue maximum 70 % of the red); every number is made up.
INVENTED_YIELD_NM = [360, 400, 440, 490, 530, 580, 620, 650, 670, 690, 730]
INVENTED_YIELD = [0.10, 0.40, 0.70, 0.50, 0.60, 0.90, 1.00, 0.90, 0.88, 0.50, 0.0]


def invented_yield(per: str = "photon") -> Action:
    return Action.build("yield", INVENTED_YIELD_NM, INVENTED_YIELD, source=INVENTED, per=per)


def measure(action: Action, grid: np.ndarray, values: np.ndarray) -> float:
    """The metric of one spectrum, NaN where it is not available."""
    value = metrics(Scan.build(grid, values, IRRADIANCE), [action.key], more=[action.metric()])[0][action.key].value
    return np.nan if value is None else value


def line_at(nm: float, watts: float = 1.0, half: float = 0.05) -> tuple[np.ndarray, np.ndarray]:
    """A triangle of `watts` in all, so narrow that it stands for one wavelength."""
    return np.array([300.0, nm - half, nm, nm + half, 800.0]), np.array([0.0, 0.0, watts / half, 0.0, 0.0])


def test_constant_photon_weight_is_the_photon_flux_of_the_band() -> None:
    """By hand: weight 1 over 400-700 nm on equal energy 1 W m-2 nm-1 is c (700² − 400²) / 2."""
    action = Action.build("flat", [400, 700], [1, 1], source=INVENTED, per="photon")
    expected = UMOL_PER_JOULE_NM * (700**2 - 400**2) / 2
    for grid in (np.array([300.0, 800.0]), np.arange(380.0, 781.0, 5.0), np.array([400.0, 700.0])):
        assert measure(action, grid, np.ones_like(grid)) == pytest.approx(expected, rel=1e-12)


def test_sloping_weight_times_photon_factor_times_sloping_spectrum() -> None:
    """By hand: w = t, E = t, λ = 400 + 100 t over t = 0-1: ∫ t² c (400 + 100 t) 100 dt = 100 c (400/3 + 25)."""
    action = Action.build("slope", [400, 500], [0, 1], source=INVENTED, per="photon")
    grid = np.array([400.0, 500.0])
    expected = 100 * UMOL_PER_JOULE_NM * (400 / 3 + 100 / 4)
    assert measure(action, grid, np.array([0.0, 1.0])) == pytest.approx(expected, rel=1e-12)


def test_per_energy_has_no_photon_factor() -> None:
    """By hand: w = t and E = t over 100 nm: 100 / 3 W m-2."""
    action = Action.build("slope", [400, 500], [0, 1], source=INVENTED, per="energy")
    assert measure(action, np.array([400.0, 500.0]), np.array([0.0, 1.0])) == pytest.approx(100 / 3, rel=1e-12)
    assert (action.unit, invented_yield().unit) == ("W/m2", "umol/m2/s")


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("per", ["photon", "energy"])
def test_random_uneven_grids_against_quadrature(seed: int, per: str) -> None:
    """Independent: scipy.integrate.quad over each interval of the plain product."""
    random = np.random.default_rng(seed)
    nm = np.sort(random.uniform(350, 760, 25))
    weights = random.uniform(0, 1, (25, 2))
    action = Action.build("two", nm, weights, source=INVENTED, per=per)
    grid = np.sort(random.uniform(300, 800, 60)) if seed % 2 else np.sort(random.uniform(420, 640, 17))
    values = random.uniform(-0.2, 1.0, grid.size)
    edges = np.union1d(grid, nm)
    edges = edges[(edges >= max(grid[0], nm[0])) & (edges <= min(grid[-1], nm[-1]))]
    for column in (0, 1):

        def product(x: float, column: int = column) -> float:
            factor = UMOL_PER_JOULE_NM * x if per == "photon" else 1.0
            return float(np.interp(x, grid, values) * np.interp(x, nm, weights[:, column]) * factor)

        expected = sum(quad(product, a, b, epsabs=1e-13)[0] for a, b in pairwise(edges))
        (weight,) = action.metric().weights if len(action.metric().weights) == 1 else (action.metric().weights[column],)
        found = (values @ columns(grid, weight))[0]
        assert found == pytest.approx(expected, rel=1e-9, abs=1e-9)


def test_refined_grids_give_the_same() -> None:
    action = invented_yield()
    coarse = np.array([350.0, 451.0, 452.0, 600.0, 663.0, 780.0])
    values = np.array([0.0, 0.3, 1.2, 0.1, 2.0, 0.0])
    expected = measure(action, coarse, values)
    for step in (5.0, 1.0, 0.25):
        fine = np.union1d(coarse, np.arange(350.0, 780.0 + step / 2, step))
        assert measure(action, fine, np.interp(fine, coarse, values)) == pytest.approx(expected, rel=1e-9)


def test_shape_of_a_yield_table_is_kept() -> None:
    """Published shape (McCree 1972, abstract) on INVENTED numbers: equal photons of a line give the table's weight."""
    action = invented_yield()
    answers = {}
    for nm in range(410, 701, 5):
        grid, values = line_at(nm, watts=1 / (UMOL_PER_JOULE_NM * nm))  # one µmol m-2 s-1
        answers[nm] = measure(action, grid, values)
    peaks = [nm for nm in range(415, 700, 5) if answers[nm - 5] < answers[nm] > answers[nm + 5]]
    assert peaks == [440, 620]
    assert answers[440] / answers[620] == pytest.approx(0.7, rel=1e-3)
    assert answers[670] > (answers[650] + answers[690]) / 2  # the shoulder


def test_fraction_of_two_columns() -> None:
    """By hand, INVENTED cross-sections 0.9 and 0.3 at 660 nm: 0.9 / (0.9 + 0.3) = 0.75; the scale drops out."""
    action = Action.build(
        "balance", [600, 660, 800], [[0.1, 0.0], [0.9, 0.3], [0.0, 1.0]], source=INVENTED, per="photon"
    )
    assert (action.key, action.unit, action.fraction) == ("action_balance", "1", True)
    for watts in (1e-3, 1.0, 250.0):
        grid, values = line_at(660.0, watts)
        assert measure(action, grid, values) == pytest.approx(0.75, abs=2e-4)


def test_fraction_without_light_is_not_available_and_flux_is_zero() -> None:
    grid = np.arange(380.0, 781.0)
    two = Action.build("two", [400, 700], [[1, 1], [1, 0.5]], source=INVENTED, per="photon")
    for values in (np.zeros_like(grid), -np.ones_like(grid)):
        value = metrics(Scan.build(grid, values, IRRADIANCE), [two.key], more=[two.metric()])[0][two.key]
        assert value.value is None
        assert value.unavailable == "no weighted light above zero in 400-700 nm to refer to"
    assert measure(invented_yield(), np.arange(350.0, 781.0), np.zeros(431)) == 0.0
    assert measure(invented_yield(), np.arange(350.0, 781.0), -np.ones(431)) < 0.0


def test_relative_scan_has_the_fraction_and_not_the_flux() -> None:
    grid = np.arange(350.0, 781.0)
    two = Action.build("two", [400, 700], [[1, 1], [1, 1]], source=INVENTED, per="photon")
    more = [two.metric(), invented_yield().metric()]
    result = metrics(Scan.build(grid, np.ones_like(grid)), ["action_two", "action_yield"], more=more)[0]
    assert result["action_two"].value == pytest.approx(0.5, rel=1e-12)
    assert result["action_yield"].value is None
    assert "relative scan" in str(result["action_yield"].unavailable)


def test_batch_equals_single() -> None:
    grid = np.arange(350.0, 781.0)
    scans = [Scan.build(grid, row, IRRADIANCE) for row in np.random.default_rng(3).uniform(0, 1, (20, grid.size))]
    more = [invented_yield().metric()]
    batch = [r["action_yield"].value for r in metrics(scans, ["action_yield"], more=more)]
    single = [measure(invented_yield(), scan.wavelength, scan.values) for scan in scans]
    assert batch == pytest.approx(single, rel=1e-9)


def test_coverage_is_the_share_of_the_weighted_equal_energy_area() -> None:
    """By hand: photon weight 1 over 400-500 nm: up to 450 nm (450² − 400²) / (500² − 400²)."""
    (one,) = Action.build("flat", [400, 500], [1, 1], source=INVENTED, per="photon").metric().weights
    assert coverage(one, 400, 450) == pytest.approx((450**2 - 400**2) / (500**2 - 400**2), rel=1e-12)
    assert coverage(one, 300, 900) == pytest.approx(1.0, rel=1e-12)
    assert coverage(one, 510, 600) == 0.0
    assert coverage(one, 200, 399) == 0.0


def test_scan_that_ends_too_early_names_what_is_needed() -> None:
    grid = np.arange(380.0, 651.0)
    action = invented_yield()
    value = metrics(Scan.build(grid, np.ones_like(grid), IRRADIANCE), [action.key], more=[action.metric()])[0]
    assert value[action.key].unavailable == "needs 360-730 nm, the scan covers 380-650 nm"
    two = Action.build("two", [400, 500, 600, 700], [[1, 0], [1, 0], [0, 1], [0, 1]], source=INVENTED, per="energy")
    assert np.isnan(measure(two, np.arange(390.0, 651.0), np.ones(261)))
    assert measure(two, np.arange(390.0, 701.0), np.ones(311)) == pytest.approx(0.5, rel=1e-12)


def test_outer_rows_of_zero_need_no_scan() -> None:
    action = Action.build("a", [300, 350, 400, 500, 550, 600], [0, 0, 1, 1, 0, 0], source=INVENTED, per="energy")
    assert action.metric().weights[0].range_nm == (350.0, 550.0)
    assert measure(action, np.array([350.0, 550.0]), np.ones(2)) == pytest.approx(150.0, rel=1e-12)


def test_the_metric_says_what_it_is_and_from_where() -> None:
    metric = invented_yield().metric()
    assert (metric.key, metric.name, metric.source, metric.unit) == ("action_yield", "yield", INVENTED, "umol/m2/s")
    assert "photons of 360-730 nm" in metric.definition


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"name": ""}, "short word"),
        ({"name": "Two Words"}, "short word"),
        ({"source": "  "}, "no source"),
        ({"per": ""}, "photon or energy"),
        ({"per": "quantum"}, "photon or energy"),
        ({"wavelength": [400], "weights": [1]}, "at least 2 rows"),
        ({"weights": [1, -0.01, 1]}, "500 nm is negative"),
        ({"weights": [1, float("nan"), 1]}, "500 nm is negative or no number"),
        ({"weights": [0, 0, 0]}, "zeros only"),
        ({"weights": [[1, 0], [1, 0], [1, 0]]}, "zeros only"),
        ({"weights": [[1, 1, 1]] * 3}, "one or two weights"),
        ({"weights": [1, 1]}, "one or two weights"),
        ({"wavelength": [400, 600, 500]}, "got 500 nm after 600 nm"),
        ({"wavelength": [400, 400, 500]}, "got 400 nm after 400 nm"),
        ({"wavelength": [0.4, 0.5, 0.6]}, "within 100-5000"),
        ({"weights": [[1, 1]] * 3, "unit": "lx"}, "no unit"),
    ],
)
def test_what_is_no_action_spectrum_is_refused(change: dict[str, object], message: str) -> None:
    given: dict[str, object] = {"name": "a", "wavelength": [400, 500, 600], "weights": [1, 1, 1], "source": "s"}
    given |= {"per": "photon"} | change
    with pytest.raises(ScanError, match=message):
        Action.build(**given)  # type: ignore[arg-type]
