"""Melanopic light against CIE S 026:2018. Each check names its source."""

from __future__ import annotations

import numpy as np
import pytest

from spectui.core.metrics import evaluate, metrics
from spectui.core.scan import Scan
from spectui.core.tables import table
from spectui.core.units import IRRADIANCE
from tests.core.lamps import GRID, lamps, own_steps, peak

# Computed from CIE S 026:2018, Table 2, by plain sums at the 5 nm steps of the lamps' tables; 1.0000 for D65 at 1 nm.
DER = {"A": 0.4957, "E": 0.9058, "LED-B1": 0.4064, "LED-B3": 0.6324}


@pytest.mark.parametrize("name", DER)
def test_daylight_efficacy_ratio(name: str) -> None:
    found = evaluate(*own_steps(name), ["melanopic_der"], rule="sum")
    assert float(found["melanopic_der"]) == pytest.approx(DER[name], abs=1e-4)
    fine = evaluate(GRID, lamps()[name], ["melanopic_der"])
    assert float(fine["melanopic_der"]) == pytest.approx(DER[name], abs=4e-4)


@pytest.mark.parametrize("rule", ["sum", "exact"])
def test_daylight_efficacy_ratio_of_daylight(rule: str) -> None:
    """Published: 1 for D65, by definition."""
    found = evaluate(GRID, lamps()["D65"], ["melanopic_der"], rule=rule)
    assert float(found["melanopic_der"]) == pytest.approx(1.0, abs=5e-5)


def test_efficacy_of_d65() -> None:
    """Published: CIE S 026:2018: melanopic ELR of D65 is 1.3262 mW/lm."""
    seen = table("melanopic")
    watts = lamps()["D65"] @ np.interp(GRID, *seen.T)
    lumens = 683.0 * (lamps()["D65"] @ np.interp(GRID, *table("photopic").T))
    assert 1e3 * watts / lumens == pytest.approx(1.3262, abs=5e-5)


def test_peak_of_the_action_spectrum() -> None:
    """Published: CIE S 026:2018: 1 at 490 nm."""
    seen = table("melanopic")
    assert seen[np.argmax(seen[:, 1])].tolist() == [490.0, 1.0]


def test_one_lux_of_daylight_is_one_lux() -> None:
    """By hand: EDI of D65 is its illuminance, for any amount of it."""
    for factor in (1e-3, 1.0, 50.0):
        found = evaluate(GRID, factor * lamps()["D65"], ["melanopic_edi", "illuminance"], rule="sum")
        assert float(found["melanopic_edi"]) == pytest.approx(float(found["illuminance"]), rel=1e-4)


def test_a_line_at_490_nm_is_its_irradiance() -> None:
    """By hand: 1 W m-2 at 490 nm is 1 / 1.3262e-3 lx, a little less for its width."""
    nm = np.array([380.0, 489.9, 490.0, 490.1, 780.0])
    found = float(evaluate(nm, np.array([0.0, 0.0, 10.0, 0.0, 0.0]), ["melanopic_edi"])["melanopic_edi"])
    assert found == pytest.approx(1.0 / 1.3262e-3, rel=1e-4)


def test_relative_scan_has_the_ratio_alone() -> None:
    found = metrics(Scan.build(GRID, lamps()["A"]), ["melanopic_edi", "melanopic_der"])[0]
    assert found["melanopic_der"].value == pytest.approx(DER["A"], abs=1e-4)
    assert "relative scan" in str(found["melanopic_edi"].unavailable)


def test_the_dark_and_the_far_red() -> None:
    found = metrics(Scan.build(GRID, np.zeros_like(GRID), IRRADIANCE), ["melanopic_edi", "melanopic_der"])[0]
    assert found["melanopic_edi"].value == 0.0
    assert found["melanopic_der"].unavailable == "no illuminance above zero to refer to"
    far_red = metrics(Scan.build(GRID, peak(GRID, 730.0, 15.0), IRRADIANCE), ["melanopic_edi"])[0]
    assert far_red["melanopic_edi"].value == pytest.approx(0.0, abs=0.1)
