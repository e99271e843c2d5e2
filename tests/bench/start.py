"""The start of a headless command against `import numpy`: told, without a bound."""

from __future__ import annotations

import statistics
import subprocess
import sys
from pathlib import Path
from time import perf_counter

FILE = Path(__file__).resolve().parents[2] / "samples" / "nursery" / "bars" / "bay-1-white-new.csv"
ROUNDS = 9


def timed(*words: str) -> float:
    start = perf_counter()
    subprocess.run([sys.executable, *words], check=True, stdout=subprocess.DEVNULL)
    return perf_counter() - start


def main() -> int:
    took = []
    for _ in range(ROUNDS + 1):
        base = timed("-c", "import numpy")
        as_json = timed("-m", "spectui.cli.main", "metrics", str(FILE), "--json")
        as_text = timed("-m", "spectui.cli.main", "metrics", str(FILE))
        took.append((base, as_json, as_text))
    base, as_json, as_text = (statistics.median(column) for column in zip(*took[1:], strict=True))
    print(
        f"headless start: metrics --json {1e3 * as_json:.0f} ms, with the chart {1e3 * as_text:.0f} ms, import numpy "
        f"{1e3 * base:.0f} ms: ratio {as_json / base:.2f} and {as_text / base:.2f}"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
