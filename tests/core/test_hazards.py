"""The hazard weightings at their listed points and in total, and what a scan that sees no ultraviolet is told."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad

from spectui.core.hazards import METRICS, actinic, blue_light
from spectui.core.metrics import evaluate, metrics
from spectui.core.scan import Scan
from spectui.core.units import IRRADIANCE
from tests.core.cases import ACTINIC, ACTINIC_NM, BLUE_LIGHT, BLUE_NM

KEYS = [m.key for m in METRICS]


def line(nm: float, half: float = 1e-3) -> tuple[np.ndarray, np.ndarray]:
    """1 W m-2 at one wavelength, 1 µm of the axis wide."""
    return np.array([200.0, nm - half, nm, nm + half, 900.0]), np.array([0.0, 0.0, 1.0 / half, 0.0, 0.0])


@pytest.mark.parametrize(("nm", "weight"), list(zip(BLUE_NM[1:-1], BLUE_LIGHT[1:-1], strict=True)))
def test_blue_light_at_its_points(nm: float, weight: float) -> None:
    """Published: IEC 62471, B(λ)."""
    assert float(evaluate(*line(nm), ["e_blue_hazard"])["e_blue_hazard"]) == pytest.approx(weight, abs=2e-5)


@pytest.mark.parametrize("nm", [500.5, 510.0, 530.0, 550.5, 575.0, 599.5])
def test_blue_light_of_500_to_600_nm_is_its_formula(nm: float) -> None:
    """Published: IEC 62471: 10^((450 − λ)/50); 1 nm chords are at most 0.03 % above it."""
    found = float(evaluate(*line(nm), ["e_blue_hazard"])["e_blue_hazard"])
    assert found == pytest.approx(10.0 ** ((450.0 - nm) / 50.0), rel=3e-4)


def test_blue_light_above_600_and_below_380_nm() -> None:
    """Published: IEC 62471: 0.001 over 600-700 nm; outside 380-700 nm nothing is taken, and the definition says so."""
    for nm in (600.5, 650.0, 699.5):
        assert float(evaluate(*line(nm), ["e_blue_hazard"])["e_blue_hazard"]) == pytest.approx(0.001, abs=1e-6)
    for nm in (379.0, 701.0):
        assert float(evaluate(*line(nm), ["e_blue_hazard"])["e_blue_hazard"]) == 0.0
    (metric,) = (m for m in METRICS if m.key == "e_blue_hazard")
    assert "380-700 nm" in metric.definition


@pytest.mark.parametrize(("nm", "weight"), list(zip(ACTINIC_NM[1:-1], ACTINIC[1:-1], strict=True)))
def test_actinic_at_its_points(nm: float, weight: float) -> None:
    """Published: Directive 2006/25/EC, Annex I (324 and 372 nm seen); the others ICNIRP 2004, from memory."""
    assert float(evaluate(*line(nm), ["e_actinic"])["e_actinic"]) == pytest.approx(weight, rel=1e-3)


@pytest.mark.parametrize("weight", [blue_light, actinic])
def test_totals_by_quadrature(weight: object) -> None:
    """scipy.integrate.quad over each stretch between two points, on equal energy and on a slope."""
    w = weight()  # type: ignore[operator]
    for slope in (0.0, 0.01):
        grid = np.array([250.0, 850.0])
        values = 1.0 + slope * (grid - 250.0)
        expected = sum(
            quad(lambda x, s: np.interp(x, w.wavelength, w.weight) * (1.0 + s * (x - 250.0)), a, b, args=(slope,))[0]
            for a, b in pairwise(w.wavelength)
        )
        assert float(evaluate(grid, values, [w.key])[w.key]) == pytest.approx(expected, rel=1e-10)


def test_total_of_the_formula_by_quadrature() -> None:
    """scipy.integrate.quad of IEC 62471's formula over 500-600 nm."""
    expected = quad(lambda x: 10.0 ** ((450.0 - x) / 50.0), 500.0, 600.0)[0]
    nm = np.array([380.0, 500.0, 500.0 + 1e-9, 600.0, 600.0 + 1e-9, 700.0])
    values = np.array([0.0, 0.0, 1.0, 1.0, 0.0, 0.0])
    assert float(evaluate(nm, values, ["e_blue_hazard"])["e_blue_hazard"]) == pytest.approx(expected, rel=3e-4)


def test_uvb_share_by_hand() -> None:
    """By hand: 35 of 120 nm of equal energy."""
    assert float(evaluate([280.0, 400.0], [1.0, 1.0], ["uvb_share"])["uvb_share"]) == pytest.approx(100 * 35 / 120)


def test_a_scan_from_380_nm_does_not_say_that_there_is_no_ultraviolet() -> None:
    nm = np.arange(380.0, 781.0)
    found = metrics(Scan.build(nm, np.ones_like(nm), IRRADIANCE), [*KEYS, "uv_irradiance"])[0]
    for key in ("uvb_share", "e_actinic"):
        assert found[key].unavailable == "needs 280-400 nm, the scan covers 380-780 nm"
    assert found["uv_irradiance"].note == "below 380 nm not seen: not absence"
    assert found["e_blue_hazard"].value is not None


@pytest.mark.parametrize("key", KEYS)
def test_every_one_is_called_an_indicator(key: str) -> None:
    (metric,) = (m for m in METRICS if m.key == key)
    assert "not an IEC 62471 assessment" in metric.definition
