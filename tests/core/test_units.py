"""Units as they are declared, and their conversion at the boundary."""

from __future__ import annotations

import numpy as np
import pytest

from spectui.core.errors import SpectuiError, UnitError
from spectui.core.units import COUNTS, IRRADIANCE, PHOTON, RELATIVE, TRANSMITTANCE, UNITS, parse_unit, to_internal

SPELLINGS = {
    "W/m2/nm": ["W m-2 nm-1", "W/(m²·nm)", "W·m⁻²·nm⁻¹", "W m^-2 nm^-1", "W/m**2/nm", "W/nm/m2", " W / m2 / nm "],
    "mW/m2/nm": ["mW/m²/nm", "mW m-2 nm-1", "mW m⁻² nm⁻¹", "mW/(m2 nm)", "mW / (m² · nm)"],
    "uW/cm2/nm": ["µW/cm²/nm", "μW/(cm²·nm)", "uW cm-2 nm-1", "uW*cm-2*nm-1"],
    "W/m2/um": ["W/m²/µm", "W m⁻² µm⁻¹", "W/(m2.um)", "W m−2 µm−1"],
    "umol/m2/s/nm": ["µmol m⁻² s⁻¹ nm⁻¹", "µmol/(m² s nm)", "umol photons m-2 s-1 nm-1", "umol/s/m2/nm"],
    "counts": ["Counts", "count", " COUNTS "],
    "relative": ["Relative"],
    "transmittance": ["TRANSMITTANCE"],
}


@pytest.mark.parametrize(("unit", "text"), [(unit, text) for unit, all_ in SPELLINGS.items() for text in all_])
def test_spellings(unit: str, text: str) -> None:
    assert parse_unit(text) == unit


@pytest.mark.parametrize("unit", UNITS)
def test_canonical_spelling_is_its_own(unit: str) -> None:
    assert parse_unit(unit) == unit


def test_every_unit_is_spelled_here() -> None:
    assert set(SPELLINGS) == set(UNITS)


@pytest.mark.parametrize(
    "text",
    # Other quantities, other powers, doubled symbols, brackets that do not close, a prefix of another size.
    [
        *("", "W", "nm", "lx", "W/m2", "W m-2 nm", "W/m2*nm", "W/m2/nm/nm", "1/nm", "W/m3/nm", "W/m2/mm", "W/(m2/nm)"),
        *("W/((m2 nm))", "W/(m2 nm", "W m-2) nm-1", "w/m2/nm", "MW/m2/nm", "mol/m2/s/nm", "umol/m2/nm", "W/m2/nm?"),
        *("W-1m2nm", "\x1b[31mW/m2/nm", "a.u.", "W/m²/nm²", "cm2/uW/nm"),
    ],
)
def test_what_is_no_unit_of_ours_is_refused_and_the_known_ones_named(text: str) -> None:
    with pytest.raises(UnitError, match="unknown unit") as caught:
        parse_unit(text)
    assert all(unit in str(caught.value) for unit in UNITS)
    assert "\x1b" not in str(caught.value)
    assert isinstance(caught.value, SpectuiError)


@pytest.mark.parametrize(
    ("unit", "expected"),
    # By hand: 1 mW = 1e-3 W; 1 µW cm-2 = 1e-2 W m-2; per µm is a thousandth per nm; 550 nm has 4.59764 µmol per joule.
    [("W/m2/nm", 1.0), ("mW/m2/nm", 1e-3), ("uW/cm2/nm", 1e-2), ("W/m2/um", 1e-3), ("umol/m2/s/nm", 1 / 4.59764)],
)
def test_one_of_each_at_550_nm(unit: str, expected: float) -> None:
    internal, values = to_internal(unit, np.array([550.0]), np.array([1.0]))
    assert internal == IRRADIANCE
    assert values == pytest.approx([expected], rel=2e-6 if unit == PHOTON else 1e-15)


@pytest.mark.parametrize("unit", [COUNTS, RELATIVE, TRANSMITTANCE])
def test_units_without_a_scale_stay(unit: str) -> None:
    internal, values = to_internal(unit, np.array([400.0, 500.0]), np.array([3.0, 4.0]))
    assert (internal, values.tolist()) == (unit, [3.0, 4.0])


def test_stack_is_converted_along_its_last_axis() -> None:
    _, values = to_internal(PHOTON, np.array([400.0, 800.0]), np.ones((3, 2)))
    assert values.shape == (3, 2)
    assert values[:, 0] == pytest.approx(2 * values[:, 1])


def test_unit_that_was_not_parsed_is_an_error() -> None:
    with pytest.raises(UnitError, match="W m-2 nm-1"):
        to_internal("W m-2 nm-1", np.array([400.0]), np.array([1.0]))


def test_a_power_of_thousands_of_digits_is_no_unit() -> None:
    with pytest.raises(UnitError):
        parse_unit("W/m" + "9" * 5000)
