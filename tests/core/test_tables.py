"""The shipped tables: what they hold, their totals, and that the build script still writes them."""

from __future__ import annotations

import re
import warnings
from pathlib import Path

import numpy as np
import pytest

import spectui.core.tables as tables
from spectui.core.tables import table

FOLDER = Path(tables.__file__).parent
NAMES = sorted(path.stem for path in FOLDER.glob("*.csv"))

# The packages that the tables come from are not needed to run spectui: without them these tests say so and are skipped.
warnings.filterwarnings("ignore", message=".*related API features.*")


def header(name: str) -> dict[str, str]:
    lines = (FOLDER / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    return dict(line.removeprefix("# ").split(": ", 1) for line in lines if line.startswith("#"))


def test_the_tables_that_the_core_asks_for_are_shipped() -> None:
    assert set(NAMES) == {"am15g", "photopic", "cie1931", "cie1964", "tcs", "ces", "daylight", "melanopic"}


@pytest.mark.parametrize("name", NAMES)
def test_shipped_file_is_what_the_build_script_writes(name: str) -> None:
    pytest.importorskip("colour")
    pytest.importorskip("pvlib")
    if name == "melanopic":
        from importlib.util import find_spec

        if find_spec("luxpy") is None:
            pytest.skip("luxpy, whose data file it is, is not installed")
    from spectui.core.tables.build import TABLES

    assert name in TABLES, f"{name}.csv has no builder in build.py"
    assert (FOLDER / f"{name}.csv").read_bytes() == TABLES[name]().encode("utf-8")


@pytest.mark.parametrize("name", NAMES)
def test_every_number_of_the_file_arrives(name: str) -> None:
    """By hand: Python's own float on every field, against the one-pass reader."""
    lines = [x for x in (FOLDER / f"{name}.csv").read_text(encoding="utf-8").splitlines() if not x.startswith("#")]
    expected = np.array([[float(field) for field in line.split(",")] for line in lines[1:]])
    assert lines[0].split(",")[0] == "wavelength_nm"
    assert np.array_equal(table(name), expected)


@pytest.mark.parametrize("name", NAMES)
def test_header_names_source_step_unit_and_total(name: str) -> None:
    assert all(header(name).get(key, "").strip() for key in ("source", "step", "unit", "total"))


@pytest.mark.parametrize("name", NAMES)
def test_columns_are_read_only_finite_and_in_order_of_wavelength(name: str) -> None:
    values = table(name)
    assert values.dtype == np.float64
    assert np.isfinite(values).all()
    assert (np.diff(values[:, 0]) > 0).all()
    assert table(name) is values
    with pytest.raises(ValueError, match="read-only"):
        values[0, 1] = 1.0


@pytest.mark.parametrize("name", ["", "nothing", "../tables/am15g", "am15g.csv"])
def test_unknown_table_names_the_known_ones(name: str) -> None:
    with pytest.raises(KeyError, match="am15g, ces, cie1931"):
        table(name)


def test_am15g_total_is_that_of_the_standard() -> None:
    """Published: ASTM G173-03 global tilt integrates to 1000.37 W m-2 (pvlib's documentation of its table)."""
    values = table("am15g")
    assert values.shape == (2002, 2)
    assert (values[0, 0], values[-1, 0]) == (280.0, 4000.0)
    total = float(np.trapezoid(values[:, 1], values[:, 0]))
    assert total == pytest.approx(1000.37, abs=0.005)
    assert header("am15g")["total"].startswith(f"{total:.3f} ")


@pytest.mark.parametrize(
    ("nm", "expected", "half_a_digit"),
    # Published: ASTM G173-03 global tilt as printed in pvlib's documentation of get_reference_spectra.
    [
        (280.0, 4.7309e-23, 5e-28),
        (300.0, 1.02e-3, 5e-7),
        (500.0, 1.5451, 5e-5),
        (800.0, 1.0725, 5e-5),
        (1100.0, 0.48577, 5e-6),
    ],
)
def test_am15g_rows(nm: float, expected: float, half_a_digit: float) -> None:
    values = table("am15g")
    assert values[values[:, 0] == nm, 1] == pytest.approx([expected], rel=1e-9, abs=half_a_digit)


def test_photopic_and_observer_totals_and_peaks() -> None:
    """Published: CIE 1931 sums at 1 nm 106.8655, 106.8569, 106.8923 (from memory); V and ybar are 1 at 555 nm."""
    photopic, observer = table("photopic"), table("cie1931")
    assert photopic.shape == (471, 2)
    assert observer.shape == (471, 4)
    assert photopic[photopic[:, 0] == 555.0, 1] == pytest.approx([1.0], abs=1e-12)
    for name, columns in (("photopic", photopic[:, 1:]), ("cie1931", observer[:, 1:])):
        printed = [float(text) for text in re.findall(r"\d+\.\d{4}", header(name)["total"])]
        assert columns.sum(axis=0) == pytest.approx(printed, abs=5e-5)
    assert observer[:, 1:].sum(axis=0) == pytest.approx([106.8655, 106.8569, 106.8923], abs=5e-5)
    assert np.abs(photopic[:, 1] - observer[:, 2]).max() < 1e-12
