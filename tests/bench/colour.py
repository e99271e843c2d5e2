"""Every metric at once: against the bare matrix multiplication, against colour-science, in memory, and in a process.

On one processor and one thread (this script sees to it). Bounds, exit 1 where one is missed: 10 000 random scans of
380-780 nm at 1 nm take at most 6 × the multiplication by a matrix of 401 × 363, are at least 600 × faster than
colour-science one at a time (CCT, CIE 13.3 and TM-30 of a few of them), and take at most 100 MB above the input; one
scan is at least 15 × faster; 100 000 scans in one call take no more memory than 10 000; `spectui metrics` of one file
with every metric costs at most 1.5 × its run with the photon metrics alone.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tracemalloc
import warnings
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

if __name__ == "__main__":
    sys.path.pop(0)  # this folder: its colour.py, this file, is not colour-science
# OpenBLAS reads these when numpy is loaded; the last two are what some machines set for other programs' sake.
os.environ["OPENBLAS_NUM_THREADS"] = "1"
UNSET = [name for name in ("OPENBLAS_CORETYPE", "OPENBLAS_L2_SIZE") if os.environ.pop(name, None) is not None]
if hasattr(os, "sched_setaffinity"):
    os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})

import numpy as np  # noqa: E402

from spectui.core.metrics import catalogue, evaluate, metrics  # noqa: E402
from spectui.core.photons import METRICS as PHOTONS  # noqa: E402
from spectui.core.scan import Scan  # noqa: E402

FILE = Path(__file__).resolve().parents[2] / "samples" / "nursery" / "bars" / "bay-1-white-new.csv"
NM = np.arange(380.0, 781.0)
SCANS, COLUMNS, MANY = 10_000, 363, 100_000
PRODUCT_BOUND, BATCH_BOUND, SINGLE_BOUND, MEMORY_BOUND, COMMAND_BOUND = 6.0, 600.0, 15.0, 100.0, 1.5
ROUNDS, SAMPLED, RUNS = 9, 5, 15
RANDOM = np.random.default_rng(20260304)


def fresh(count: int) -> np.ndarray:
    """Random scans that no earlier round has seen."""
    return RANDOM.random((count, NM.size))


def timed(what: Callable[[], object]) -> float:
    start = perf_counter()
    what()
    return perf_counter() - start


def every(values: np.ndarray) -> dict[str, np.ndarray]:
    found = evaluate(NM, values, hours=16.0)
    assert set(found) == set(catalogue())
    return found


def product() -> tuple[bool, float]:
    """Every metric against the bare product, the two in turn; minima, since a neighbour's load only ever adds."""
    matrix = RANDOM.random((NM.size, COLUMNS))
    every(fresh(64))
    bare, whole = [], []
    for _ in range(ROUNDS):
        values = fresh(SCANS)
        bare.append(min(timed(lambda v=values: v @ matrix) for _ in range(2)))
        whole.append(timed(lambda v=values: every(v)))
    ratio = min(whole) / min(bare)
    print(
        f"{len(catalogue())} metrics of {SCANS} scans: {1e6 * min(whole) / SCANS:.1f} us a scan, the bare product "
        f"{NM.size} x {COLUMNS} {1e6 * min(bare) / SCANS:.1f} us: ratio {ratio:.2f} (median of rounds "
        f"{median(a / b for a, b in zip(whole, bare, strict=True)):.2f}), bound {PRODUCT_BOUND}"
    )
    return ratio <= PRODUCT_BOUND, min(whole) / SCANS


def outside(values: np.ndarray) -> tuple[float, float, float]:
    """CCT, Ra and Rf of one scan by colour-science."""
    import colour

    sd = colour.SpectralDistribution(values, NM)
    xyz = colour.sd_to_XYZ(sd)
    cct = colour.temperature.uv_to_CCT_Ohno2013(colour.UCS_to_uv(colour.XYZ_to_UCS(xyz)))[0]
    rendering = colour.colour_rendering_index(sd, additional_data=True)
    fidelity = colour.colour_fidelity_index(sd, additional_data=True, method="ANSI/IES TM-30-18")
    return float(cct), rendering.Q_a, fidelity.R_f


def libraries(a_scan: float) -> bool:
    """One scan at a time by colour-science against the batch and against one scan of ours."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        outside(fresh(1)[0])
        theirs, ours = [], []
        for values in fresh(SAMPLED):
            theirs.append(timed(lambda v=values: outside(v)))
            scan = Scan.build(NM, values, "W/m2/nm")
            metrics(scan)
            ours += [timed(lambda s=scan: metrics(s)) for _ in range(20)]
    batch, single = min(theirs) / a_scan, min(theirs) / min(ours)
    print(
        f"colour-science, CCT + CIE 13.3 + TM-30 of one scan: {1e3 * min(theirs):.1f} ms; in the batch {batch:.0f} x "
        f"faster, bound {BATCH_BOUND:.0f}; one scan alone {1e3 * min(ours):.2f} ms (median {1e3 * median(ours):.2f}): "
        f"{single:.0f} x faster, bound {SINGLE_BOUND:.0f}"
    )
    return batch >= BATCH_BOUND and single >= SINGLE_BOUND


def most(count: int) -> float:
    """The most memory above the input while every metric of `count` scans is computed, results included [MB]."""
    values = fresh(count)
    tracemalloc.start()
    every(values)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 1e6


def memory() -> bool:
    """Traced by tracemalloc, which counts numpy's arrays."""
    some, many = most(SCANS), most(MANY)
    results = 8e-6 * len(catalogue())  # MB a scan: the numbers that are handed back
    work, more = some - results * SCANS, many - results * MANY
    print(
        f"memory above input (tracemalloc): {some:.1f} MB for {SCANS} scans, bound {MEMORY_BOUND:.0f}; {many:.1f} MB "
        f"for {MANY} in one call; without the numbers handed back {work:.1f} and {more:.1f} MB: "
        + ("no growth" if more <= 1.1 * work + 1 else "it grows")
    )
    return some <= MEMORY_BOUND and more <= 1.1 * work + 1


def command() -> bool:
    """Processes, the two in turn, medians."""
    photons = ",".join(m.key for m in PHOTONS)
    words = [sys.executable, "-m", "spectui.cli.main", "metrics", str(FILE), "--json"]

    def run(*more: str) -> float:
        return timed(lambda: subprocess.run([*words, *more], check=True, stdout=subprocess.DEVNULL))

    run(), run("--metric", photons)
    pairs = [(run(), run("--metric", photons)) for _ in range(RUNS)]
    whole, part = (median(column) for column in zip(*pairs, strict=True))
    print(
        f"spectui metrics of one file: every metric {1e3 * whole:.0f} ms, photons alone {1e3 * part:.0f} ms: "
        f"ratio {whole / part:.2f}, bound {COMMAND_BOUND}"
    )
    return whole <= COMMAND_BOUND * part


def main() -> int:
    told = f", {' and '.join(UNSET)} unset" if UNSET else ""
    print(f"one processor, OPENBLAS_NUM_THREADS=1{told}")
    held, a_scan = product()
    done = [held, libraries(a_scan), memory(), command()]
    return 0 if all(done) else 1


if __name__ == "__main__":
    sys.exit(main())
