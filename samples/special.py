"""The samples that are not plain lamps: one scan for each flag, one lamp in every format, a layout, a morning."""

from __future__ import annotations

import hashlib

import numpy as np
import shapes
from make import CARE, INVENTED, UMOL_PER_JOULE_NM, VISIBLE, measured, ppfd, rows, six, table

FULL_SCALE = 65535
Files = dict[str, bytes]


def flags() -> Files:
    """One scan for each thing that spectui flags; the title says which."""
    nm = VISIBLE
    good = measured(nm, shapes.white(nm), 182.0, 51)
    base = CARE | {"fixture": "white bar 1.2 m", "fixture_id": "W-07", "hours_run": "5200", "input_power_w": "48"}
    body = rows(nm, good)

    def told(name: str, title: str, changes: dict[str, str], table_rows: list[list[str]] | None = None) -> None:
        meta = base | {"title": title} | changes
        out[f"nursery/flags/{name}.csv"] = table(meta, table_rows or body).encode()

    def counts(share: float) -> list[list[str]]:
        response = np.exp(-(((nm - 560) / 190) ** 2))
        raw = good * response
        raw = 180 + raw / raw.max() * (share * FULL_SCALE - 180)
        return [[f"{a:g}", f"{b:.0f}"] for a, b in zip(nm, raw, strict=True)]

    out: Files = {}
    in_counts = {"unit": "counts", "full_scale_counts": str(FULL_SCALE), "calibration": "", "noise_percent": ""}
    told("near-saturation", "Counts near full", in_counts | _exposed(480), counts(0.97))
    told("low-signal", "Counts too low", in_counts | _exposed(15), counts(0.032))
    told("negative", "Negative values", {}, rows(nm, good - 0.03 * good.max() / (1 + np.exp(-(nm - 720) / 8))))
    wide = np.arange(380.0, 801.0, 10.0)
    told("coarse-step", "Steps of 10 nm", {}, rows(wide, np.interp(wide, nm, good)))
    told("unsorted", "Out of order", {}, [*body[210:], *body[:210]])
    told("repeated", "Wavelength twice", {}, [*body[:200], body[199], *body[200:]])
    told("gaps", "Cells left empty", {}, [[a, "" if a in ("547", "548", "549") else b] for a, b in body])
    told("dark-old", "Dark 47 min old", {"dark_taken_at": "2026-03-04T19:23:00+01:00"})
    told("dark-integration", "Dark, other time", {"dark_integration_ms": "60"})
    told("temperature-moved", "Warmer than dark", {"temperature_c": "27.3"})
    told("calibration-due", "Calibration late", {"calibrated_on": "2024-12-01", "calibration_due": "2025-12-01"})
    level = ppfd(nm, np.array([float(value) for _, value in body]))
    told("stated-differs", "Stated differs", {"stated_ppfd": f"{1.018 * level:.1f}"})
    from_280 = np.arange(280.0, 801.0)
    light = measured(from_280, shapes.white(from_280), 182.0, 52)
    stray = 0.004 * light.sum() / 121 * shapes.gauss(from_280, 345, 70)
    told("uv-stray", "UV, maybe stray", _exposed(400), rows(from_280, light + stray))
    told("unit-unsaid", "Relative scan", {"unit": "", "calibration": ""}, rows(nm, good / good.max()))
    facts_left_out = dict.fromkeys(("place", "position_m", "taken_at", "dark_taken_at"), "")
    told("facts-unsaid", "Facts unsaid", facts_left_out)

    # The technician has looked at the empty cells and accepts them: said beside the scan, not in it.
    digest = "sha256:" + hashlib.sha256(out["nursery/flags/gaps.csv"]).hexdigest()
    said = f'digest = "{digest}"\nskip_gaps = true\nnotes = "invented: three cells lost on the way, accepted"\n'
    out["nursery/flags/gaps.csv.spectui.toml"] = said.encode()
    return out


def _exposed(milliseconds: int) -> dict[str, str]:
    return {"integration_ms": str(milliseconds), "dark_integration_ms": str(milliseconds)}


def formats(meta: dict[str, str], nm: np.ndarray, values: np.ndarray) -> Files:
    """The new white bar in every format and unit, each with a title of its own: the same numbers each time."""
    printed = np.array([float(six(value)) for value in values])
    meta = meta | {"notes": f"{INVENTED}; the same scan as bars/bay-1-white-new.csv"}

    def named(word: str) -> dict[str, str]:
        return meta | {"title": f"White, {word}"}

    def body(column: np.ndarray) -> list[list[str]]:
        return [[f"{a:g}", f"{b:.10g}"] for a, b in zip(nm, column, strict=True)]

    def in_unit(word: str, unit: str, column: np.ndarray) -> str:
        return table(named(word) | {"unit": unit}, body(column))

    def delimited(word: str, mark: str, between: str, *lines: str) -> str:
        head = (f"{mark}{key}{between}{value}" for key, value in named(word).items())
        return "\n".join([*head, *lines]) + "\n"

    same = body(printed)
    comma = [";".join(row).replace(".", ",") for row in same]
    texts = {
        "comma.csv": in_unit("commas", "W/m2/nm", printed),
        "jcamp.jdx": jcamp(named("JCAMP-DX"), nm, printed),
        "microwatt-per-cm2.csv": in_unit("uW/cm2", "uW/cm2/nm", printed * 1e2),
        "milliwatt.csv": in_unit("mW/m2", "mW/m2/nm", printed * 1e3),
        "per-micrometre.csv": in_unit("per um", "W/m2/um", printed * 1e3),
        "photon-unit.csv": in_unit("photons", "umol/m2/s/nm", printed * nm * UMOL_PER_JOULE_NM),
        "semicolon-decimal-comma.csv": delimited("semicolon", "", ";", "nm;irradiance", *comma),
        "spaces.txt": delimited("spaces", "# ", ": ", *(f"{a:>6} {b:>12}" for a, b in same)),
        "tab.tsv": delimited("tabs", "# ", ": ", "nm\tirradiance", *("\t".join(row) for row in same)),
        "tm-27.spdx": tm27(named("TM-27"), nm, printed),
        "unit-in-header.csv": table(named("in header") | {"unit": ""}, same, "wavelength [nm],irradiance [W m⁻² nm⁻¹]"),
    }
    return {f"nursery/formats/{name}": text.encode() for name, text in texts.items()}


def tm27(meta: dict[str, str], nm: np.ndarray, values: np.ndarray) -> str:
    """IES TM-27 XML; what its header has no place for stands in its comments, as spectui writes it."""
    elsewhere = ("title", "unit", "instrument", "fixture", "fixture_id", "notes")
    rest = [f"{key}: {value}" for key, value in meta.items() if key not in elsewhere]
    header = {
        "CatalogNumber": meta["fixture"],
        "Description": meta["title"],
        "DocumentCreator": "spectui",
        "UniqueIdentifier": meta["fixture_id"],
        "MeasurementEquipment": meta["instrument"],
        "DocumentCreationDate": meta["taken_at"],
        "Comments": "\n".join([meta["notes"], "--- metadata ---", *rest]),
    }
    lines = ['<?xml version="1.0" encoding="utf-8"?>', '<IESTM2714 xmlns="http://www.ies.org/iestm2714" version="1.0">']
    lines += ["  <Header>", *(f"    <{key}>{value}</{key}>" for key, value in header.items()), "  </Header>"]
    lines += ["  <SpectralDistribution>", "    <SpectralQuantity>irradiance</SpectralQuantity>"]
    lines += [
        f'    <SpectralData wavelength="{a:.1f}">{six(b)}</SpectralData>' for a, b in zip(nm, values, strict=True)
    ]
    return "\n".join([*lines, "  </SpectralDistribution>", "</IESTM2714>"]) + "\n"


def jcamp(meta: dict[str, str], nm: np.ndarray, values: np.ndarray) -> str:
    """JCAMP-DX 4.24, ordinates as plain integers of 1e-9; our own keys as user labels."""
    whole = [round(float(value) * 1e9) for value in values]
    lines = [
        f"##TITLE={meta['title']}",
        "##JCAMP-DX=4.24",
        "##DATA TYPE=EMISSION SPECTRUM",
        "##ORIGIN=samples/make.py",
        "##OWNER=nobody: an invented sample",
        *(f"##${key}={value}" for key, value in meta.items() if key not in ("title", "unit")),
        "##XUNITS=NANOMETERS",
        "##YUNITS=W/m2/nm",
        "##XFACTOR=1",
        "##YFACTOR=1E-9",
        f"##FIRSTX={nm[0]:g}",
        f"##LASTX={nm[-1]:g}",
        f"##NPOINTS={nm.size}",
        f"##FIRSTY={whole[0] * 1e-9:.9g}",
        "##XYDATA=(X++(Y..Y))",
    ]
    for at in range(0, nm.size, 6):
        lines.append(" ".join([f"{nm[at]:g}", *(str(y) for y in whole[at : at + 6])]))
    return "\n".join([*lines, "##END="]) + "\n"


def layout() -> Files:
    """Two bars in one file as some logger might leave it: only a layout can tell what is what."""
    nm = np.arange(380.0, 801.0, 2.0)
    pair = (
        ("north shelf", "04.03.2026 21:05", measured(nm, shapes.white(nm), 96.0, 61)),
        ("south shelf", "04.03.2026 21:09", measured(nm, shapes.white(nm, 452.0, 0.9, 0.9), 91.0, 62)),
    )
    lines = ["bench log, invented", "values in milliwatt per square metre and nanometre", ""]
    for name, when, values in pair:
        lines += [f"lamp;{name}", f"read;{when}"]
        lines.append(";".join(["lambda", *(f"{a:g}" for a in nm)]))
        lines.append(";".join(["value", *(six(b * 1e3).replace(".", ",") for b in values)]))
        lines.append("")
    return {
        "nursery/layout/two-shelves.txt": "\n".join(lines).encode(),
        "nursery/layout/spectui-layout.toml": LAYOUT.encode(),
    }


LAYOUT = """\
# How two-shelves.txt is laid out. spectui remembers it for this folder; `spectui layout FILE` proposes one.
match = ["two-shelves.txt"]
delimiter = ";"
decimal = ","
orientation = "row"
blocks = "stacked"
first_line = 6
labels = 1
unit = "mW/m2/nm"
date = "%d.%m.%Y %H:%M"
offset = "+01:00"

[keys]
lamp = "title"
read = "taken_at"

[meta]
place = "cutting shelves"
distance_m = "0.35"
dark_taken_at = "2026-03-04T20:58:00+01:00"
notes = "invented sample: no real lamp, place or person"
"""


def _clock(minutes: int) -> str:
    return f"2026-03-05T{minutes // 60:02d}:{minutes % 60:02d}:00+01:00"


def morning() -> Files:
    """A morning under glass, a reading each half hour; one is missing and says why."""
    nm = np.arange(380.0, 801.0, 5.0)
    shape = shapes.daylight(nm)
    lines = [
        "# title: Morning",
        "# unit: W/m2/nm",
        "# place: house 2",
        f"# instrument: {CARE['instrument']}",
        f"# notes: {INVENTED}",
        ",".join(["time", "integration_ms", "temperature_c", "dark_taken_at", *(f"{a:g}" for a in nm)]),
    ]
    for step in range(13):
        time, dark = _clock(360 + 30 * step), _clock(360 + 30 * step - 4)
        if step == 6:
            lines.append(f"# gap: {time} head covered by a leaf")
            continue
        height = np.sin(np.pi * (step + 0.6) / 25.2)
        level = 690.0 * height**1.3 * (0.55 if step in (8, 9) else 1.0)
        values = shape * level / ppfd(np.arange(380.0, 801.0), np.interp(np.arange(380.0, 801.0), nm, shape))
        values = values * (1 + 2e-3 * np.random.RandomState(70 + step).standard_normal(nm.size))
        warm = f"{15.5 + 0.7 * step:.1f}"
        lines.append(",".join([time, "40", warm, dark, *(six(value) for value in values)]))
    return {"nursery/morning/morning-under-glass.csv": ("\n".join(lines) + "\n").encode()}
