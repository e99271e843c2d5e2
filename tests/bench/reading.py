"""2 000 files of 401 lines, from the folder to every photon metric, against numpy.loadtxt on lines that are in memory.

The floor has its bytes read and split beforehand: it is the parsing alone. Exit 1 where the bound is missed.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path
from time import perf_counter

import numpy as np

from spectui.core.metrics import metrics
from spectui.core.photons import METRICS
from spectui.core.scan import Scan
from spectui.shelf.folder import entries

FILES, ROUNDS, BOUND = 2_000, 7, 2.0
KEYS = [metric.key for metric in METRICS]


def write(folder: Path) -> list[list[str]]:
    """Write the files (380-780 nm, every value another) and return the lines of each."""
    random = np.random.default_rng(1)
    nm = np.arange(380, 781)
    lamp = np.exp(-(((nm - 450) / 12) ** 2)) + 0.7 * np.exp(-(((nm - 580) / 70) ** 2))
    split = []
    for number in range(FILES):
        values = lamp * random.uniform(0.5, 2) + random.uniform(0, 1e-3, nm.size)
        lines = [f"{a},{b:.6g}" for a, b in zip(nm, values, strict=True)]
        (folder / f"{number:04d}.csv").write_text("\n".join(["# unit: W/m2/nm", *lines]) + "\n")
        split.append(lines)
    return split


def ours(folder: Path) -> list[Scan]:
    """What `spectui metrics FOLDER` does before it prints."""
    scans = [entry.scan for entry in entries([folder]) if entry.scan is not None]
    results = metrics(scans, KEYS)
    assert len(results) == FILES and all(result["ppfd"].value for result in results)
    return scans


def floor(split: list[list[str]]) -> list[np.ndarray]:
    """numpy's own reader on lines in memory."""
    return [np.loadtxt(lines, delimiter=",") for lines in split]


def timed(work, *given) -> tuple[float, object]:
    start = perf_counter()
    made = work(*given)
    return perf_counter() - start, made


def main() -> int:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        split = write(folder)
        ours(folder), floor(split[:100])  # what is imported late is imported now
        took: list[tuple[float, float]] = []
        for _ in range(ROUNDS):
            base, tables = timed(floor, split)
            mine, scans = timed(ours, folder)
            took.append((mine, base))
        same = all(
            (scan.wavelength == table[:, 0]).all() and (scan.values == table[:, 1]).all()
            for scan, table in zip(scans, tables, strict=True)
        )
    mine, base = (statistics.median(column) for column in zip(*took, strict=True))
    ratio = statistics.median(a / b for a, b in took)
    best = min(a for a, _ in took) / min(b for _, b in took)
    print(
        f"reading {FILES} files with {len(KEYS)} photon metrics: {mine:.3f} s, loadtxt alone {base:.3f} s: "
        f"ratio {ratio:.2f} (of minima {best:.2f}), bound {BOUND}; values equal: {same}"
    )
    return 0 if ratio <= BOUND and same else 1


if __name__ == "__main__":
    sys.exit(main())
