"""The numbers against the outside: standards, published tables, other packages, paper. Each check names its source."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad

from spectui.core.metrics import evaluate, metrics
from spectui.core.scan import Scan
from spectui.core.tables import table
from spectui.core.units import IRRADIANCE, UMOL_PER_JOULE_NM

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # about plotting that is not installed
    colour = pytest.importorskip("colour")
    pvlib = pytest.importorskip("pvlib")

SAMPLES = Path(__file__).parents[2] / "samples" / "nursery"


# --- the sun of ASTM G173-03 -------------------------------------------------------------------------------------


@cache
def sun() -> Scan:
    """ASTM G173-03 global tilt as pvlib carries it (pvlib.spectrum.get_reference_spectra), on its native grid."""
    spectra = pvlib.spectrum.get_reference_spectra()
    return Scan.build(spectra.index.to_numpy(float), spectra["global"].to_numpy(float), IRRADIANCE)


# Computed, with the rule "E piecewise linear on the native grid, the product with λ integrated exactly", outside this
# program; for the illuminance V(λ) of 1924 at 1 nm, linear between.
SUN = {
    "irradiance": 1000.371,
    "par_irradiance": 429.831,
    "ppfd": 1977.868,
    "photons_per_radiant_joule": 4.60150,
    "eppfd": 2341.678,
    "pfd_blue": 528.899,
    "pfd_green": 693.798,
    "pfd_red": 755.171,
    "pfd_far_red_par": 363.810,
    "pfd_far_red": 708.308,
    "pfd_uv": 140.2201,
    "pfd_uv_b": 1.77532,
    "r_fr": 1.096525,
    "r_fr_broad": 1.06616,
    "illuminance": 109495.0,
}


@pytest.mark.parametrize("key", sorted(SUN))
def test_sun(key: str) -> None:
    assert metrics(sun(), [key])[0][key].value == pytest.approx(SUN[key], rel=1e-5)


def test_sun_lux_per_umol_to_the_printed_digit() -> None:
    assert metrics(sun(), ["lux_per_umol"])[0]["lux_per_umol"].value == pytest.approx(55.36, abs=0.005)


def test_sun_of_the_shipped_table_is_the_same() -> None:
    shipped = Scan.build(*table("am15g").T, IRRADIANCE)
    assert np.array_equal(shipped.wavelength, sun().wavelength)
    assert np.array_equal(shipped.values, sun().values)


def test_sun_total_is_that_which_pvlib_states() -> None:
    """Published: "For global spectra, it is about 1000.37 W/m²" (pvlib's documentation)."""
    assert metrics(sun(), ["irradiance"])[0]["irradiance"].value == pytest.approx(1000.37, abs=0.005)


def test_sun_by_other_rules_is_off_by_what_the_rules_cost() -> None:
    """Computed outside: a 1 nm rectangle sum is +0.28 %, a 10 nm trapezoid −1.05 % from the exact edges."""
    nm, values = sun().wavelength, sun().values
    q = UMOL_PER_JOULE_NM * nm * values
    exact = metrics(sun(), ["ppfd"])[0]["ppfd"].value
    assert exact is not None
    inside = np.isin(nm, np.arange(400.0, 701.0))
    assert 100 * (q[inside].sum() / exact - 1) == pytest.approx(0.28, abs=0.005)
    tens = np.isin(nm, np.arange(400.0, 701.0, 10.0))
    assert 100 * (np.trapezoid(q[tens], nm[tens]) / exact - 1) == pytest.approx(-1.05, abs=0.005)


# --- photons and joules ------------------------------------------------------------------------------------------


def thin(nm: float, half: float = 0.01) -> tuple[np.ndarray, np.ndarray]:
    """A triangle of 1 W m-2 in all around one wavelength, symmetric: its photons are exactly those at `nm`."""
    return np.array([200.0, nm - half, nm, nm + half, 900.0]), np.array([0.0, 0.0, 1.0 / half, 0.0, 0.0])


@pytest.mark.parametrize(
    ("nm", "expected", "key"),
    # By hand: λ / (h c N_A) with the exact SI constants, printed to six digits.
    [(450, 3.76171, "pfd_blue"), (555, 4.63944, "pfd_green"), (660, 5.51717, "pfd_red"), (730, 6.10232, "pfd_far_red")],
)
def test_umol_per_joule(nm: float, expected: float, key: str) -> None:
    assert UMOL_PER_JOULE_NM * nm == pytest.approx(expected, abs=5e-6)
    found = evaluate(*thin(nm), ["irradiance", key])
    assert float(found["irradiance"]) == pytest.approx(1.0, rel=1e-9)
    assert float(found[key]) == pytest.approx(expected, abs=5e-6)


def test_photon_constant() -> None:
    """By hand: 1e-3 / (h c N_A) with the exact SI 2019 constants."""
    assert pytest.approx(0.008359347229111778, rel=1e-15) == UMOL_PER_JOULE_NM


def test_equal_energy_400_700() -> None:
    """By hand: photons of equal energy over 400-700 nm are those of 550 nm, 4.59764 µmol per joule."""
    found = evaluate([400.0, 700.0], [1.0, 1.0], ["photons_per_radiant_joule", "ppfd"])
    assert float(found["photons_per_radiant_joule"]) == pytest.approx(550 * UMOL_PER_JOULE_NM, rel=1e-12)
    assert float(found["photons_per_radiant_joule"]) == pytest.approx(4.59764, abs=5e-6)
    assert float(found["ppfd"]) == pytest.approx(300 * 550 * UMOL_PER_JOULE_NM, rel=1e-12)


def test_equal_photons() -> None:
    """By hand: one photon flux at every wavelength; every 100 nm band has the same, a third each of the PPFD."""
    nm = np.arange(380.0, 801.0, 0.25)
    scan = Scan.build(nm, np.full(nm.size, 2.0), "umol/m2/s/nm")
    found = metrics(scan, ["ppfd", "share_blue", "share_green", "share_red", "r_fr_broad"])[0]
    # Linear in W m-2 nm-1 between the samples, as the rule says, so not linear in photons: 1e-7 at this step.
    assert found["ppfd"].value == pytest.approx(600.0, rel=1e-6)
    for key in ("share_blue", "share_green", "share_red"):
        assert found[key].value == pytest.approx(100 / 3, rel=1e-6)
    assert found["r_fr_broad"].value == pytest.approx(1.0, rel=1e-6)


@pytest.mark.parametrize(("nm", "lux"), [(555.0, 683.0 * 1.0), (650.0, 683.0 * 0.107), (510.0, 683.0 * 0.503)])
def test_lux_of_one_watt_in_a_thin_line(nm: float, lux: float) -> None:
    """Published: V(λ) of 1924 is 1 at 555, 0.107 at 650, 0.503 at 510 nm (CIE; from memory); times 683 lm/W."""
    # The thin line is 0.02 nm wide and V(λ) bends at its middle: up to 683 · 0.005 nm · slope lies between.
    assert float(evaluate(*thin(nm), ["illuminance"])["illuminance"]) == pytest.approx(lux, rel=5e-4)


# --- lamps -------------------------------------------------------------------------------------------------------


def lamp(name: str) -> Scan:
    """An illuminant or light source as colour-science 0.4.7 carries it, on its own samples."""
    sd = colour.SDS_ILLUMINANTS[name] if name in colour.SDS_ILLUMINANTS else colour.SDS_LIGHT_SOURCES[name]
    return Scan.build(sd.wavelengths, sd.values, IRRADIANCE)


def per_umol(scan: Scan) -> tuple[float, float]:
    found = metrics(scan, ["photons_per_radiant_joule", "lux_per_umol"])[0]
    joule, lux = found["photons_per_radiant_joule"].value, found["lux_per_umol"].value
    assert joule is not None and lux is not None
    return joule, lux


@pytest.mark.parametrize(
    ("name", "joule", "lux", "digit"),
    # Computed outside this program from the CIE illuminants' tables; tolerance half the last digit.
    [("A", 5.013, 50.26, 0.005), ("FL2", 4.533, 76.5, 0.05)],
)
def test_cie_illuminants(name: str, joule: float, lux: float, digit: float) -> None:
    found = per_umol(lamp(name))
    assert found[0] == pytest.approx(joule, abs=5e-4)
    assert found[1] == pytest.approx(lux, abs=digit)


# Thimijan & Heins 1983, HortScience 18(6):818-822 (seen through a posting that cites it): µmol/J and lx per µmol.
THIMIJAN = {
    "sun and sky": (4.57, 54.0),
    "high-pressure sodium": (4.98, 82.0),
    "metal halide": (4.59, 71.0),
    "cool-white fluorescent": (4.59, 74.0),
    "incandescent": (5.00, 50.0),
}


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        ("incandescent", "A"),
        ("incandescent", "Incandescent"),
        ("cool-white fluorescent", "FL2"),
        ("cool-white fluorescent", "Cool White FL"),
        ("high-pressure sodium", "HP1"),
        ("high-pressure sodium", "HPS"),
        ("metal halide", "Metal Halide"),
    ],
)
def test_lamps_of_the_type_within_five_percent(kind: str, name: str) -> None:
    assert per_umol(lamp(name)) == pytest.approx(THIMIJAN[kind], rel=0.05)


def test_sun_within_five_percent_of_sun_and_sky() -> None:
    assert per_umol(sun()) == pytest.approx(THIMIJAN["sun and sky"], rel=0.05)


@pytest.mark.parametrize(("kind", "name"), [("high-pressure sodium", "sodium"), ("metal halide", "metal-halide")])
def test_invented_samples_of_the_type_within_five_percent(kind: str, name: str) -> None:
    """The project's own samples are invented; this holds that they are lamps of their type."""
    from spectui.files.read import read

    (scan,) = read(SAMPLES / "lamps" / f"{name}.csv")
    assert per_umol(scan) == pytest.approx(THIMIJAN[kind], rel=0.05)


# --- illuminance against colour-science --------------------------------------------------------------------------


def sources() -> Iterator[Any]:
    yield from colour.SDS_ILLUMINANTS.values()
    yield from colour.SDS_LIGHT_SOURCES.values()


def test_illuminance_of_every_source_of_colour_science() -> None:
    """colour.luminous_flux on each source, made linear at 1 nm, which is what its trapezoid then sums.

    On a 1 nm grid that V(λ) shares, the exact integral of the product of two linear pieces is that trapezoid less
    a sixth of the sum of ΔE·ΔV: the one term by which the rules differ, so the rest must agree to rounding.
    """
    compared = 0
    photopic = colour.SDS_LEFS["CIE 1924 Photopic Standard Observer"]
    for sd in sources():
        ours = metrics(Scan.build(sd.wavelengths, sd.values, IRRADIANCE), ["illuminance"])[0]["illuminance"]
        fine = sd.copy().interpolate(
            colour.SpectralShape(sd.shape.start, sd.shape.end, 1), interpolator=colour.LinearInterpolator
        )
        theirs = float(colour.luminous_flux(fine))
        inside = np.array([photopic[nm] if 360 <= nm <= 830 else 0.0 for nm in fine.wavelengths])
        begins = np.searchsorted(fine.wavelengths, 360)  # below its first row V(λ) is zero at once, not on a slope
        steps = (np.diff(fine.values) * np.diff(inside))[max(begins - 1, 0) + (begins > 0) :]
        if ours.value is None:
            assert fine.wavelengths[-1] <= 690, "only a source that ends in the red may lack an illuminance"
            continue
        lost = 0.5 * 683 * photopic[360] * fine[359] if begins > 0 else 0.0  # their trapezoid's half step below 360 nm
        assert ours.value == pytest.approx(theirs - lost - 683 / 6 * steps.sum(), rel=1e-7)
        assert ours.value == pytest.approx(theirs, rel=1e-3)
        compared += 1
    assert compared > 90


# --- the integration rule against brute force ---------------------------------------------------------------------

PHOTON_BANDS = {
    "ppfd": (400, 700),
    "eppfd": (400, 750),
    "pfd_blue": (400, 500),
    "pfd_green": (500, 600),
    "pfd_red": (600, 700),
    "pfd_far_red": (700, 800),
    "pfd_far_red_par": (700, 750),
    "pfd_uv": (280, 400),
    "pfd_uv_a": (315, 400),
    "pfd_uv_b": (280, 315),
}


def brute(nm: np.ndarray, values: np.ndarray, weight_knots: np.ndarray, lo: float, hi: float, weight: Any) -> float:
    """∫ E·w over lo-hi by scipy.integrate.quad on every stretch without a bend."""
    bends = np.unique(np.concatenate((nm, weight_knots, [lo, hi])))
    bends = bends[(bends >= lo) & (bends <= hi)]
    return sum(quad(lambda x: np.interp(x, nm, values) * weight(x), a, b, epsabs=1e-13)[0] for a, b in pairwise(bends))


@pytest.mark.parametrize("seed", range(8))
def test_photon_bands_on_random_uneven_grids(seed: int) -> None:
    random = np.random.default_rng(seed)
    nm = np.concatenate(([251.0], np.sort(random.uniform(251, 839, 20 + 25 * seed)), [839.0]))
    values = random.uniform(-0.1, 1.0, nm.size) * random.choice([1e-3, 1.0, 50.0], nm.size)
    found = evaluate(nm, values, list(PHOTON_BANDS))
    for key, (lo, hi) in PHOTON_BANDS.items():
        expected = brute(nm, values, np.array([]), lo, hi, lambda x: UMOL_PER_JOULE_NM * x)
        assert float(found[key]) == pytest.approx(expected, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("seed", range(3))
def test_illuminance_on_random_uneven_grids(seed: int) -> None:
    random = np.random.default_rng(100 + seed)
    nm = np.concatenate(([341.5], np.sort(random.uniform(341.5, 839, 70)), [839.0]))
    values = random.uniform(-0.05, 1.0, nm.size)
    knots, v = table("photopic").T
    expected = brute(nm, values, knots, 360, 830, lambda x: 683 * np.interp(x, knots, v))
    assert float(evaluate(nm, values, ["illuminance"])["illuminance"]) == pytest.approx(expected, rel=1e-9)


def test_edge_rule_of_a_thin_led_at_a_band_edge() -> None:
    """Computed outside: the photons of a 695 nm LED within 400-700 nm change by 2.6 % with the edge rule; here by hand.

    A triangle 675-695-715 nm of 1 W m-2 nm-1: ∫ to 700 nm = c [∫ rising + ∫ falling], each a cubic.
    """
    nm, values = np.array([380.0, 675, 695, 715, 780]), np.array([0.0, 0, 1, 0, 0])

    def rising(x: float) -> float:
        return (x**3 / 3 - 675 * x**2 / 2) / 20

    def falling(x: float) -> float:
        return (715 * x**2 / 2 - x**3 / 3) / 20

    expected = UMOL_PER_JOULE_NM * (rising(695) - rising(675) + falling(700) - falling(695))
    assert float(evaluate(nm, values, ["ppfd"])["ppfd"]) == pytest.approx(expected, rel=1e-9)
