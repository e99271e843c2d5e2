"""Invented lights, written as scan files."""

from __future__ import annotations

from pathlib import Path

import numpy as np

HEAD = "# title: {title}\n# unit: {unit}\n# taken_at: 2026-03-14T{time}\n# place: {place}\nwavelength,value\n"


def light(factor: float = 1.0, lo: float = 380.0, hi: float = 800.0) -> tuple[np.ndarray, np.ndarray]:
    """A white light with a blue and a red peak."""
    nm = np.arange(lo, hi + 0.5)
    bumps = ((450, 9, 0.55), (575, 55, 0.42), (658, 8, 0.45), (735, 14, 0.07))
    return nm, factor * sum(high * np.exp(-0.5 * ((nm - at) / wide) ** 2) for at, wide, high in bumps)


def write_scan(
    path: Path, title: str, factor: float = 1.0, unit: str = "W/m2/nm", time: str = "09:12", hi: float = 800.0
) -> Path:
    head = HEAD.format(title=title, unit=unit, time=time, place="bay 3 bench 2")
    if not unit:
        head = head.replace("# unit: \n", "")
    rows = "\n".join(f"{x:g},{y:.6f}" for x, y in zip(*light(factor, hi=hi), strict=True))
    path.write_text(head + rows + "\n", encoding="utf-8")
    return path
