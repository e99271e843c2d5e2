"""Scan files for the tests of the commands."""

from pathlib import Path

import numpy as np


def write(
    path: Path, *, scale: float = 1.0, lo: float = 380.0, hi: float = 800.0, unit: str | None = "W/m2/nm", **meta: str
) -> Path:
    """Write a plain csv of a made-up white light and return its path."""
    nm = np.arange(lo, hi + 0.5)
    values = scale * (0.5 * np.exp(-0.5 * ((nm - 450) / 9) ** 2) + 0.35 * np.exp(-0.5 * ((nm - 590) / 60) ** 2))
    lines = [f"# {key}: {value}" for key, value in meta.items()]
    lines += [f"# unit: {unit}"] if unit else []
    lines += ["wavelength_nm,value", *(f"{x:g},{y!r}" for x, y in zip(nm.tolist(), values.tolist(), strict=True))]
    path.write_text("\n".join(lines) + "\n")
    return path
