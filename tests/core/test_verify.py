"""Verification: it holds here, it fails where a number is broken, and it says what it could not run."""

from __future__ import annotations

import math
import re
import sys
from collections import Counter
from collections.abc import Iterator

import numpy as np
import pytest

from spectui.core import chromaticity, hazards, metrics
from spectui.core.verify import (
    NOT_DEFINED,
    Check,
    Verification,
    checks,
    groups,
    half_a_digit,
    planned,
    published,
    verify,
)
from spectui.core.verify import lights as by_hand
from spectui.core.verify.bins import CLASSES
from spectui.core.verify.check import attempted

colour = pytest.importorskip("colour")


@pytest.fixture(scope="module")
def whole() -> Verification:
    return verify()


def test_every_check_holds_here(whole: Verification) -> None:
    assert [check for check in whole.checks if not check.ok] == []
    assert whole.ok
    assert len(whole.checks) >= 60


def test_as_many_checks_as_planned(whole: Verification) -> None:
    assert len(whole.checks) == planned()


def test_every_check_names_all_that_a_record_needs(whole: Verification) -> None:
    for check in whole.checks:
        assert check.quantity and check.source and check.rule and check.subject and check.unit
        assert check.expected is not None and check.found is not None
        assert math.isfinite(check.tolerance) and check.tolerance >= 0
        assert abs(check.found - check.expected) <= check.tolerance


def test_no_two_checks_are_the_same(whole: Verification) -> None:
    same = Counter((c.subject, c.quantity, c.source, c.rule) for c in whole.checks)
    assert [key for key, count in same.items() if count > 1] == []


def test_checks_come_one_by_one() -> None:
    """A page shows progress: the first checks are there before anything is computed for the last."""
    some = checks()
    assert isinstance(some, Iterator)
    assert next(some).quantity == "photons per J and nm"


@pytest.mark.parametrize(
    ("printed", "half"), [("76", 0.5), ("0.4560", 5e-5), (".10", 0.005), ("4.60150", 5e-6), ("109495", 0.5)]
)
def test_the_printed_digits_set_the_tolerance(printed: str, half: float) -> None:
    """By hand: half a unit of the last digit."""
    assert half_a_digit(printed) == pytest.approx(half, rel=1e-12)


def test_a_tolerance_of_its_own_is_stated_by_the_source_or_the_rule() -> None:
    """No tolerance is wider than half a digit without its words."""
    for group in groups():
        if group.tolerance is not None:
            words = group.source + group.rule
            assert re.search(r"within|bound|moves it|by hand", words), group.subject


@pytest.mark.parametrize(("found", "ok"), [(1.0, True), (1.5, True), (0.5, True), (1.5001, False), (0.4999, False)])
def test_the_bound_itself_holds(found: float, ok: bool) -> None:
    check = attempted(Check("q", "s", "r", 1.0, None, 0.5), lambda: found)
    assert (check.ok, check.found) == (ok, found)


def test_a_number_that_the_program_does_not_have_does_not_hold() -> None:
    check = attempted(Check("q", "s", "r", 1.0, None, 0.5), lambda: math.nan)
    assert (check.ok, check.found, check.unavailable, check.ran) == (False, None, NOT_DEFINED, True)
    assert check.as_dict()["unavailable"] == NOT_DEFINED


def test_no_checks_are_no_verification() -> None:
    assert not Verification(()).ok


# --- broken on purpose --------------------------------------------------------------------------------------------


def first(group: published.Group, expected: str) -> published.Group:
    return group._replace(rows=(group.rows[0]._replace(expected=expected), *group.rows[1:]))


def test_a_published_value_changed_by_its_last_digit_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    one, *others = published.PHOTONS
    monkeypatch.setattr(published, "PHOTONS", (first(one, "3.76172"), *others))
    found = verify()
    assert not found.ok
    assert [(c.quantity, c.expected) for c in found.failed] == [("1 J at 450 nm", 3.76172)]
    assert not found.not_run


@pytest.fixture
def fresh() -> Iterator[None]:
    """Weights are built once and kept: made anew for a test that changes a table, and again after it."""
    yield
    hazards.blue_light.cache_clear()
    metrics._weights.cache_clear()


def test_a_table_changed_in_one_row_is_named(monkeypatch: pytest.MonkeyPatch, fresh: None) -> None:
    rows = tuple((nm, 0.86 if nm == 435 else b) for nm, b in hazards._BLUE)
    monkeypatch.setattr(hazards, "_BLUE", rows)
    hazards.blue_light.cache_clear()
    metrics._weights.cache_clear()
    found = verify()
    assert [c.quantity for c in found.failed] == ["B at 435 nm"]
    assert found.failed[0].found == pytest.approx(0.86, abs=1e-4)


def test_a_class_changed_in_one_number_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    targets = chromaticity._TARGETS.copy()
    targets[-1] += 30.0  # the last class: a side moved into a neighbour would take places of that one too
    monkeypatch.setattr(chromaticity, "_TARGETS", targets)
    assert {c.quantity for c in verify().failed} == {"corners within, 6500 K", "sides within, 6500 K"}


def test_a_light_that_cannot_be_made_is_told_and_the_others_go_on(monkeypatch: pytest.MonkeyPatch) -> None:
    def gone() -> by_hand.Light:
        raise KeyError("no table 'am15g'")

    monkeypatch.setitem(by_hand.LIGHTS, "AM1.5G", gone)
    found = verify()
    assert not found.ok and not found.failed
    assert {c.subject for c in found.not_run} == {"The sun of ASTM G173-03, global tilt (AM1.5G)", "Sun and sky"}
    assert all("am15g" in str(c.unavailable) for c in found.not_run)


def test_without_colour_science_its_checks_are_not_run_and_the_verdict_is_no(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "colour", None)
    found = verify()
    assert len(found.checks) == planned()
    assert not found.ok and not found.failed
    assert len(found.not_run) > 100
    assert sum(c.ok for c in found.checks) > 150
    for check in found.not_run:
        assert check.found is None and not check.ok
        assert "colour-science cannot be imported" in str(check.unavailable)
    assert any(c.source == "colour-science 0.4.7, computed live" for c in found.not_run)


def test_another_package_of_that_name_is_no_oracle(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "colour", math)
    found = verify()
    assert not found.ok and found.not_run and not found.failed


# --- the lights by hand -------------------------------------------------------------------------------------------


def test_illuminant_a_by_its_formula_is_the_table_of_colour_science() -> None:
    """CIE 15 prints A with six digits, three decimals at most of them, at 5 nm."""
    table = colour.SDS_ILLUMINANTS["A"]
    nm, values = by_hand.incandescent()
    shared = np.isin(nm, table.wavelengths)
    seen = np.isin(table.wavelengths, nm)
    assert seen.sum() > 80
    assert 100 * values[shared] == pytest.approx(table.values[seen], abs=5e-4)


def test_d65_by_its_formula_is_the_table_of_colour_science() -> None:
    """CIE 15 prints D65 with six digits at 5 nm; its values between the 10 nm points are interpolated."""
    table = colour.SDS_ILLUMINANTS["D65"]
    nm, values = by_hand.daylight()
    shared = np.isin(nm, table.wavelengths)
    seen = np.isin(table.wavelengths, nm)
    assert seen.sum() > 80
    assert values[shared] == pytest.approx(table.values[seen], abs=1e-3)


def test_a_thin_line_at_an_edge_stays_within() -> None:
    nm, values = by_hand.line(400.0, 280.0, 400.0)
    assert nm[values > 0].max() < 400.0 and nm[3] <= 400.0
    assert np.trapezoid(values, nm) == pytest.approx(1.0, rel=1e-9)


def test_the_classes_are_written_down_apart_from_the_program() -> None:
    """Both were typed from the same table: they agree, and neither is made from the other."""
    assert [tuple(map(float, one)) for one in CLASSES] == [tuple(map(float, one)) for one in chromaticity.NOMINAL]
