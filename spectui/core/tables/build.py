"""Writes the shipped tables from the packages that carry them: `python -m spectui.core.tables.build`.

Needs colour-science 0.4.7 and pvlib, which spectui itself does not need. A test rebuilds every table and compares it
with the shipped file, character by character.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any


def _document(header: dict[str, str], columns: Sequence[str], rows: Any) -> str:
    """Lay out one table: `# key: value` lines, the column names, then each number in its shortest exact form."""
    lines = [f"# {key}: {value}" for key, value in header.items()]
    lines.append(",".join(columns))
    lines += [",".join(_exact(float(value)) for value in row) for row in rows]
    return "\n".join(lines) + "\n"


def _exact(value: float) -> str:
    """Return the shortest text that reads back as `value`, without a needless decimal point."""
    return repr(value).removesuffix(".0")


def am15g() -> str:
    """Build the ASTM G173-03 global tilt spectrum at the 2002 wavelengths of the standard."""
    import numpy as np
    from pvlib.spectrum import get_reference_spectra  # type: ignore[import-untyped]

    spectra = get_reference_spectra(standard="ASTM G173-03")
    nm, irradiance = spectra.index.to_numpy(dtype=float), spectra["global"].to_numpy(dtype=float)
    header = {
        "source": "ASTM G173-03, hemispherical on a 37 degree tilted surface, as carried by pvlib "
        '(pvlib.spectrum.get_reference_spectra, column "global")',
        "step": "0.5 nm in 280-400 nm, 1 nm in 400-1700 nm (then 1702 and 1705), 5 nm in 1705-4000 nm",
        "unit": "W m-2 nm-1",
        "total": f"{np.trapezoid(irradiance, nm):.3f} W m-2 (trapezoid over all rows; pvlib states about 1000.37)",
    }
    return _document(header, ("wavelength_nm", "irradiance"), zip(nm, irradiance, strict=True))


def photopic() -> str:
    """Build V(λ) of 1924 at 1 nm."""
    import colour

    efficiency = colour.SDS_LEFS["CIE 1924 Photopic Standard Observer"]
    header = {
        "source": "CIE 1924 photopic luminous efficiency V(lambda) (ISO/CIE 11664, CIE 018), as carried by "
        'colour-science 0.4.7 (SDS_LEFS["CIE 1924 Photopic Standard Observer"])',
        "step": "1 nm",
        "unit": "1",
        "total": f"{efficiency.values.sum():.4f} (plain sum)",
    }
    return _document(header, ("wavelength_nm", "v"), zip(efficiency.wavelengths, efficiency.values, strict=True))


def cie1931() -> str:
    """Build the colour-matching functions of the CIE 1931 2° observer at 1 nm."""
    import colour

    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    sums = ", ".join(f"{total:.4f}" for total in observer.values.sum(axis=0))
    header = {
        "source": "CIE 1931 2 degree standard observer (ISO/CIE 11664-1), as carried by colour-science 0.4.7 "
        '(MSDS_CMFS["CIE 1931 2 Degree Standard Observer"])',
        "step": "1 nm",
        "unit": "1",
        "total": f"{sums} (plain sums of xbar, ybar, zbar)",
    }
    rows = ((nm, *row) for nm, row in zip(observer.wavelengths, observer.values, strict=True))
    return _document(header, ("wavelength_nm", "xbar", "ybar", "zbar"), rows)


def cie1964() -> str:
    """Build the colour-matching functions of the CIE 1964 10° observer at 1 nm."""
    import colour

    observer = colour.MSDS_CMFS["CIE 1964 10 Degree Standard Observer"]
    sums = ", ".join(f"{total:.4f}" for total in observer.values.sum(axis=0))
    header = {
        "source": "CIE 1964 10 degree standard observer (ISO/CIE 11664-1), as carried by colour-science 0.4.7 "
        '(MSDS_CMFS["CIE 1964 10 Degree Standard Observer"])',
        "step": "1 nm",
        "unit": "1",
        "total": f"{sums} (plain sums of x10, y10, z10)",
    }
    rows = ((nm, *row) for nm, row in zip(observer.wavelengths, observer.values, strict=True))
    return _document(header, ("wavelength_nm", "x10", "y10", "z10"), rows)


def tcs() -> str:
    """Build the 14 test colour samples of CIE 13.3 at 1 nm."""
    import colour

    shape = colour.SpectralShape(360, 780, 1)
    samples = [
        colour.colorimetry.reshape_sd(sd, shape) for sd in list(colour.quality.SDS_TCS["CIE 1995"].values())[:14]
    ]
    header = {
        "source": "CIE 13.3-1995 test colour samples 1-14, as colour-science 0.4.7 reshapes its 5 nm table to 1 nm "
        '(quality.SDS_TCS["CIE 1995"], reshape_sd)',
        "step": "1 nm",
        "unit": "1 (spectral radiance factor)",
        "total": f"{sum(float(sd.values.sum()) for sd in samples):.4f} (plain sum of all)",
    }
    rows = ((nm, *(round(float(sd.values[k]), 7) for sd in samples)) for k, nm in enumerate(shape.wavelengths))
    return _document(header, ("wavelength_nm", *(f"tcs{k}" for k in range(1, 15))), rows)


def ces() -> str:
    """Build the 99 colour evaluation samples of ANSI/IES TM-30 and CIE 224 at 1 nm."""
    import colour
    from colour.quality.cfi2017 import load_TCS_CIE2017

    samples = load_TCS_CIE2017(colour.SpectralShape(380, 780, 1))
    header = {
        "source": "CIE 224:2017 and ANSI/IES TM-30 colour evaluation samples 1-99, as carried by colour-science 0.4.7 "
        "(quality.cfi2017.load_TCS_CIE2017, 1 nm)",
        "step": "1 nm",
        "unit": "1 (spectral reflectance)",
        "total": f"{float(samples.values.sum()):.3f} (plain sum of all)",
    }
    rows = ((nm, *row) for nm, row in zip(samples.wavelengths, samples.values, strict=True))
    return _document(header, ("wavelength_nm", *(f"ces{k}" for k in range(1, 100))), rows)


def daylight() -> str:
    """Build the three components of CIE daylight at 1 nm."""
    import colour

    shape = colour.SpectralShape(360, 780, 1)
    parts = colour.colorimetry.SDS_BASIS_FUNCTIONS_CIE_ILLUMINANT_D_SERIES
    columns = [colour.colorimetry.reshape_sd(parts[name], shape).values for name in ("S0", "S1", "S2")]
    header = {
        "source": "CIE 15 components S0, S1, S2 of the daylight illuminants, as colour-science 0.4.7 reshapes its "
        "table to 1 nm (SDS_BASIS_FUNCTIONS_CIE_ILLUMINANT_D_SERIES, reshape_sd)",
        "step": "1 nm",
        "unit": "relative",
        "total": ", ".join(f"{float(c.sum()):.3f}" for c in columns) + " (plain sums)",
    }
    rows = ((nm, *(round(float(c[k]), 7) for c in columns)) for k, nm in enumerate(shape.wavelengths))
    return _document(header, ("wavelength_nm", "s0", "s1", "s2"), rows)


def melanopic() -> str:
    """Build the melanopic action spectrum of CIE S 026 at 1 nm; luxpy is only looked into, not imported."""
    from importlib.util import find_spec

    found = find_spec("luxpy")
    if found is None or not found.submodule_search_locations:
        raise ModuleNotFoundError("luxpy is needed for its data file: pip install --no-deps luxpy")
    folder = Path(found.submodule_search_locations[0]) / "toolboxes" / "photbiochem" / "data"
    lines = (folder / "S026_Table2_Data_downloaded_04062025.csv").read_text(encoding="utf-8-sig").splitlines()
    rows = [(float(cells[0]), float(cells[5])) for cells in (line.split(",") for line in lines[1:]) if cells[0]]
    header = {
        "source": "CIE S 026:2018, Table 2, column melanopic, the data file that the CIE publishes, as carried by "
        "luxpy 1.12.5 (toolboxes/photbiochem/data/S026_Table2_Data_downloaded_04062025.csv)",
        "step": "1 nm",
        "unit": "1",
        "total": f"{sum(value for _, value in rows):.4f} (plain sum)",
    }
    return _document(header, ("wavelength_nm", "s_mel"), rows)


TABLES: dict[str, Callable[[], str]] = {
    "am15g": am15g,
    "photopic": photopic,
    "cie1931": cie1931,
    "cie1964": cie1964,
    "tcs": tcs,
    "ces": ces,
    "daylight": daylight,
    "melanopic": melanopic,
}


def main() -> None:
    """Write every table beside this file."""
    folder = Path(__file__).parent
    for name, build in TABLES.items():
        (folder / f"{name}.csv").write_text(build(), encoding="utf-8", newline="\n")
        print(folder / f"{name}.csv")


if __name__ == "__main__":
    main()
