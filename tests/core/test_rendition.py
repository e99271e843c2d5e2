"""Ra, R1-R14, Rf, Rg and hue bins against the outside; the reference lights; what has no rendition."""

from __future__ import annotations

import json

import numpy as np
import pytest

from spectui.core import cri, fidelity, references
from spectui.core.colour import C2, UNLIT, Colour
from spectui.core.fidelity import Fidelity
from spectui.core.metrics import evaluate, metrics
from spectui.core.rendition import KEYS, rendition
from spectui.core.scan import Scan
from spectui.core.tables import table
from spectui.core.units import IRRADIANCE
from spectui.core.weights import matrix
from tests.core.lamps import GRID, WHITE, WHITE_NM, colour, lamps, own_steps, peak

# Computed with colour-science 0.4.7, colour_rendering_index of the 5 nm tables, which it makes linear at 1 nm; printed
# values of CIE 13.3 are 76, 64, 57, 51, 72, 59 for FL1-FL6 (from memory).
RA = {"FL1": 75.85, "FL2": 64.23, "FL3": 56.79, "FL4": 51.48, "FL5": 71.71, "FL6": 59.11}
RA |= {"LED-B1": 81.79, "LED-B2": 82.79, "LED-B3": 84.84}
PRINTED_RA = dict(zip(("FL1", "FL2", "FL3", "FL4", "FL5", "FL6"), (76, 64, 57, 51, 72, 59), strict=True))
# Computed on the 5 nm tables; for LED-B1 a third-party implementation prints Rf 84.081.
RF_RG = {
    "FL1": (80.64, 89.83),
    "FL2": (70.12, 86.42),
    "FL3": (63.08, 84.38),
    "FL4": (56.70, 83.49),
    "LED-B1": (84.08, 96.15),
    "LED-B2": (84.30, 96.58),
    "LED-B3": (85.32, 97.86),
}
PARTS = {"rf": "R_fs", "rcs": "R_cs", "rhs": "R_hs"}


@pytest.fixture(scope="module")
def found() -> dict[str, np.ndarray]:
    return evaluate(GRID, np.array(list(lamps().values())), KEYS, rule="sum")


@pytest.fixture(scope="module")
def theirs() -> dict[str, object]:
    """Name → colour-science's TM-30 results of each lamp on the same 1 nm grid."""
    method = "ANSI/IES TM-30-18"
    return {
        name: colour.colour_fidelity_index(
            colour.SpectralDistribution(values, GRID), additional_data=True, method=method
        )
        for name, values in lamps().items()
    }


@pytest.mark.parametrize("name", RA)
def test_ra_of_cie_lamps(name: str) -> None:
    ra = float(evaluate(GRID, lamps()[name], ["ra"], rule="sum")["ra"])
    assert float(evaluate(*own_steps(name), ["ra"])["ra"]) == pytest.approx(ra, abs=0.02)  # the exact rule, as it comes
    assert ra == pytest.approx(RA[name], abs=0.02)
    assert name not in PRINTED_RA or round(ra) == PRINTED_RA[name]


@pytest.mark.parametrize("name", RF_RG)
def test_rf_and_rg_on_the_5_nm_tables(name: str) -> None:
    at = evaluate(*own_steps(name), ["rf", "rg"], rule="sum")
    assert (float(at["rf"]), float(at["rg"])) == pytest.approx(RF_RG[name], abs=0.01)


def test_the_grid_belongs_beside_the_value() -> None:
    """Trap: HP1 has Rf 34.19 on its 5 nm table and 34.49 on linear 1 nm samples."""
    assert float(evaluate(*own_steps("HP1"), ["rf"], rule="sum")["rf"]) == pytest.approx(34.19, abs=0.01)
    assert float(evaluate(GRID, lamps()["HP1"], ["rf"], rule="sum")["rf"]) == pytest.approx(34.49, abs=0.01)


def test_every_lamp_against_colour_fidelity_index(found: dict[str, np.ndarray], theirs: dict[str, object]) -> None:
    """colour-science, ANSI/IES TM-30-18: Rf, Rg 2e-3; local values 5e-3: 0.06 K of CCT move those of a sodium lamp."""
    checked = 0
    for k, (name, other) in enumerate(theirs.items()):
        if np.isnan(found["rf"][k]):
            assert abs(other.D_uv) > 0.05, name  # type: ignore[attr-defined]
            continue
        checked += 1
        assert found["rf"][k] == pytest.approx(other.R_f, abs=2e-3), name  # type: ignore[attr-defined]
        assert found["rg"][k] == pytest.approx(other.R_g, abs=2e-3), name  # type: ignore[attr-defined]
        for word, field in PARTS.items():
            ours = [found[f"{word}_h{j}"][k] for j in range(1, 17)]
            assert ours == pytest.approx(getattr(other, field), abs=5e-3 if word != "rhs" else 1e-4, nan_ok=True), name
    assert checked > 110


def given_temperature(values: np.ndarray, cct: float) -> Fidelity:
    """TM-30 with a reference of a CCT that is given, so that only the colour appearance is compared."""
    seen = values[np.newaxis] @ matrix(GRID, (fidelity.evaluation_samples(),), rule="sum")
    nothing = np.zeros(1)
    light = Colour(nothing, *[nothing] * 4, np.array([cct]), *[nothing] * 3, np.zeros(1, dtype=np.int8))
    return fidelity._fidelity(seen, light, np.array([True]))


def test_every_lamp_with_the_same_reference(theirs: dict[str, object]) -> None:
    """As before, on colour-science's own CCT: what is left is rounding."""
    for name, values in lamps().items():
        other = theirs[name]
        ours = given_temperature(values, float(other.CCT))  # type: ignore[attr-defined]
        assert ours.rf[0] == pytest.approx(other.R_f, abs=1.5e-4), name  # type: ignore[attr-defined]
        assert ours.rg[0] == pytest.approx(other.R_g, abs=2e-5), name  # type: ignore[attr-defined]
        for field, part in (("local", "R_fs"), ("chroma", "R_cs"), ("hue", "R_hs")):
            assert getattr(ours, field)[0] == pytest.approx(getattr(other, part), abs=1.5e-4, nan_ok=True), (name, part)


def test_every_lamp_against_colour_rendering_index(found: dict[str, np.ndarray]) -> None:
    """colour-science, CIE 1995: Ra 0.02 (each R 0.1) above 1 700 K; its CCT stops at 1 666.7 K, no oracle below."""
    checked = 0
    for k, (name, values) in enumerate(lamps().items()):
        if not found["cct"][k] > 1700.0:
            continue
        checked += 1
        other = colour.colour_rendering_index(colour.SpectralDistribution(values, GRID), additional_data=True)
        assert found["ra"][k] == pytest.approx(other.Q_a, abs=0.02), name
        for j in range(1, 15):
            assert found[f"r{j}"][k] == pytest.approx(other.Q_as[j].Q_a, abs=0.1), (name, j)
    assert checked > 105


def test_reference_lights_render_like_themselves() -> None:
    """By hand: Planck's law (CIE 13.3 to 5000 K, TM-30 to 4000 K) has Ra, Rf and Rg 100 and no shifts."""
    kelvin = np.array([1300.0, 1900.0, 2856.0, 3999.0])
    nm = np.arange(360.0, 831.0)
    values = (nm * 1e-9) ** -5.0 / np.expm1(C2 / (nm * 1e-9 * kelvin[:, np.newaxis]))
    at = evaluate(nm, values, KEYS, rule="sum")
    for key in ("ra", "r9", "r14", "rf", "rg", "rf_h1", "rf_h16"):
        assert at[key] == pytest.approx(np.full(4, 100.0), abs=0.02), key
    for k in range(1, 17):
        assert at[f"rcs_h{k}"] == pytest.approx(np.zeros(4), abs=0.01)
        assert at[f"rhs_h{k}"] == pytest.approx(np.zeros(4), abs=1e-4)


def planck(nm: np.ndarray, kelvin: float) -> np.ndarray:
    return np.asarray((nm * 1e-9) ** -5.0 / np.expm1(C2 / (nm * 1e-9 * kelvin)))


@pytest.mark.parametrize("kelvin", [1000.0, 1234.5, 2000.0, 2856.0, 4999.0, 9000.0, 25000.0])
def test_polynomials_of_planck_against_direct_sums(kelvin: float) -> None:
    """By hand: the sum of Planck's law times each sample times each colour-matching function, at 1 nm."""
    for weight, what in (
        (fidelity.evaluation_samples(), fidelity._reference_samples()),
        (cri.colours(), cri._reference_colours()),
    ):
        sums = planck(weight.wavelength, kelvin) @ weight.weight
        by = sums[3 * ((len(sums) - 3) // 3) + 1]
        if what.by == len(sums):  # scaled by the 2° luminance
            rows = table("cie1931")
            luminance = rows[np.searchsorted(rows[:, 0], weight.wavelength), 2]
            by = planck(weight.wavelength, kelvin) @ luminance
        fitted = references.under_planck(what, np.array([kelvin]))[0, : len(sums)]
        assert fitted == pytest.approx(sums / by, rel=1e-8, abs=1e-9)  # the light itself has Y = 1


@pytest.mark.parametrize("kelvin", [4000.0, 5001.0, 6504.0, 7000.0, 7001.0, 12000.0, 25000.0])
def test_daylight_against_the_spectrum_of_colour_science(kelvin: float) -> None:
    """colour-science's sd_CIE_illuminant_D_series (M1, M2 rounded), reshaped as the shipped components are."""
    weight, what = cri.colours(), cri._reference_colours()
    xy = colour.temperature.CCT_to_xy_CIE_D(kelvin)
    sd = colour.sd_CIE_illuminant_D_series(xy, M1_M2_rounding=True, shape=colour.SpectralShape(360, 780, 1))
    sums = sd.values @ weight.weight
    ours = references.under_daylight(what, np.array([kelvin]))[0]
    assert ours == pytest.approx(sums / sums[what.by], rel=2e-6)


def test_planck_and_daylight_meet_in_the_middle() -> None:
    """By hand: at 4500 K the TM-30 reference is half of each, at equal luminance; at 4000 and 5000 K one of them."""
    values = np.interp(GRID, WHITE_NM, WHITE)
    for below, above in ((3999.999, 4000.001), (4999.999, 5000.001)):
        a, b = given_temperature(values, below), given_temperature(values, above)
        assert a.rf[0] == pytest.approx(b.rf[0], abs=1e-3)
        assert a.rg[0] == pytest.approx(b.rg[0], abs=1e-3)


def test_ends_are_held_for_cie_13_3_alone() -> None:
    """Trap: a scan of 380-780 nm is continued to 360 nm with its end value for R1-R14, and for nothing else."""
    short, long = np.arange(380.0, 781.0), np.arange(360.0, 781.0)
    values = np.interp(short, WHITE_NM, WHITE)
    held = np.concatenate((np.full(20, values[0]), values))
    bare = np.concatenate((np.zeros(20), values))
    r = [f"r{k}" for k in range(1, 15)]
    a, b, c = (
        evaluate(nm, v, [*r, "rf", "cct"], rule="sum") for nm, v in ((short, values), (long, held), (long, bare))
    )
    # The temperature does see the light below 380 nm: a constant one, and only R's own sums are compared.
    seen = [v @ matrix(nm, (cri.colours(),), rule="sum") for nm, v in ((short, values), (long, held), (long, bare))]
    assert seen[0] == pytest.approx(seen[1], rel=1e-12)
    assert np.abs(seen[0] - seen[2]).max() > 5e-6 * seen[0].max()
    assert float(a["rf"]) == pytest.approx(float(c["rf"]), abs=1e-9)
    assert float(a["cct"]) == pytest.approx(float(c["cct"]), abs=1e-6)
    assert float(b["cct"]) != pytest.approx(float(a["cct"]), abs=1e-3)
    for rule in ("exact", "sum"):
        x, y = (v @ matrix(nm, (cri.colours(),), rule=rule) for nm, v in ((short, values), (long, held)))
        assert x == pytest.approx(y, rel=1e-12)


def test_a_negative_baseline_is_told_and_not_computed() -> None:
    """Trap: a baseline below zero gave CRI -500 and worse (-4100 here) without an error."""
    scan = Scan.build(GRID, lamps()["PHOS-2"] / lamps()["PHOS-2"].max() - 0.16, IRRADIANCE)
    result = metrics(scan, [*KEYS, "x", "ppfd"])[0]
    assert result["cct"].value is not None and result["x"].value is not None and result["ppfd"].value is not None
    for key in KEYS:
        assert result[key].unavailable == UNLIT or key in ("cct", "duv")


def test_no_baseline_of_any_lamp_gives_an_absurd_index() -> None:
    """By hand: Rg is an area above zero, and no lamp has an Ra below that of low-pressure sodium (-46)."""
    stack = np.array([v / v.max() - b for v in lamps().values() for b in np.linspace(0, 0.4, 21)])
    at = evaluate(GRID, stack, ["ra", "r9", "rf", "rg", "rf_h1", "rcs_h1"])
    assert np.isfinite(at["ra"]).sum() > 900 and np.isnan(at["ra"]).sum() > 900
    assert np.nanmin(at["ra"]) > -50 and np.nanmin(at["r9"]) > -700
    assert np.nanmin(at["rg"]) > -1e-9 and np.nanmax(at["rg"]) < 200
    assert np.nanmin(at["rf"]) >= 0 and np.nanmax(at["rf"]) <= 100.001
    assert not any(np.isinf(column).any() for column in at.values())


def test_a_dark_scan_after_a_fault_of_one_sample() -> None:
    """Trap: one NaN sample gave a number elsewhere."""
    values = np.interp(GRID, WHITE_NM, WHITE)
    values[100] = np.nan
    assert all(np.isnan(x) for x in evaluate(GRID, values, KEYS).values())


def test_a_hue_bin_without_samples_is_not_available() -> None:
    """Trap: under the coolest reference lights a bin is empty: it has no local values, and there is no Rg; Rf stays."""
    kelvin = np.geomspace(1001.0, 25000.0, 400)
    reference = references.under_planck(fidelity._reference_samples(), kelvin)
    counts = _counts(reference)
    row = int(np.flatnonzero((counts == 0).any(axis=1))[0])
    nm = np.arange(360.0, 831.0)
    scan = Scan.build(nm, 1e-12 * planck(nm, float(kelvin[row])) / planck(nm, float(kelvin[row])).max(), IRRADIANCE)
    found = metrics(scan, KEYS)[0]
    empty = int(np.flatnonzero(counts[row] == 0)[0]) + 1
    for word in PARTS:
        assert found[f"{word}_h{empty}"].unavailable == "no sample in a hue bin"
    assert found["rg"].unavailable == "no sample in a hue bin"
    assert found["rf"].value is not None


def _counts(reference: np.ndarray) -> np.ndarray:
    _, a, b = fidelity.uniform(reference, fidelity.SAMPLES)
    bins = fidelity._bin(a, b)
    return np.array([np.bincount(row, minlength=16) for row in bins])


def test_bins_by_angle() -> None:
    """By hand: bin k holds hue angles of 22.5 (k - 1) to 22.5 k degrees, by the arc tangent."""
    random = np.random.default_rng(4)
    a, b = random.normal(size=(2, 5000))
    expected = np.floor(np.degrees(np.arctan2(b, a)) % 360.0 / 22.5).astype(int)
    assert (fidelity._bin(a, b) == expected).all()
    edge = np.radians(np.arange(16) * 22.5 + 1e-9)
    assert (fidelity._bin(np.cos(edge), np.sin(edge)) == np.arange(16)).all()


def test_result_is_the_contracts_object() -> None:
    scans = [
        Scan.build(WHITE_NM, WHITE, IRRADIANCE, source="a.csv"),
        Scan.build(GRID, peak(GRID, 730.0, 15.0), IRRADIANCE, source="b.csv"),
    ]
    white, dark = rendition(scans)
    told = white.as_dict()
    assert list(told) == ["source", "cct", "duv", "ra", "r", "rf", "rg", "hue_bins", "unavailable"]
    assert (told["source"], told["unavailable"], len(told["r"]), len(told["hue_bins"])) == ("a.csv", None, 14, 16)
    assert [b["bin"] for b in told["hue_bins"]] == list(range(1, 17))
    assert set(told["hue_bins"][0]) == {"bin", "local_fidelity", "chroma_shift_percent", "hue_shift"}
    alone = metrics(scans[0])[0]
    assert told["ra"] == white.ra == pytest.approx(alone["ra"].value, rel=1e-9)
    assert told["r"] == list(white.r) == pytest.approx([alone[f"r{k}"].value for k in range(1, 15)], rel=1e-9)
    assert white.hue_bins[4].chroma_shift_percent == pytest.approx(alone["rcs_h5"].value, rel=1e-9)
    assert (white.cct, white.duv, white.rf, white.rg) == tuple(told[k] for k in ("cct", "duv", "rf", "rg"))
    assert dark.as_dict()["r"] == [None] * 14 and dark.ra is None
    assert "too little visible light" in str(dark.unavailable)
    json.dumps([white.as_dict(), dark.as_dict()], allow_nan=False)
    with pytest.raises(AttributeError):
        white.result = dark.result  # type: ignore[misc]
    assert [r.as_dict() for r in rendition(scans[0])] == [told]
    assert rendition([]) == []
