"""How numbers are written. All by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from spectui.report.numbers import ascii_only, decimals, difference, number, percent, spread, unit

THIN, MINUS = "\u2009", "\u2212"


@pytest.mark.parametrize(
    ("value", "uncertainty", "text"),
    [
        (411.96, None, "412.0"),
        (23.7, None, "23.70"),
        (9.9999, None, "10.00"),
        (99999.6, None, f"100{THIN}000"),
        (109494.7, None, f"109{THIN}500"),
        (-1702.2, None, f"{MINUS}1{THIN}702"),
        (0.0, None, "0"),
        (-0.0, None, "0"),
        (0.00012345, None, "0.0001234"),
        (1e-9, None, "1.000×10⁻⁹"),
        (-2.5e9, None, f"{MINUS}2.500×10⁹"),
        (412.3, 21.2, "412"),
        (371.4, 5.2, "371"),
        (18.24, 0.43, "18.2"),
        (18.24, 0.13, "18.24"),
        (1702.4, 210.0, f"1{THIN}700"),
        (0.4, 29.96, "0"),
        (None, None, "–"),
        (math.nan, None, "–"),
        (math.inf, None, "–"),
    ],
)
def test_number(value, uncertainty, text):
    assert number(value, uncertainty) == text


@pytest.mark.parametrize(
    ("u", "text"), [(21.2, "±21"), (5.2, "±5"), (2.96, "±3"), (0.13, "±0.13"), (210.0, "±210"), (None, "")]
)
def test_spread_has_two_digits_below_three_else_one(u, text):
    assert spread(u) == text


@pytest.mark.parametrize(
    ("value", "pair", "text"),
    [
        (-5.633, (56.33, 50.70), f"{MINUS}5.63"),
        (1.4e-14, (20.7, 20.7), "0"),
        (0.02, (20.71, 20.73), "+0.02"),
        (-1978.0, (19780.0, 17802.0), f"{MINUS}1{THIN}980"),
        (1.2, (99.94, 101.1), "+1.2"),
        (None, (None, 3.0), "–"),
    ],
)
def test_a_difference_has_the_decimals_of_both_its_numbers(value, pair, text):
    assert difference(value, pair) == text


@given(st.floats(0.001, 1e6), st.floats(0.001, 1e6))
def test_the_written_difference_is_that_of_the_written_numbers(a, b):
    def read(text):
        return float(text.replace(THIN, "").replace(MINUS, "-").replace("–", "nan"))

    last = 10.0 ** -min(decimals(a), decimals(b))
    assert abs(read(difference(b - a, (a, b))) - (read(number(b)) - read(number(a)))) <= 1.501 * last


@given(st.floats(1e-4, 9.9e6))
def test_four_significant_digits(value):
    read = float(number(value).replace(THIN, ""))
    assert abs(read - value) <= 0.5000001 * 10.0 ** (math.floor(math.log10(value)) - 3)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (-10.4, f"{MINUS}10"),
        (-9.94, f"{MINUS}9.9"),
        (9.96, "+10"),
        (0.04, "0"),
        (0.06, "+0.1"),
        (None, "–"),
        (1234.5, f"+1{THIN}234"),
    ],
)
def test_percent(value, text):
    assert percent(value) == text


def test_units_are_typeset_and_a_ratio_has_none():
    assert unit("umol/m2/s") == "µmol m⁻² s⁻¹"
    assert unit("1") == ""
    assert unit("nm") == "nm"


def test_ascii():
    assert ascii_only(f"{MINUS}1{THIN}702 ±21 µmol m⁻² s⁻¹ ≈ –") == "-1702 +-21 umol m-2 s-1 ~ -"
