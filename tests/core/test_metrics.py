"""The fixed list for every metric of the catalogue: value, scaling, grids, range, NaN, negative, dark, units, batch.

Expected values are by hand (tests/core/cases.py); the other checks compare the core with itself where it must agree.
"""

from __future__ import annotations

import re

import numpy as np
import pytest

from spectui.core.errors import ScanError, UsageError
from spectui.core.metrics import catalogue, evaluate, metrics
from spectui.core.results import Value
from spectui.core.scan import Scan
from spectui.core.tables import table
from spectui.core.units import COUNTS, IRRADIANCE, TRANSMITTANCE
from tests.core.cases import ACTINIC, ACTINIC_NM, BLUE_LIGHT, BLUE_NM, CASES, HI, HOURS, LO, PAR, Case, photons
from tests.core.colour_cases import COLOURS

KEYS = sorted(CASES)
FLUXES = [key for key in KEYS if CASES[key].flux]
NEEDS = [(key, span) for key in KEYS for span in CASES[key].needs]

# Piecewise linear with steep lines, on knots that stand on a 5 nm grid: 450 nm, a thin 660 nm line, far red, some UV.
KNOTS = np.array([100, 250, 300, 405, 440, 450, 460, 500, 560, 640, 655, 660, 665, 730, 780, 850], dtype=float)
SPIKY = np.array([0.1, 0.1, 0.02, 0.05, 0.5, 0.9, 0.45, 0.1, 0.3, 0.35, 0.2, 3.1, 0.4, 0.15, 0.05, 0.01])


def one(key: str, nm: np.ndarray, values: np.ndarray, unit: str | None = IRRADIANCE) -> Value:
    return metrics(Scan.build(nm, values, unit), [key], hours=HOURS)[0][key]


def expect(found: Value, expected: float, rel: float = 1e-9) -> None:
    assert found.unavailable is None
    assert found.value == pytest.approx(expected, rel=rel)


def unavailable(found: Value) -> str:
    assert found.value is None
    assert found.unavailable
    return found.unavailable


def as_batch(key: str, nm: np.ndarray, values: np.ndarray) -> float:
    return float(evaluate(nm, values, [key], hours=HOURS)[key])


def test_every_metric_has_a_case_by_hand_and_every_case_a_metric() -> None:
    assert set(catalogue()) == set(CASES) | set(COLOURS)
    assert not set(CASES) & set(COLOURS)


@pytest.mark.parametrize("key", KEYS)
def test_metric_says_what_it_is(key: str) -> None:
    metric = catalogue()[key]
    assert metric.key == key
    assert all((metric.unit, metric.name, metric.definition, metric.formula, metric.source))
    assert metric.absolute == CASES[key].flux


@pytest.mark.parametrize("key", KEYS)
def test_value_by_hand(key: str) -> None:
    case = CASES[key]
    expect(one(key, *case.spectrum), case.value, case.rel)
    assert as_batch(key, *case.spectrum) == pytest.approx(case.value, rel=case.rel)


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("step", [7.3, 3.1, 0.37])
def test_edges_inside_a_sample_interval(key: str, step: float) -> None:
    """By hand: the same spectra on samples that no band edge and no table falls on."""
    nm, values = CASES[key].spectrum
    odd = np.union1d(nm, np.arange(LO + step / 3, HI, step))
    expect(one(key, odd, np.interp(odd, nm, values)), CASES[key].value, CASES[key].rel)


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("factor", [1e-6, 0.5, 3.0, 1e6])
def test_scaling(key: str, factor: float) -> None:
    base = one(key, KNOTS, SPIKY).value
    assert base is not None
    expect(one(key, KNOTS, factor * SPIKY), base * factor if CASES[key].flux else base)


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("step", [5.0, 1.0, 0.25, None])
def test_grid_does_not_matter_to_a_piecewise_linear_spectrum(key: str, step: float | None) -> None:
    base = one(key, KNOTS, SPIKY).value
    assert base is not None
    if step is None:
        grid = np.union1d(KNOTS, np.random.default_rng(5).uniform(LO, HI, 333))
    else:
        grid = np.arange(LO, HI + step / 2, step)
        assert np.isin(KNOTS, grid).all()
    expect(one(key, grid, np.interp(grid, KNOTS, SPIKY)), base)


_TAIL = np.arange(501.0, 601.0)
CURVES = {
    "V": table("photopic").T,
    "melanopic": table("melanopic").T,
    "blue": (
        np.concatenate((BLUE_NM, _TAIL, [700.0])),
        np.concatenate((BLUE_LIGHT, 10.0 ** ((450.0 - _TAIL) / 50.0), [0.001])),
    ),
    "actinic": (ACTINIC_NM, ACTINIC),
}


def area(kind: str, span: tuple[float, float], lo: float, hi: float) -> float:
    """Area of a weighting function over lo-hi, within its span: c·λ, 1 or a curve, independent of the core."""
    lo, hi = max(lo, span[0]), min(hi, span[1])
    if kind in CURVES:
        fine = np.arange(lo, hi, 0.01)
        return float(np.trapezoid(np.interp(fine, *CURVES[kind]), fine))
    return max(hi - lo, 0.0) if kind == "energy" else max(hi**2 - lo**2, 0.0)


def needed(key: str) -> list[tuple[str, tuple[float, float]]]:
    """Every range of a metric with its kind; some need a second one besides that of their case."""
    case = CASES[key]
    more = [("photon", PAR)] if key == "lux_per_umol" else []
    more += [("energy", PAR)] if key == "photons_per_radiant_joule" else []
    more += [("melanopic", (380.0, 780.0))] if key == "melanopic_der" else []
    more += [("energy", (280.0, 315.0))] if key == "uvb_share" else []
    return [(case.kind, span) for span in case.needs] + more


def complete(key: str, lo: float, hi: float) -> bool:
    return all(area(kind, span, lo, hi) >= 0.999 * area(kind, span, LO, HI) for kind, span in needed(key))


@pytest.mark.parametrize(("key", "span"), NEEDS)
@pytest.mark.parametrize("side", ["below", "above"])
def test_truncated_range_is_not_available_and_says_what_is_needed(
    key: str, span: tuple[float, float], side: str
) -> None:
    middle = (span[0] + span[1]) / 2
    nm = np.linspace(LO, middle, 200) if side == "above" else np.linspace(middle, HI, 200)
    if complete(key, nm[0], nm[-1]):  # less than a thousandth of the actinic weight lies above 340 nm
        assert key == "e_actinic" and one(key, nm, np.ones_like(nm)).value is not None
        return
    reason = unavailable(one(key, nm, np.ones_like(nm)))
    told = re.fullmatch(r"needs ([\d.]+)-([\d.]+) nm, the scan covers ([\d.]+)-([\d.]+) nm", reason)
    assert told, reason
    wanted = (float(told[1]), float(told[2]))
    assert wanted in {need for _, need in needed(key)}
    assert (float(told[3]), float(told[4])) == pytest.approx((nm[0], nm[-1]), rel=1e-5)
    assert not (nm[0] <= wanted[0] and wanted[1] <= nm[-1])
    assert np.isnan(as_batch(key, nm, np.ones_like(nm)))


@pytest.mark.parametrize(("key", "span"), NEEDS)
@pytest.mark.parametrize("side", ["below", "above"])
@pytest.mark.parametrize("share", [0.00099, 0.00101])
def test_a_thousandth_of_the_weight_may_be_missing(
    key: str, span: tuple[float, float], side: str, share: float
) -> None:
    kind = CASES[key].kind
    total = area(kind, span, LO, HI)
    lo, hi = span
    for _ in range(60):  # bisection for the cut that leaves `share` of the area out
        cut = (lo + hi) / 2
        left = area(kind, span, LO, cut)
        if (left < share * total) if side == "below" else (left < (1 - share) * total):
            lo = cut
        else:
            hi = cut
    nm = np.linspace(cut, HI, 400) if side == "below" else np.linspace(LO, cut, 400)
    found = one(key, nm, np.ones_like(nm))
    assert (found.value is not None) == complete(key, nm[0], nm[-1])
    assert np.isnan(as_batch(key, nm, np.ones_like(nm))) == (found.value is None)
    if share > 0.001:
        unavailable(found)


@pytest.mark.parametrize("key", [key for key in KEYS if CASES[key].seen])
def test_what_is_seen_of_a_range_counts(key: str) -> None:
    """By hand: the part of the range that a scan sees; none of it is not available, with the reason."""
    case = CASES[key]
    (lo, hi), nm = case.seen[0], np.array([350.0, 450.0])
    within = min(hi, 450.0) - max(lo, 350.0)
    expect(one(key, nm, np.ones(2)), within if case.flux else 400.0)
    if lo > LO:
        away = np.array([hi + 1, hi + 100])
        assert unavailable(one(key, away, np.ones(2))).startswith(f"needs some of {lo:g}-{hi:g} nm, the scan covers")


def test_a_flank_cut_off_has_no_half_width() -> None:
    for nm, values in (([500, 540, 560], [0.0, 2.0, 1.1]), ([535, 540, 600], [1.5, 2.0, 0.0])):
        assert "half height" in unavailable(one("peak_fwhm", np.array(nm), np.array(values)))
    expect(one("peak_fwhm", np.array([500, 540, 570]), np.array([0.0, 2.0, 0.9])), 40 / 2 + 30 * 1 / 1.1)


def test_a_flat_top_peaks_in_its_middle() -> None:
    nm, values = np.array([400, 500, 520, 560, 600.0]), np.array([0, 1, 1, 0, 0.5])
    expect(one("peak_wavelength", nm, values), 510.0)
    expect(one("peak_fwhm", nm, values), 540.0 - 450.0)


@pytest.mark.parametrize("key", KEYS)
def test_nan_sample_gives_no_number(key: str) -> None:
    values = np.tile(SPIKY, (3, 1))
    values[1, 5] = np.nan
    found = evaluate(KNOTS, values, [key], hours=HOURS)[key]
    assert np.isnan(found).tolist() == [False, True, False]
    assert found[[0, 2]] == pytest.approx(one(key, KNOTS, SPIKY).value, rel=1e-9)


@pytest.mark.parametrize("bad", [np.inf, -np.inf])
def test_infinite_sample_gives_no_number_and_no_warning(bad: float) -> None:
    values = SPIKY.copy()
    values[5] = bad
    with np.errstate(all="raise"):
        assert all(np.isnan(found) for found in evaluate(KNOTS, values, hours=HOURS).values())


@pytest.mark.parametrize("bad", [np.nan, np.inf])
def test_scan_with_a_value_that_is_no_number_is_an_error(bad: float) -> None:
    with pytest.raises(ScanError, match="450 nm is not a finite number"):
        Scan.build(KNOTS, np.where(KNOTS == 450, bad, SPIKY), IRRADIANCE)


@pytest.mark.parametrize("key", KEYS)
def test_all_zero(key: str) -> None:
    found = one(key, KNOTS, np.zeros_like(KNOTS))
    if CASES[key].flux:
        assert found.value == 0.0
    else:
        unavailable(found)
        assert np.isnan(as_batch(key, KNOTS, np.zeros_like(KNOTS)))


@pytest.mark.parametrize("key", KEYS)
def test_all_negative(key: str) -> None:
    """Fluxes are kept as measured; a ratio, a share or a peak needs light."""
    case = CASES[key]
    nm, values = case.spectrum
    found = one(key, nm, -values)
    if case.flux:
        expect(found, -case.value, case.rel)
    else:
        unavailable(found)
        assert np.isnan(as_batch(key, nm, -values))


def test_ratio_to_next_to_nothing_is_not_available() -> None:
    nm = np.array([LO, 400, 500, 600, 700, HI])
    found = one("b_r", nm, np.array([0, 1e10, 0, 5e-324, 1e-320, 0]))
    assert unavailable(found)
    assert np.isnan(as_batch("b_r", nm, np.array([0, 1e10, 0, 5e-324, 1e-320, 0])))


def test_negative_band_stays_in_its_numbers() -> None:
    """By hand: −0.1 W m-2 nm-1 in 400-500 nm, 1 above."""
    nm = np.array([LO, 400, 500, 500 + 1e-9, HI])
    values = np.array([0.0, -0.1, -0.1, 1.0, 1.0])
    blue, rest = -0.1 * photons(400, 500), photons(500, 700)
    expect(one("pfd_blue", nm, values), blue)
    expect(one("ppfd", nm, values), blue + rest)
    expect(one("share_blue", nm, values), 100 * blue / (blue + rest))


@pytest.mark.parametrize("key", KEYS)
def test_relative_scan_has_ratios_and_no_fluxes(key: str) -> None:
    case = CASES[key]
    nm, values = case.spectrum
    found = one(key, nm, 0.01 * values, None)
    if case.flux:
        assert "relative scan" in unavailable(found)
    else:
        expect(found, case.value, case.rel)


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize(("unit", "word"), [(COUNTS, "counts"), (TRANSMITTANCE, "transmittance")])
def test_counts_and_transmittance_have_no_metrics(key: str, unit: str, word: str) -> None:
    assert word in unavailable(one(key, *CASES[key].spectrum, unit))


@pytest.mark.parametrize("key", KEYS)
def test_batch_equals_single(key: str) -> None:
    stack = np.random.default_rng(7).uniform(0.01, 1.0, (3, 4, KNOTS.size))
    batch = evaluate(KNOTS, stack, [key], hours=HOURS)[key]
    assert batch.shape == (3, 4)
    scans = [Scan.build(KNOTS, values, IRRADIANCE) for values in stack.reshape(-1, KNOTS.size)]
    together = [r[key].value for r in metrics(scans, [key], hours=HOURS)]
    for place, scan in enumerate(scans):
        single = one(key, scan.wavelength, scan.values).value
        if single is None:
            assert together[place] is None
            assert np.isnan(batch.flat[place])
        else:
            assert together[place] == pytest.approx(single, rel=1e-9)
            assert batch.flat[place] == pytest.approx(single, rel=1e-9)


@pytest.mark.parametrize("shape", [(), (0,), (2, 0), (1, 1, 1)])
def test_shape_of_the_stack_is_kept(shape: tuple[int, ...]) -> None:
    found = evaluate(KNOTS, np.ones((*shape, KNOTS.size)), hours=HOURS)
    assert {key: array.shape for key, array in found.items()} == dict.fromkeys(catalogue(), shape)


def test_scans_of_several_grids_and_units_keep_their_order() -> None:
    scans = [
        Scan.build(KNOTS, SPIKY, IRRADIANCE, source="a"),
        Scan.build([LO, HI], [1, 1], IRRADIANCE, source="b"),
        Scan.build(KNOTS, SPIKY, source="c"),
        Scan.build(KNOTS, 2 * SPIKY, IRRADIANCE, source="d"),
    ]
    results = metrics(scans, ["ppfd"])
    assert [r.scan.source for r in results] == ["a", "b", "c", "d"]
    base = one("ppfd", KNOTS, SPIKY).value
    found = [r["ppfd"].value for r in results]
    assert found[1:3] == [pytest.approx(photons(*PAR)), None]
    assert (found[0], found[3]) == (pytest.approx(base), pytest.approx(2 * (base or 0)))
    assert metrics([]) == []


def test_hours_of_the_day_come_from_the_call_before_the_file() -> None:
    """By hand: PPFD · hours · 0.0036."""
    scan = Scan.build([LO, HI], [1, 1], IRRADIANCE, {"photoperiod_h": "12"})
    expect(metrics(scan, ["dli"])[0]["dli"], photons(*PAR) * 12 * 0.0036)
    expect(metrics(scan, ["dli"], hours=16)[0]["dli"], photons(*PAR) * 16 * 0.0036)
    bare = Scan.build([LO, HI], [1, 1], IRRADIANCE)
    assert "photoperiod" in unavailable(metrics(bare, ["dli"])[0]["dli"])
    assert np.isnan(evaluate([LO, HI], [1, 1], ["dli"])["dli"])


@pytest.mark.parametrize("stated", ["30", "-1", "nan"])
def test_photoperiod_that_is_none_is_not_used(stated: str) -> None:
    scan = Scan.build([LO, HI], [1, 1], IRRADIANCE, {"photoperiod_h": stated})
    unavailable(metrics(scan, ["dli"])[0]["dli"])


def test_unknown_metric_is_told_with_the_nearest() -> None:
    with pytest.raises(UsageError, match="did you mean 'ppfd'"):
        metrics(Scan.build(KNOTS, SPIKY, IRRADIANCE), ["ppdf"])
    with pytest.raises(UsageError, match="unknown metric"):
        evaluate(KNOTS, SPIKY, ["nothing like it"])


@pytest.mark.parametrize(
    ("nm", "values"),
    [([400.0], [1.0]), ([400, 400], [1, 1]), ([500, 400], [1, 1]), ([400, np.nan], [1, 1]), ([400, 500], [1, 1, 1])],
)
def test_grid_that_is_none_is_an_error(nm: list[float], values: list[float]) -> None:
    with pytest.raises(ScanError, match="expected"):
        evaluate(nm, values)


def test_json_object_of_a_result_names_the_reason_beside_null() -> None:
    scan = Scan.build([380, 730], [1, 1], IRRADIANCE, {"title": "t"}, source="a/b.csv")
    found = metrics(scan, ["ppfd", "eppfd"])[0].as_dict()
    assert (found["source"], found["title"], found["taken_at"]) == ("a/b.csv", "t", None)
    assert (found["range_nm"], found["unit"]) == ([380.0, 730.0], "W/m2/nm")
    assert found["metrics"]["eppfd"] == {
        "value": None,
        "unit": "umol/m2/s",
        "expanded_uncertainty": None,
        "unavailable": "needs 400-750 nm, the scan covers 380-730 nm",
    }
    assert found["metrics"]["ppfd"]["unavailable"] is None
    assert {"code", "rank", "message"} == set(found["flags"][0])


def test_notes_that_must_stand_beside_a_value() -> None:
    assert one("uv_irradiance", np.array([380.0, 780.0]), np.ones(2)).note == "below 380 nm not seen: not absence"
    assert one("uv_irradiance", np.array([280.0, 780.0]), np.ones(2)).note is None
    dim = np.array([0.1, 0.1, 1.0, 1.0])
    far_red = one("share_far_red", np.array([400.0, 699.0, 700.0, 800.0]), dim)
    assert far_red.value is not None and far_red.value > 30
    assert "30 %" in str(far_red.note)
    assert one("share_far_red", np.array([400.0, 800.0]), np.ones(2)).note is None


def test_cases_are_of_the_type_that_the_checks_read() -> None:
    assert all(isinstance(case, Case) and case.kind in ("photon", "energy", *CURVES) for case in CASES.values())
    assert FLUXES
