"""Chromaticity, CCT, Duv, dominant wavelength and purity against the outside. Each check names its source."""

from __future__ import annotations

import numpy as np
import pytest

from spectui.core.colour import C2, FARTHEST_DUV, NO_HUE, REASONS, TOO_DARK, nearest, pure
from spectui.core.metrics import evaluate, metrics
from spectui.core.results import Result
from spectui.core.scan import Scan
from spectui.core.tables import table
from spectui.core.units import IRRADIANCE
from tests.core.lamps import GRID, colour, lamps, own_steps, peak, sources

KEYS = ["x", "y", "u_prime", "v_prime", "cct", "duv", "dominant_wavelength", "purity"]
WHITE = np.array([1.0, 1.0]) / 3.0

# Published: CIE 15 values as colour-science carries them (CCS_ILLUMINANTS).
CHROMATICITIES = {
    "A": (0.44758, 0.40745),
    "D50": (0.3457, 0.3585),
    "D65": (0.3127, 0.3290),
    "FL1": (0.3131, 0.3371),
    "FL2": (0.3721, 0.3751),
    "FL3": (0.4091, 0.3941),
    "FL4": (0.4402, 0.4031),
    "FL5": (0.3138, 0.3452),
    "FL6": (0.3779, 0.3882),
    "LED-B1": (0.4560, 0.4078),
    "LED-B2": (0.4357, 0.4012),
    "LED-B3": (0.3756, 0.3723),
}
# Computed with colour-science 0.4.7, uv_to_CCT_Ohno2013 of its own tristimulus values: linear 1 nm samples, whose ends
# it holds to 360 and 830 nm [K].
TEMPERATURES = {
    "A": 2855.68,
    "D50": 5001.31,
    "D65": 6502.70,
    "FL1": 6425.56,
    "FL2": 4225.17,
    "FL3": 3447.35,
    "FL4": 2939.54,
    "FL5": 6342.91,
    "FL6": 4148.98,
    "LED-B1": 2734.74,
    "LED-B2": 2998.83,
    "LED-B3": 4102.47,
}


@pytest.fixture(scope="module")
def found() -> dict[str, np.ndarray]:
    return evaluate(GRID, np.array(list(lamps().values())), KEYS, rule="sum")


@pytest.fixture(scope="module")
def tristimulus() -> np.ndarray:
    """Plain sums over 380-780 nm with colour-science's observer, not its sd_to_XYZ, which extends a scan to 360 nm."""
    shape = colour.SpectralShape(380, 780, 1)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    return np.asarray(np.array(list(lamps().values())) @ observer.values)


def one(nm: np.ndarray, values: np.ndarray) -> Result:
    return metrics(Scan.build(nm, values, IRRADIANCE), [*KEYS, "ra", "rf", "rg", "ppfd", "share_blue"])[0]


@pytest.mark.parametrize("name", CHROMATICITIES)
def test_chromaticities_by_a_plain_5_nm_sum(name: str) -> None:
    """Published (CIE 15), to half a printed digit; 1 nm interpolation stays within 3e-4 and no nearer."""
    at = evaluate(*own_steps(name), ["x", "y"], rule="sum")
    assert (float(at["x"]), float(at["y"])) == pytest.approx(CHROMATICITIES[name], abs=5.1e-5)
    fine = evaluate(GRID, lamps()[name], ["x", "y"])
    assert (float(fine["x"]), float(fine["y"])) == pytest.approx(CHROMATICITIES[name], abs=3e-4)


@pytest.mark.parametrize("name", TEMPERATURES)
def test_temperatures_of_cie_lamps(name: str) -> None:
    sd, nm = sources()[name], np.arange(360.0, 831.0)
    at = evaluate(nm, np.interp(nm, sd.wavelengths, sd.values), ["cct"], rule="sum")  # np.interp holds the ends
    assert float(at["cct"]) == pytest.approx(TEMPERATURES[name], abs=0.1)


def test_the_range_belongs_beside_a_temperature() -> None:
    """Trap: held to 360 nm, as sd_to_XYZ does, a 380 nm scan of D65 has another CCT than over its own range."""
    held = float(evaluate(np.arange(360.0, 781.0), np.r_[[lamps()["D65"][0]] * 20, lamps()["D65"]], ["cct"])["cct"])
    assert abs(float(evaluate(GRID, lamps()["D65"], ["cct"])["cct"]) - held) > 0.3


def test_duv_of_d65() -> None:
    """Computed with colour-science: +.0032."""
    assert float(evaluate(GRID, lamps()["D65"], ["duv"])["duv"]) == pytest.approx(0.0032, abs=5e-5)


def test_every_lamp_against_ohno_2013(found: dict[str, np.ndarray], tristimulus: np.ndarray) -> None:
    """colour-science's uv_to_CCT_Ohno2013 from the same tristimulus values: 0.1 K and 1e-6."""
    checked = 0
    for k, (name, xyz) in enumerate(zip(lamps(), tristimulus, strict=True)):
        uv = colour.UCS_to_uv(colour.XYZ_to_UCS(xyz))
        cct, duv = colour.temperature.uv_to_CCT_Ohno2013(uv)
        if abs(duv) > FARTHEST_DUV:
            assert np.isnan(found["cct"][k]), name
            continue
        checked += 1
        assert found["cct"][k] == pytest.approx(cct, abs=0.1), name
        assert found["duv"][k] == pytest.approx(duv, abs=1e-6), name
        assert (found["x"][k], found["y"][k]) == pytest.approx(xyz[:2] / xyz.sum(), abs=1e-12), name
        uv_prime = colour.xy_to_Luv_uv(xyz[:2] / xyz.sum())
        assert (found["u_prime"][k], found["v_prime"][k]) == pytest.approx(uv_prime, abs=1e-12), name
    assert checked > 110


def locus_xy(nm: float) -> np.ndarray:
    """A point of the spectrum locus, linear between whole nanometres as colour-science draws it."""
    rows = table("cie1931")
    xyz = np.array([np.interp(np.floor(nm) + np.array([0, 1]), rows[:, 0], column) for column in rows[:, 1:].T])
    xy = xyz[:2] / xyz.sum(axis=0)
    return np.asarray(xy[:, 0] + (nm - np.floor(nm)) * (xy[:, 1] - xy[:, 0]))


def test_every_lamp_against_dominant_wavelength_and_purity(found: dict[str, np.ndarray]) -> None:
    """colour-science, white at x = y = 1/3. Its wavelength is a whole nanometre, its point of the locus is exact."""
    spectral = 0
    for k, name in enumerate(lamps()):
        xy = np.array([found["x"][k], found["y"][k]])
        nm, point, _ = colour.dominant_wavelength(xy, WHITE)
        assert found["purity"][k] == pytest.approx(100 * colour.excitation_purity(xy, WHITE), abs=1e-9), name
        if nm < 0:
            assert np.isnan(found["dominant_wavelength"][k]), name
            continue
        spectral += 1
        assert found["dominant_wavelength"][k] == pytest.approx(nm, abs=0.5), name
        assert locus_xy(found["dominant_wavelength"][k]) == pytest.approx(point, abs=1e-9), name
    assert spectral > 90


def test_dominant_wavelength_all_around_white() -> None:
    """colour-science in 144 directions: spectral ones, and purples, whose line it ends elsewhere in the violet."""
    angle = np.arange(0.0, 360.0, 2.5)
    xy = WHITE + 0.05 * np.stack((np.cos(np.radians(angle)), np.sin(np.radians(angle))), axis=1)
    nm, purity = pure(xy[:, 0], xy[:, 1])
    for k in range(angle.size):
        theirs = float(colour.dominant_wavelength(xy[k], WHITE)[0])
        assert np.isnan(nm[k]) if theirs < 0 else nm[k] == pytest.approx(theirs, abs=0.5), angle[k]
        within = 2e-3 if theirs < 0 else 1e-9
        assert purity[k] == pytest.approx(100 * colour.excitation_purity(xy[k], WHITE), rel=within), angle[k]


@pytest.mark.parametrize("nm", [410.0, 450.0, 495.0, 505.0, 555.0, 589.0, 650.0])
def test_a_line_is_its_own_dominant_wavelength(nm: float) -> None:
    """By hand: light of one wavelength stands on the locus."""
    rows = table("cie1931")
    xyz = np.array([np.interp(nm, rows[:, 0], column) for column in rows[:, 1:].T])
    dominant, purity = pure(*(xyz[:2, np.newaxis] / xyz.sum()))
    assert dominant[0] == pytest.approx(nm, abs=0.01)
    assert purity[0] == pytest.approx(100.0, abs=1e-6)


def test_equal_energy_is_white_without_a_hue() -> None:
    dominant, purity = pure(WHITE[:1], WHITE[1:])
    assert np.isnan(dominant[0]) and purity[0] == 0.0


def planck_uv(kelvin: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Planck's law summed at 1 nm over 360-830 nm with the 2° observer: CIE 1960 u, v."""
    rows = table("cie1931")
    meters = rows[:, 0] * 1e-9
    power = meters**-5.0 / np.expm1(C2 / (meters * kelvin[:, np.newaxis]))
    x, y, z = (power @ rows[:, 1:]).T
    return 4 * x / (x + 15 * y + 3 * z), 6 * y / (x + 15 * y + 3 * z)


def test_points_of_the_locus_are_found_again() -> None:
    """By hand: Planck's law at T has CCT T and Duv 0; c₂ = 1.4388e-2 m K."""
    kelvin = np.geomspace(1000.5, 24990.0, 997)
    mired, duv = nearest(*planck_uv(kelvin))
    assert 1e6 / mired == pytest.approx(kelvin, rel=1e-6)
    assert np.abs(duv).max() < 1e-7


@pytest.mark.parametrize("off", [-0.049, -0.02, -0.003, 0.003, 0.02, 0.049])
def test_a_step_square_to_the_locus_is_duv(off: float) -> None:
    """By hand: from a point of the locus along its normal the nearest point stays, and the distance is the step."""
    kelvin = np.geomspace(1700.0, 20000.0, 101)
    u, v = planck_uv(kelvin)
    u1, v1 = planck_uv(kelvin * (1 + 1e-5))
    along = np.stack((u1 - u, v1 - v))
    along /= np.hypot(*along)
    mired, duv = nearest(u + off * along[1], v - off * along[0])
    assert 1e6 / mired == pytest.approx(kelvin, rel=2e-5)
    assert np.abs(duv) == pytest.approx(abs(off), abs=1e-7)
    assert (np.sign(duv) == np.sign(off)).all()


def test_1_000_and_25_000_kelvin_are_the_ends() -> None:
    """By hand: a colder or hotter body has no CCT here, one within has."""
    rows = table("cie1931")
    meters = rows[:, 0] * 1e-9
    for kelvin, has in ((980.0, False), (1010.0, True), (24500.0, True), (26000.0, False)):
        values = meters**-5.0 / np.expm1(C2 / (meters * kelvin))
        cct = float(evaluate(rows[:, 0], values, ["cct"], rule="sum")["cct"])
        assert cct == pytest.approx(kelvin, rel=1e-5) if has else np.isnan(cct)
    found = one(rows[:, 0], meters**-5.0 / np.expm1(C2 / (meters * 26000.0)))
    assert found["cct"].unavailable == "no correlated colour temperature within 1000-25000 K"
    assert found["x"].value is not None


def no_white(found: Result) -> set[str]:
    assert all(found[key].value is None for key in ("cct", "duv", "ra", "rf", "rg"))
    return {str(found[key].unavailable) for key in ("cct", "duv", "ra", "rf", "rg")}


def test_far_red_alone_is_not_visible_light() -> None:
    """Trap: 730 nm has some lux, so Y > 0 is not visible light; its photons stay."""
    found = one(GRID, peak(GRID, 730.0, 15.0))
    assert no_white(found) == {REASONS[TOO_DARK]}
    assert found["x"].unavailable == found["dominant_wavelength"].unavailable == REASONS[TOO_DARK]
    assert found["ppfd"].value is not None and found["ppfd"].value > 1
    lux = float(evaluate(GRID, peak(GRID, 730.0, 15.0), ["illuminance"])["illuminance"])
    assert lux > 15


def test_ultraviolet_alone_is_not_visible_light() -> None:
    nm = np.arange(300.0, 801.0)
    found = one(nm, peak(nm, 365.0, 6.0))
    assert no_white(found) == {REASONS[TOO_DARK]}
    assert found["ppfd"].value is not None


def test_blue_and_red_is_a_purple_far_from_white() -> None:
    found = one(GRID, peak(GRID, 450.0, 10.0) + 3 * peak(GRID, 660.0, 10.0))
    assert no_white(found) == {"too far from white: |Duv| is over 0.05"}
    assert found["dominant_wavelength"].unavailable == NO_HUE
    assert found["x"].value is not None and found["purity"].value == pytest.approx(91.8, abs=0.1)  # pin
    assert found["share_blue"].value is not None


def test_no_light_has_no_colour() -> None:
    assert no_white(one(GRID, np.zeros_like(GRID))) == {"the light does not add up to more than zero"}


@pytest.mark.parametrize("nm", [450.0, 590.0, 630.0])
def test_noise_below_zero_leaves_a_diode_its_colour(nm: float) -> None:
    """A deep red has no Z at all: noise that makes it negative is no reason to refuse x, y and the hue."""
    noisy = peak(GRID, nm, 10.0) + 0.003 * np.random.default_rng(1).normal(size=(50, GRID.size))
    found = evaluate(GRID, noisy, KEYS)
    clean = evaluate(GRID, peak(GRID, nm, 10.0), KEYS)
    assert found["dominant_wavelength"] == pytest.approx(float(clean["dominant_wavelength"]), abs=2.0)
    assert found["x"] == pytest.approx(float(clean["x"]), abs=0.01)


def test_the_plain_sum_is_for_even_grids() -> None:
    from spectui.core.errors import ScanError, UsageError

    with pytest.raises(ScanError, match="even grid"):
        evaluate([380.0, 400.0, 401.0, 780.0], np.ones(4), ["x"], rule="sum")
    with pytest.raises(UsageError, match="exact or sum"):
        evaluate(GRID, np.ones_like(GRID), ["x"], rule="sums")
