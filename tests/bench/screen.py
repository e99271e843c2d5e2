"""The first frame with the spectrum against a minimal Textual app's; the bytes of a first paint and of a caret step.

Times are from the exec of the interpreter to the frame's bytes; the ratio is the median over alternating rounds.
Exit 1 where a bound is missed.
"""

from __future__ import annotations

import statistics
import sys
from pathlib import Path

from terminal import Terminal

HERE = Path(__file__).resolve().parent
BARS = HERE.parents[1] / "samples" / "nursery" / "bars"
NEW, AGED = BARS / "bay-1-white-new.csv", BARS / "bay-1-white-old.csv"
ROUNDS, FRAME_BOUND = 15, 1.8
STEPS, STEP_BOUND = 20, 600
PAINT_BOUND = 60_000
RIGHT = "\x1b[C"


def with_spectrum(lines: list[str]) -> bool:
    """The head names the scan and the chart has its fill."""
    return any("White bar, new" in line for line in lines[:4]) and sum("████" in line for line in lines) >= 5


def minimal(lines: list[str]) -> bool:
    return any("the least screen" in line for line in lines)


def spectui(*paths: Path) -> Terminal:
    return Terminal(sys.executable, "-m", "spectui.cli.main", *map(str, paths))


def first_frames() -> bool:
    mine, base = [], []
    for _ in range(ROUNDS + 1):
        with Terminal(sys.executable, str(HERE / "minimal.py")) as other:
            other.quiet()
            base.append(other.first(minimal))
        with spectui(NEW) as ours:
            ours.quiet()
            mine.append(ours.first(with_spectrum))
    mine, base = mine[1:], base[1:]  # the first round compiles and fills caches
    ratio = statistics.median(a / b for a, b in zip(mine, base, strict=True))  # neighbours share the machine's load
    best = min(mine) / min(base)
    print(
        f"first frame with the spectrum: {1e3 * statistics.median(mine):.0f} ms, a minimal app "
        f"{1e3 * statistics.median(base):.0f} ms: ratio {ratio:.2f} (of minima {best:.2f}), bound {FRAME_BOUND}"
    )
    return ratio <= FRAME_BOUND


def first_paint() -> bool:
    sizes = {}
    for name, paths in (("one file", [NEW]), ("two files", [NEW, AGED]), ("a folder of six", [BARS])):
        with spectui(*paths) as ours:
            sizes[name] = ours.quiet(1.0)
            ours.first(with_spectrum)
    told = ", ".join(f"{name} {size / 1e3:.1f} kB" for name, size in sizes.items())
    most = max(sizes.values())
    ratio = most / PAINT_BOUND
    print(f"first paint until all is read: {told}: ratio {ratio:.2f} to the bound of {PAINT_BOUND / 1e3:.0f} kB")
    return most <= PAINT_BOUND


def caret_steps() -> bool:
    with spectui(NEW, AGED) as ours:
        ours.quiet(1.0)
        before = ours.display
        sizes = []
        for _ in range(STEPS):
            ours.press(RIGHT)
            sizes.append(ours.quiet(0.25))
        after = ours.display
    moved = [line for line in after if "▲" in line] != [line for line in before if "▲" in line]
    shown = "B−A" in "".join(after)
    print(
        f"a caret step with two panes: {statistics.median(sizes):.0f} bytes, at most {max(sizes)}: "
        f"ratio {max(sizes) / STEP_BOUND:.2f} to the bound of {STEP_BOUND}; caret moved: {moved}, B shown: {shown}"
    )
    return max(sizes) <= STEP_BOUND and min(sizes) > 0 and moved and shown


if __name__ == "__main__":
    done = [first_frames(), first_paint(), caret_steps()]
    sys.exit(0 if all(done) else 1)
