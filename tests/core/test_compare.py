"""Two or more scans against the first: numbers by hand, scaling, conditions, what must not be compared."""

from __future__ import annotations

import json

import numpy as np
import pytest

from spectui.core.compare import SCALES, compare, conditions, difference
from spectui.core.errors import UsageError
from spectui.core.metrics import catalogue, metrics
from spectui.core.photons import BANDS
from spectui.core.scan import Scan
from spectui.core.units import COUNTS, IRRADIANCE, TRANSMITTANCE

COARSE = np.array([280.0, 400.0, 500.0, 600.0, 700.0, 850.0])
A = Scan.build(COARSE, np.ones(6), IRRADIANCE, {"title": "a", "distance_m": "0.3"}, source="a.csv")
B = Scan.build(COARSE, np.full(6, 1.5), IRRADIANCE, {"title": "b", "distance_m": "0.30"}, source="b.csv")


def test_difference_and_percent_by_hand() -> None:
    """By hand: B is A half as bright again: +50 % of every flux, the same ratios."""
    found = compare(A, B)
    for key in ("ppfd", "irradiance", "illuminance"):
        row = found.rows[key]
        assert row.values[1] == pytest.approx(1.5 * (row.values[0] or 0), rel=1e-12)
        assert row.difference == pytest.approx((0.0, 0.5 * (row.values[0] or 0)), rel=1e-9)
        assert row.percent == pytest.approx((0.0, 50.0), rel=1e-9)
    assert found.rows["r_fr"].difference[1] == pytest.approx(0.0, abs=1e-12)
    assert list(found.bands) == list(BANDS) == ["uv", "blue", "green", "red", "far_red", "far_red_par"]
    for name, row in found.bands.items():
        assert row.values == found.rows[f"pfd_{name}"].values
        assert row.percent[1] == pytest.approx(50.0, rel=1e-9)


def test_numbers_are_those_of_metrics_on_each_scans_own_samples() -> None:
    """Neither scan is put on the other's grid: a line between A's samples keeps its photons."""
    fine = np.union1d(COARSE, [659.9, 660.0, 660.1])
    line = Scan.build(fine, np.where(fine == 660.0, 100.0, 0.01), IRRADIANCE)
    found = compare(A, line, hours=12)
    for place, scan in enumerate((A, line)):
        alone = metrics(scan, hours=12)[0]
        for key, row in found.rows.items():
            assert (row.values[place] is None) == (alone[key].value is None)
            assert row.values[place] is None or row.values[place] == pytest.approx(alone[key].value, rel=1e-12)


def test_more_than_two_are_all_against_the_first() -> None:
    third = Scan.build(COARSE, np.full(6, 0.5), IRRADIANCE)
    assert compare(A, B, third).rows["ppfd"].percent == pytest.approx((0.0, 50.0, -50.0), rel=1e-9)
    assert compare(third, A).rows["ppfd"].percent == pytest.approx((0.0, 100.0), rel=1e-9)


def test_json_object_has_the_contracts_keys_and_no_nan() -> None:
    short = Scan.build([380, 730], [1, 1], IRRADIANCE, source="c.csv")
    found = compare(A, short).as_dict()
    assert list(found) == ["scale", "sources", "conditions", "metrics", "bands"]
    assert found["sources"] == ["a.csv", "c.csv"]
    assert set(found["metrics"]) == set(catalogue())
    eppfd = found["metrics"]["eppfd"]
    assert {"unit", "values", "difference", "percent", "exceeds_uncertainty"} <= set(eppfd)
    assert eppfd["values"][1] is eppfd["difference"][1] is eppfd["percent"][1] is None
    assert eppfd["unavailable"] == [None, "needs 400-750 nm, the scan covers 380-730 nm"]
    assert {"band", "range_nm", "values", "difference", "percent", "exceeds_uncertainty"} <= set(found["bands"][0])
    assert found["bands"][1]["range_nm"] == [400.0, 500.0]
    json.dumps(found, allow_nan=False)


def test_reference_without_light_has_differences_and_no_percent() -> None:
    dark = Scan.build(COARSE, np.zeros(6), IRRADIANCE)
    row = compare(dark, A).rows["ppfd"]
    assert row.percent == (None, None)
    assert row.difference[1] == row.values[1]
    json.dumps(compare(dark, dark).as_dict(), allow_nan=False)


def test_reference_next_to_nothing_has_no_percent() -> None:
    nothing = Scan.build(COARSE, np.full(6, 1e-312), IRRADIANCE)
    row = compare(nothing, A).rows["ppfd"]
    assert row.percent[1] is None
    json.dumps(compare(nothing, A).as_dict(), allow_nan=False)


def test_reference_without_the_number_has_no_difference() -> None:
    short = Scan.build([380, 730], [1, 1], IRRADIANCE)
    row = compare(short, A).rows["eppfd"]
    assert row.values[0] is None
    assert row.values[1] is not None
    assert row.difference == (None, None)


@pytest.mark.parametrize("scale", ["ppfd", "peak"])
def test_scaled_to_the_reference(scale: str) -> None:
    tilted = Scan.build(COARSE, [0.1, 0.2, 0.4, 0.8, 1.0, 4.0], IRRADIANCE, expanded_uncertainty=np.full(6, 0.04))
    found = compare(A, tilted, scale=scale)
    other = found.results[1].scan
    if scale == "ppfd":
        assert found.rows["ppfd"].difference[1] == pytest.approx(0.0, abs=1e-9)
    else:
        assert other.values.max() == pytest.approx(1.0, rel=1e-12)
    assert found.rows["r_fr"].values[1] == pytest.approx(metrics(tilted, ["r_fr"])[0]["r_fr"].value, rel=1e-12)
    assert other.expanded_uncertainty is not None
    assert other.expanded_uncertainty / other.values == pytest.approx(0.04 / tilted.values, rel=1e-12)
    assert np.array_equal(found.results[0].scan.values, A.values)
    assert found.scale == scale


def test_relative_scans_can_be_compared_by_shape() -> None:
    relative = Scan.build(COARSE, np.full(6, 7.0))
    assert compare(A, relative).rows["ppfd"].values[1] is None
    scaled = compare(A, relative, scale="ppfd")
    assert scaled.rows["ppfd"].difference[1] == pytest.approx(0.0, abs=1e-9)
    back = compare(relative, A, scale="peak")
    assert back.results[1].scan.unit == "relative"
    assert back.rows["r_fr"].difference[1] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("unit", [COUNTS, TRANSMITTANCE])
@pytest.mark.parametrize("scale", ["ppfd", "peak"])
def test_counts_and_transmittance_are_never_scaled_into_light(unit: str, scale: str) -> None:
    other = Scan.build(COARSE, np.full(6, 0.5), unit, {"title": "raw"})
    for pair in ((A, other), (other, A)):
        with pytest.raises(UsageError, match="cannot be scaled"):
            compare(*pair, scale=scale)
    if scale == "ppfd":
        with pytest.raises(UsageError, match="cannot be scaled by ppfd"):
            compare(other, other, scale=scale)


def test_scaling_raises_no_doubt_and_hides_none() -> None:
    """A stated PPFD holds for the light as measured: scaling must neither break nor mend it."""
    own = metrics(B, ["ppfd"])[0]["ppfd"].value
    assert own is not None
    right = B.with_(meta={**B.meta, "stated_ppfd": repr(own)})
    wrong = B.with_(meta={**B.meta, "stated_ppfd": repr(own / 1.5)})  # A's PPFD, which B has after scaling
    for given, told in ((right, False), (wrong, True)):
        for scale in SCALES:
            codes = {flag.code for flag in compare(A, given, scale=scale).results[1].flags}
            assert ("stated_differs" in codes) == told


@pytest.mark.parametrize("values", [np.zeros(6), -np.ones(6)])
@pytest.mark.parametrize("scale", ["ppfd", "peak"])
def test_light_that_is_none_cannot_be_scaled(values: np.ndarray, scale: str) -> None:
    dark = Scan.build(COARSE, values, IRRADIANCE, {"title": "dark"})
    with pytest.raises(UsageError, match="dark: cannot be scaled"):
        compare(A, dark, scale=scale)
    with pytest.raises(UsageError, match="dark: cannot be scaled"):
        compare(dark, A, scale=scale)


def test_scaling_by_a_ppfd_that_is_not_available_says_why() -> None:
    short = Scan.build([450, 650], [1, 1], IRRADIANCE, {"title": "short"})
    with pytest.raises(UsageError, match="short: cannot be scaled by ppfd: needs 400-700 nm"):
        compare(A, short, scale="ppfd")


def test_calls_that_cannot_be_answered() -> None:
    with pytest.raises(UsageError, match="two or more scans to compare, got 1"):
        compare(A)
    with pytest.raises(UsageError, match="unknown scale 'lux'"):
        compare(A, B, scale="lux")
    with pytest.raises(UsageError, match="unknown metric"):
        compare(A, B, keys=["nothing"])


def test_chosen_metrics_keep_their_order_and_bands_stay() -> None:
    found = compare(A, B, keys=["r_fr", "ppfd"])
    assert list(found.rows) == ["r_fr", "ppfd"]
    assert list(found.bands) == list(BANDS)


def test_conditions_that_differ_or_are_unsaid() -> None:
    one = A.with_(meta={"distance_m": "0.3", "dim_percent": "100", "ambient": "dark", "instrument": "x"})
    two = A.with_(meta={"distance_m": "0.30", "dim_percent": "80", "ambient": "Dark "})
    found = {c.key: c for c in conditions(one, two)}
    assert "distance_m" not in found
    assert "ambient" not in found
    assert found["dim_percent"].values == ("100", "80")
    assert not found["dim_percent"].unsaid
    assert found["instrument"].values == ("x", None)
    assert found["instrument"].unsaid
    assert found["lit_minutes"].values == (None, None)
    assert "unit" not in found
    assert "range_nm" not in found


def test_conditions_name_other_units_and_ranges() -> None:
    other = Scan.build([380, 780], [1, 1])
    found = {c.key: c.values for c in conditions(A, other)}
    assert found["unit"] == ("W/m2/nm", "relative")
    assert found["range_nm"] == ("280-850", "380-780")


def test_difference_is_exact_at_the_samples_of_both() -> None:
    a = Scan.build([400, 500, 600], [0, 1, 0], IRRADIANCE)
    b = Scan.build([450, 550, 700], [1, 1, 1], IRRADIANCE)
    nm, values = difference(a, b)
    assert nm.tolist() == [450, 500, 550, 600]
    assert values == pytest.approx([0.5, 0.0, 0.5, 1.0])
    with pytest.raises(UsageError, match="share no wavelengths"):
        difference(a, Scan.build([700, 800], [1, 1], IRRADIANCE))
