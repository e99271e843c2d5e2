"""Flags: each rule at its edge, its rank, and the words for a head line."""

from __future__ import annotations

import numpy as np
import pytest

from spectui.core.metrics import metrics
from spectui.core.quality import Limits, flags, trust, worst
from spectui.core.scan import DOUBT, FAULT, UNSAID, Flag, Scan
from spectui.core.units import COUNTS, IRRADIANCE, TRANSMITTANCE

NM = np.arange(380.0, 781.0)
SAID = {"place": "bay 1", "taken_at": "2025-03-04T10:00:00+01:00", "dark_taken_at": "2025-03-04T09:50:00+01:00"}


def scan(values: object = 1.0, unit: str | None = IRRADIANCE, nm: np.ndarray = NM, **meta: str) -> Scan:
    return Scan.build(nm, np.broadcast_to(np.asarray(values, dtype=float), nm.shape), unit, SAID | meta)


def marked(given: Scan, limits: Limits | None = None) -> dict[str, Flag]:
    """Faults and doubts of a scan by code, as its result carries them."""
    found = metrics(given, [], **({} if limits is None else {"limits": limits}))[0].flags
    return {flag.code: flag for flag in found if flag.rank != UNSAID}


def only(given: Scan, code: str, rank: str) -> str:
    found = marked(given)
    assert list(found) == [code]
    assert found[code].rank == rank
    return found[code].message


def test_a_scan_with_everything_said_has_no_flag() -> None:
    assert metrics(scan(), [])[0].flags == ()
    assert trust(()) == "trust ok"
    assert worst(()) is None


@pytest.mark.parametrize(("peak", "code"), [(94.9, None), (95.0, "near_saturation"), (5.0, None), (4.99, "low_signal")])
def test_saturation_and_low_signal_of_counts(peak: float, code: str | None) -> None:
    given = scan(peak * 655.35, COUNTS, full_scale_counts="65535")
    assert [f.rank for f in marked(given).values()] == ([FAULT] if code else [])
    assert list(marked(given)) == ([code] if code else [])


def test_saturation_is_judged_for_counts_with_a_full_scale_only() -> None:
    assert not marked(scan(65535, COUNTS))
    assert not marked(scan(65535, full_scale_counts="65535"))
    assert not marked(scan(65535, COUNTS, full_scale_counts="0"))


def test_negative_beyond_noise_is_a_fault_that_names_where() -> None:
    values = np.ones(NM.size)
    values[20] = -0.1
    assert "negative at 400 nm" in only(scan(values), "negative", FAULT)


def test_negative_within_noise_is_none() -> None:
    random = np.random.default_rng(2)
    lamp = np.exp(-(((NM - 600) / 40) ** 2))
    assert "negative" not in marked(scan(lamp + random.normal(0, 0.003, NM.size)))
    dip = lamp + random.normal(0, 0.003, NM.size)
    dip[5] = -0.1
    assert "negative" in marked(scan(dip))
    assert "negative" not in marked(scan(dip, noise_percent="5"))


@pytest.mark.parametrize(("step", "told"), [(5.0, False), (5.1, True), (10.0, True), (1.0, False)])
def test_coarse_step(step: float, told: bool) -> None:
    given = scan(nm=np.arange(380.0, 800.0, step))
    assert list(marked(given)) == (["coarse_step"] if told else [])
    if told:
        assert f"{step:g} nm" in only(given, "coarse_step", FAULT)


def test_one_gap_is_a_coarse_step_and_steps_beyond_800_nm_are_not() -> None:
    assert "coarse_step" in marked(scan(nm=NM[(NM < 500) | (NM > 506)]))
    assert not marked(scan(nm=np.concatenate((NM, [800, 900, 1000]))[:-3]))
    beyond = np.concatenate((np.arange(380.0, 801.0, 5.0), [850.0, 950.0]))
    assert not marked(scan(nm=beyond))


@pytest.mark.parametrize(
    ("dark", "message"),
    [
        ("2025-03-04T09:30:00+01:00", None),
        ("2025-03-04T09:29:00+01:00", "dark 31 min old"),
        ("2025-03-04T08:30:00Z", None),
        ("2025-03-04T10:29:00+01:00", None),
        ("2025-03-04T10:47:00+01:00", "dark taken 47 min after"),
        ("2025-03-04T05:00:00+01:00", "dark 5 h old"),
        ("2025-02-22T10:00:00+01:00", "dark 10 d old"),
        ("2025-03-04T09:13:00", "dark 47 min old"),
    ],
)
def test_age_of_the_dark(dark: str, message: str | None) -> None:
    given = scan(dark_taken_at=dark)
    if message is None:
        assert not marked(given)
    else:
        assert only(given, "dark_old", DOUBT).startswith(message)
        assert trust(flags(given)) == f"doubt: {message}"


def test_dark_at_another_integration_time() -> None:
    assert not marked(scan(integration_ms="80", dark_integration_ms="80.0"))
    assert "200 ms" in only(scan(integration_ms="200", dark_integration_ms="80"), "dark_integration", DOUBT)
    assert not marked(scan(integration_ms="200"))


@pytest.mark.parametrize(
    ("now", "word"), [("23", None), ("23.1", "3.1 °C warmer"), ("17", None), ("16.5", "3.5 °C cooler")]
)
def test_temperature_since_the_dark(now: str, word: str | None) -> None:
    given = scan(temperature_c=now, dark_temperature_c="20")
    if word is None:
        assert not marked(given)
    else:
        assert word in only(given, "temperature_moved", DOUBT)


@pytest.mark.parametrize(
    ("due", "days"), [("2025-03-04", None), ("2025-03-03", "1 d past due"), ("2024-03-04", "365 d")]
)
def test_calibration_due(due: str, days: str | None) -> None:
    given = scan(calibration_due=due)
    if days is None:
        assert not marked(given)
    else:
        assert days in only(given, "calibration_due", DOUBT)


def test_without_a_time_no_age_is_judged() -> None:
    given = Scan.build(NM, np.ones(NM.size), IRRADIANCE, {"place": "x", "calibration_due": "2000-01-01"})
    assert not marked(given)
    assert {f.code for f in flags(given)} == {"time_unsaid", "dark_unsaid"}


@pytest.mark.parametrize(("key", "metric"), [("stated_ppfd", "ppfd"), ("stated_lux", "illuminance")])
@pytest.mark.parametrize(("factor", "told"), [(1.0, False), (1.0098, False), (1.0102, True), (0.985, True)])
def test_stated_value_more_than_one_percent_off(key: str, metric: str, factor: float, told: bool) -> None:
    """DESIGN: a stated value more than 1 % off ours is a doubt with both numbers; the limit is 1 % of the stated."""
    ours = metrics(scan(), [metric])[0][metric].value
    assert ours is not None
    given = scan(**{key: repr(ours / factor)})
    if told:
        message = only(given, "stated_differs", DOUBT)
        assert f"{ours / factor:.4g}" in message
        assert f"{ours:.4g}" in message
    else:
        assert not marked(given)


def test_stated_value_of_a_relative_scan_is_not_judged() -> None:
    assert not marked(scan(unit=None, stated_ppfd="1"))


@pytest.mark.parametrize(
    ("share", "told"), [(0.0, False), (0.003, True), (0.0049, True), (0.0051, False), (0.2, False)]
)
def test_ultraviolet_share_that_may_be_stray_light(share: float, told: bool) -> None:
    """By hand: 1 W m-2 in all, `share` of it evenly over 340-400 nm, a doubt under 0.5 %."""
    nm = np.concatenate((np.arange(340.0, 401.0), 400 + 1e-9 + np.arange(0, 301)))
    values = np.where(nm <= 400, share / 60, (1 - share) / 300)
    given = scan(values, nm=nm)
    assert list(marked(given)) == (["uv_stray"] if told else [])


def test_limits_are_settable() -> None:
    given = scan(dark_taken_at="2025-03-04T09:13:00+01:00", temperature_c="30", dark_temperature_c="20")
    assert set(marked(given)) == {"dark_old", "temperature_moved"}
    assert not marked(given, Limits(dark_age_min=60, temperature_c=10))


@pytest.mark.parametrize(
    ("key", "text", "code"),
    [
        ("temperature_c", "warm", "not_a_number"),
        ("stated_ppfd", "1,200", "not_a_number"),
        ("calibration_due", "next week", "not_a_date"),
        ("dark_taken_at", "4.3.2025 9:50", "not_a_date"),
        ("photoperiod_h", "30", "photoperiod"),
        ("photoperiod_h", "-1", "photoperiod"),
    ],
)
def test_a_fact_that_cannot_be_read_is_told(key: str, text: str, code: str) -> None:
    assert text.removesuffix(" h") in only(scan(**{key: text}), code, DOUBT)


def test_unsaid_facts_do_not_mark_a_scan() -> None:
    bare = Scan.build(NM, np.ones(NM.size))
    found = flags(bare)
    assert {f.rank for f in found} == {UNSAID}
    assert len(found) == 4  # unit, place, time, dark
    assert trust(found) == "trust ok"
    assert worst(found) is None


def test_a_unit_that_was_said_to_be_relative_is_said() -> None:
    assert all("unit" not in f.code for f in flags(scan(unit="relative")))
    assert all("unit" not in f.code for f in flags(scan(0.5, TRANSMITTANCE)))


def test_faults_come_first_then_doubts_and_trust_counts_the_rest() -> None:
    met = (Flag("unsorted", FAULT, "wavelengths were not in order: sorted"),)
    given = scan(dark_taken_at="2025-03-04T09:13:00+01:00", temperature_c="30", dark_temperature_c="20")
    found = flags(given.with_(flags=met, meta={k: v for k, v in given.meta.items() if k != "place"}))
    assert [f.rank for f in found] == [FAULT, DOUBT, DOUBT, UNSAID]
    assert trust(found) == "fault: wavelengths were not in order: sorted +2"
    assert worst(found) == FAULT
    assert worst(found[1:]) == DOUBT


def test_all_zero_scan_has_flags_and_no_crash() -> None:
    assert set(marked(scan(0.0))) == {"no_light"}
    assert set(marked(scan(0.0, COUNTS, full_scale_counts="65535"))) == {"low_signal", "no_light"}
