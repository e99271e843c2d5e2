"""The one boundary: what becomes a scan, what is told about it, and what is refused."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from spectui.core.errors import ScanError, UnitError
from spectui.core.scan import FAULT, Flag, Scan
from spectui.core.units import IRRADIANCE


def codes(scan: Scan) -> list[str]:
    return [flag.code for flag in scan.flags]


def test_plain_scan() -> None:
    scan = Scan.build([400, 500, 600], [1, 2, 3], "mW/m2/nm", {"title": "a", "x": "y"}, source="f/b.csv", index=2)
    assert scan.values == pytest.approx([1e-3, 2e-3, 3e-3], rel=1e-15)
    assert (scan.unit, scan.given_unit, scan.absolute) == (IRRADIANCE, "mW/m2/nm", True)
    assert (scan.range_nm, scan.title, scan.source, scan.index) == ((400.0, 600.0), "a", "f/b.csv", 2)
    assert list(scan.meta) == ["title", "x"]
    assert scan.flags == ()


def test_no_unit_is_relative_and_nothing_else() -> None:
    for values in ([1, 2], [1e-9, 2e-9], [5e4, 6e4], [0.2, 0.9]):
        scan = Scan.build([400, 500], values)
        assert (scan.unit, scan.given_unit, scan.absolute) == ("relative", None, False)
        assert scan.values.tolist() == values


def test_two_samples_are_enough_and_one_is_not() -> None:
    assert Scan.build([400, 500], [0, 0]).wavelength.size == 2
    for nm in ([], [400]):
        with pytest.raises(ScanError, match=f"at least 2 samples, got {len(nm)}"):
            Scan.build(nm, [0] * len(nm))


@pytest.mark.parametrize("order", [[2, 1, 0], [1, 0, 2], [0, 2, 1]])
def test_unsorted_is_sorted_and_flagged(order: list[int]) -> None:
    nm, values, wide = np.array([400, 500, 600]), np.array([1.0, 2, 3]), np.array([0.1, 0.2, 0.3])
    scan = Scan.build(nm[order], values[order], IRRADIANCE, expanded_uncertainty=wide[order])
    assert scan.wavelength.tolist() == [400, 500, 600]
    assert scan.values.tolist() == [1, 2, 3]
    assert scan.expanded_uncertainty is not None
    assert scan.expanded_uncertainty.tolist() == [0.1, 0.2, 0.3]
    assert [(f.code, f.rank) for f in scan.flags] == [("unsorted", FAULT)]


def test_photon_unit_is_converted_at_its_own_wavelength_after_sorting() -> None:
    scan = Scan.build([800, 400], [1, 1], "umol/m2/s/nm")
    assert scan.values[0] == pytest.approx(2 * scan.values[1], rel=1e-12)


def test_repeated_with_equal_values_is_merged_and_flagged() -> None:
    scan = Scan.build([400, 500, 500, 500, 600], [1, 2, 2, 2, 3], IRRADIANCE)
    assert scan.wavelength.tolist() == [400, 500, 600]
    assert codes(scan) == ["repeated"]
    assert "2 wavelengths" in scan.flags[0].message
    both = Scan.build([600, 500, 400, 500], [3, 2, 1, 2], IRRADIANCE)
    assert (both.values.tolist(), codes(both)) == ([1, 2, 3], ["unsorted", "repeated"])


def test_flags_met_while_reading_stay_in_front() -> None:
    met = Flag("gaps_skipped", FAULT, "told by the reader")
    assert codes(Scan.build([500, 400], [1, 2], flags=(met,))) == ["gaps_skipped", "unsorted"]


@pytest.mark.parametrize(
    ("nm", "values", "message"),
    [
        ([400, 500, 500], [1, 2, 3], r"500 nm stands twice with different values \(2 and 3\)"),
        ([500, 400, 500], [1, 2, 1.0000001], "500 nm stands twice"),
        ([400, 400], [1, 1], "at least 2 different wavelengths"),
        ([400, float("nan")], [1, 1], "sample 2: the wavelength is not a finite number"),
        ([400, float("inf")], [1, 1], "sample 2: the wavelength is not a finite number"),
        ([400, 500], [1, float("nan")], "500 nm is not a finite number; --skip-gaps"),
        ([400, 500], [1, float("-inf")], "500 nm is not a finite number"),
        ([400, 500], [1, -1e308], "500 nm is -1e\\+308: no reading"),
        ([99.9, 500], [1, 1], "within 100-5000, got 99.9-500"),
        ([400, 5000.1], [1, 1], "within 100-5000"),
        ([0.4, 0.7], [1, 1], "within 100-5000, got 0.4-0.7"),
        ([-400, 500], [1, 1], "within 100-5000"),
        ([400, 500], [1], "one value for each wavelength"),
        ([[400, 500]], [[1, 1]], "one value for each wavelength"),
    ],
)
def test_what_is_no_scan_is_refused(nm: list[float], values: list[float], message: str) -> None:
    with pytest.raises(ScanError, match=message):
        Scan.build(nm, values, IRRADIANCE)


def test_range_limits_themselves_are_in() -> None:
    assert Scan.build([100, 5000], [1, 1]).range_nm == (100.0, 5000.0)


def test_unknown_unit_is_refused() -> None:
    with pytest.raises(UnitError, match="lux"):
        Scan.build([400, 500], [1, 1], "lux")


@pytest.mark.parametrize("wide", [[0.1, -0.1], [0.1, float("nan")], [0.1, float("inf")]])
def test_uncertainty_that_is_none_is_refused(wide: list[float]) -> None:
    with pytest.raises(ScanError, match="expanded uncertainty at 500 nm"):
        Scan.build([400, 500], [1, 1], IRRADIANCE, expanded_uncertainty=wide)
    with pytest.raises(ScanError, match="one value for each wavelength"):
        Scan.build([400, 500], [1, 1], IRRADIANCE, expanded_uncertainty=[0.1])


def test_repeats_whose_uncertainties_differ_contradict() -> None:
    with pytest.raises(ScanError, match="500 nm stands twice"):
        Scan.build([400, 500, 500], [1, 2, 2], IRRADIANCE, expanded_uncertainty=[0.1, 0.1, 0.2])


def test_uncertainty_is_converted_as_the_values_are() -> None:
    scan = Scan.build([400, 800], [2, 2], "umol/m2/s/nm", expanded_uncertainty=[0.2, 0.2])
    assert scan.expanded_uncertainty == pytest.approx(0.1 * scan.values, rel=1e-12)


def test_a_scan_cannot_be_changed_and_shares_nothing_with_its_input() -> None:
    nm, values, meta = np.array([400.0, 500.0]), np.array([1.0, 2.0]), {"title": "a"}
    scan = Scan.build(nm, values, IRRADIANCE, meta, expanded_uncertainty=values)
    nm[0], values[0], meta["title"] = 1.0, 99.0, "b"
    assert (scan.wavelength[0], scan.values[0], scan.title) == (400.0, 1.0, "a")
    assert scan.expanded_uncertainty is not None
    for array in (scan.wavelength, scan.values, scan.expanded_uncertainty):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 0.0
    with pytest.raises(TypeError):
        scan.meta["title"] = "c"  # type: ignore[index]
    with pytest.raises(dataclasses.FrozenInstanceError):
        scan.unit = "counts"  # type: ignore[misc]


def test_copy_with_changes_keeps_the_rest_and_its_meta_is_its_own() -> None:
    scan = Scan.build([400, 500], [1, 2], IRRADIANCE, {"title": "a"}, expanded_uncertainty=[0.1, 0.1], index=1)
    meta = {"title": "b"}
    other = scan.with_(meta=meta)
    meta["title"] = "c"
    assert (scan.title, other.title, other.index, other.unit) == ("a", "b", 1, IRRADIANCE)
    assert other.values is scan.values
    assert other.expanded_uncertainty is scan.expanded_uncertainty


@pytest.mark.parametrize(("source", "title"), [("a/b c.csv", "b c.csv"), ("a\\b.csv", "b.csv"), ("-", "-"), ("", "")])
def test_title_falls_back_to_the_files_own_name(source: str, title: str) -> None:
    assert Scan.build([400, 500], [1, 1], source=source).title == title


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("0.30", 0.3),
        (" 12 ", 12.0),
        ("1e3", 1000.0),
        ("", None),
        ("12 cm", None),
        ("nan", None),
        ("inf", None),
        ("1,5", None),
    ],
)
def test_number_of_a_key(text: str, expected: float | None) -> None:
    scan = Scan.build([400, 500], [1, 1], meta={"distance_m": text})
    assert scan.number("distance_m") == expected
    assert scan.number("unsaid") is None
