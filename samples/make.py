"""Write the sample scans: an invented propagation nursery, the same bytes every time.

    python samples/make.py [FOLDER]        FOLDER defaults to the folder of this script

No clock and no network; noise comes from numpy's RandomState, whose stream is frozen. Everything here is invented:
no real lamp, instrument, nursery or person. spectui itself is not imported, so that the files are a second opinion
on what its readers expect.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))
import shapes

UMOL_PER_JOULE_NM = 1e-3 / (6.62607015e-34 * 299792458.0 * 6.02214076e23)
INVENTED = "invented sample: no real lamp, place or person"
VISIBLE = np.arange(380.0, 801.0)
WIDE = np.arange(340.0, 851.0)

# What a careful technician notes with every scan; each lamp below changes what is different there.
CARE = {
    "title": "",
    "unit": "W/m2/nm",
    "taken_at": "2026-03-04T20:10:00+01:00",
    "place": "bench 1",
    "position_m": "0.60, 1.20, 0.75",
    "instrument": "handheld spectroradiometer, cosine head",
    "instrument_serial": "no. 7",
    "calibration": "house lamp 2",
    "calibrated_on": "2025-09-15",
    "calibration_due": "2026-09-15",
    "calibration_uncertainty_percent": "4",
    "wavelength_uncertainty_nm": "0.3",
    "noise_percent": "0.2",
    "integration_ms": "120",
    "temperature_c": "22.5",
    "dark_taken_at": "2026-03-04T20:02:00+01:00",
    "dark_temperature_c": "22.1",
    "dark_integration_ms": "120",
    "fixture": "",
    "fixture_id": "",
    "input_power_w": "",
    "distance_m": "0.40",
    "dim_percent": "100",
    "lit_minutes": "45",
    "hours_run": "",
    "ambient": "dark, screens closed",
    "operator": "late shift",
    "photoperiod_h": "16",
    "notes": INVENTED,
}


def ppfd(nm: np.ndarray, values: np.ndarray) -> float:
    """PPFD [umol m-2 s-1] of values [W m-2 nm-1] on a 1 nm grid, by a plain trapezoid: good enough to scale a lamp."""
    inside = (nm >= 400) & (nm <= 700)
    return float(np.trapezoid((values * nm)[inside], nm[inside]) * UMOL_PER_JOULE_NM)


def measured(nm: np.ndarray, shape: np.ndarray, level: float, seed: int) -> np.ndarray:
    """Scale a shape to a PPFD and add what a reading adds: noise, 0.1 % of each value, and a floor of stray light."""
    values = shape * (level / ppfd(nm, shape))
    noise = np.random.RandomState(seed).standard_normal((2, nm.size))
    values = values * (1 + 1e-3 * noise[0]) + values.max() * (2e-4 + 2e-5 * noise[1])
    return np.clip(values, 0.0, None)


def six(value: float) -> str:
    """Six significant digits: coarser than what differs between two builds of numpy."""
    return f"{value:.6g}"


def rows(nm: np.ndarray, values: np.ndarray) -> list[list[str]]:
    """The lines of a two-column table, as text."""
    return [[f"{a:g}", six(b)] for a, b in zip(nm, values, strict=True)]


def table(meta: dict[str, str], body: list[list[str]], heading: str = "nm,irradiance") -> str:
    """Our own delimited text: metadata lines, a header, the table."""
    head = [f"# {key}: {value}" for key, value in meta.items() if value]
    return "\n".join([*head, heading, *(",".join(row) for row in body)]) + "\n"


def bars() -> dict[str, tuple[dict[str, str], np.ndarray, np.ndarray]]:
    """Three LED bars, each new and aged: NAME -> (metadata, nm, values)."""
    nm = VISIBLE
    old = {"lit_minutes": "12", "temperature_c": "23.9", "taken_at": "2026-03-04T20:24:00+01:00"}
    mixed = 0.42 * shapes.white(nm) + 0.85 * shapes.led(nm, 660, 19)
    worn = 0.40 * shapes.white(nm, 452.2, 0.86, 0.90) + 0.76 * shapes.led(nm, 661.5, 20)
    spectra = {
        "bay-1-white-new": (shapes.white(nm), 238.0, {"fixture_id": "W-01", "hours_run": "96", "input_power_w": "48"}),
        "bay-1-white-old": (
            shapes.white(nm, 452.4, 0.84, 0.91),
            207.0,
            {"fixture_id": "W-19", "hours_run": "21400", "input_power_w": "48.6", **old},
        ),
        "bay-2-red-blue-new": (
            0.42 * shapes.led(nm, 451, 20) + shapes.led(nm, 659.5, 19),
            312.0,
            {"fixture_id": "RB-02", "hours_run": "120", "input_power_w": "52"},
        ),
        "bay-2-red-blue-old": (
            0.46 * shapes.led(nm, 452, 21) + 0.98 * shapes.led(nm, 661.5, 20),
            263.0,
            {"fixture_id": "RB-11", "hours_run": "24900", "input_power_w": "52.4", **old, "distance_m": "0.42"},
        ),
        "bay-3-far-red-new": (
            mixed + 0.52 * shapes.led(nm, 731, 30),
            264.0,
            {"fixture_id": "FR-03", "hours_run": "80", "input_power_w": "61"},
        ),
        "bay-3-far-red-old": (
            worn + 0.41 * shapes.led(nm, 733, 31),
            228.0,
            {"fixture_id": "FR-14", "hours_run": "19800", "input_power_w": "61.8", **old, "dim_percent": "95"},
        ),
    }
    # Titles of 16 characters or fewer stand whole on the shelf.
    titles = {"white": "White bar", "red-blue": "Red-blue", "far-red": "Far red"}
    fixtures = {"white": "white bar", "red-blue": "red-blue bar", "far-red": "white bar with far red"}
    made = {}
    for seed, (name, (shape, level, said)) in enumerate(spectra.items(), 11):
        bay, kind, age = name[4], name[6:-4], "new" if name.endswith("new") else "aged"
        meta = CARE | {
            "title": f"{titles[kind]}, {age}",
            "place": f"bench {bay}",
            "fixture": f"{fixtures[kind]}, 1.2 m",
        }
        if age == "aged":
            meta |= {"dark_taken_at": "2026-03-04T20:16:00+01:00", "position_m": "0.60, 3.60, 0.75"}
        made[name] = (meta | said, nm, measured(nm, shape, level, seed))
    return made


def lamps() -> dict[str, tuple[dict[str, str], np.ndarray, np.ndarray]]:
    """Two discharge lamps and the sun behind glass: NAME -> (metadata, nm, values)."""
    nm = WIDE
    lamp = {"distance_m": "1.10", "lit_minutes": "60", "ambient": "night, dark house"}
    day = {
        "taken_at": "2026-03-05T12:40:00+01:00", "dark_taken_at": "2026-03-05T12:35:00+01:00", "distance_m": "",
        "dim_percent": "", "lit_minutes": "", "fixture": "", "ambient": "clear sky, roof glass, screens open",
        "integration_ms": "20", "dark_integration_ms": "20", "temperature_c": "25.0", "dark_temperature_c": "24.6",
        "photoperiod_h": "11",
    }  # fmt: skip
    said = {
        "sodium": (
            "Sodium lamp",
            412.0,
            lamp | {"fixture": "sodium, 400 W", "fixture_id": "S-4", "input_power_w": "428"},
        ),
        "metal-halide": (
            "Metal halide",
            356.0,
            lamp | {"fixture": "metal halide, 400 W", "fixture_id": "M-2", "input_power_w": "436", "hours_run": "3100"},
        ),
        "daylight-under-glass": ("Daylight, glass", 668.0, day),
    }
    shape = {
        "sodium": shapes.sodium(nm),
        "metal-halide": shapes.metal_halide(nm),
        "daylight-under-glass": shapes.daylight(nm),
    }
    made = {}
    for seed, (name, (title, level, changes)) in enumerate(said.items(), 31):
        made[name] = (CARE | {"title": title, "place": "house 2"} | changes, nm, measured(nm, shape[name], level, seed))
    return made


def main(folder: Path) -> None:
    """Write every sample into `folder`."""
    import special  # it builds on this module

    documents: dict[str, bytes] = {}
    made = bars()
    for name, (meta, nm, values) in made.items():
        documents[f"nursery/bars/{name}.csv"] = table(meta, rows(nm, values)).encode()
    for name, (meta, nm, values) in lamps().items():
        documents[f"nursery/lamps/{name}.csv"] = table(meta, rows(nm, values)).encode()
    documents |= special.flags() | special.formats(*made["bay-1-white-new"]) | special.layout() | special.morning()
    for name, data in documents.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parent)
