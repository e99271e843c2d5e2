"""The README's examples, key table and picture are real: this rewrites them, and test_readme.py holds them.

python tests/house/readme.py
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
_KEYS = re.compile(r"(<!-- keys: made from spectui/tui/actions.py -->\n).*?(<!-- /keys -->)", re.S)
_METRICS = re.compile(r"(<!-- metrics: made from spectui/core/metrics.py -->\n).*?(<!-- /metrics -->)", re.S)


def run(command: str, folder: Path) -> str:
    """Return what a shell prints for a README's command line, run with this checkout's spectui beside the samples."""
    shim = folder / "bin"
    if not shim.exists():
        shim.mkdir()
        (shim / "spectui").write_text(f'#!/bin/sh\nexec "{sys.executable}" -m spectui.cli.main "$@"\n')
        (shim / "spectui").chmod(0o755)
        (folder / "samples").symlink_to(ROOT / "samples")
    env = {**os.environ, "PATH": f"{shim}:{os.environ['PATH']}", "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"}
    env |= {"XDG_CONFIG_HOME": str(folder / "config"), "COLUMNS": "80"}
    done = subprocess.run(command, shell=True, capture_output=True, text=True, cwd=folder, env=env, encoding="utf-8")
    return "\n".join(line.rstrip() for line in done.stdout.splitlines())


def examples(text: str) -> list[tuple[str, str]]:
    """Return (command, printed) of each `$ …` line within the code blocks."""
    found = []
    for block in re.findall(r"^```\n(\$ .*?)^```$", text, re.S | re.M):
        for part in re.split(r"^\$ ", block, flags=re.M)[1:]:
            command, _, printed = part.partition("\n")
            found.append((command, printed.rstrip("\n")))
    return found


def keys(text: str) -> str:
    """Return the README with its key table made anew."""
    from spectui.tui.actions import markdown

    return _KEYS.sub(lambda m: m[1] + markdown().strip() + "\n" + m[2], text)


def metrics(text: str) -> str:
    """Return the README with its table of metrics made anew; the parts of a row (R1-R14, hue bins) are one line."""
    from spectui.core.metrics import catalogue

    rows = ["| key | unit | what it is | source |", "|---|---|---|---|"]
    parts: dict[str, list[str]] = {}
    for m in catalogue().values():
        parts.setdefault(m.key.rstrip("0123456789"), []).append(m.key)
    for m in catalogue().values():
        row = parts[m.key.rstrip("0123456789")]
        if not m.part:
            rows.append(f"| `{m.key}` | {m.unit} | {m.definition} | {m.source} |")
        elif m.key == row[0]:
            what = re.sub(r" 1\b.*", f" 1 to {len(row)}", m.definition)
            rows.append(f"| `{row[0]}` … `{row[-1]}` | {m.unit} | {what} | {m.source} |")
    return _METRICS.sub(lambda m: m[1] + "\n".join(rows) + "\n" + m[2], text)


def rewritten(text: str) -> str:
    """Return the README with every example run again."""
    text = metrics(keys(text))
    with tempfile.TemporaryDirectory() as folder:
        for command, printed in examples(text):
            block = f"$ {command}\n" + (printed + "\n" if printed else "")
            fresh = run(command, Path(folder))
            text = text.replace(block, f"$ {command}\n" + (fresh + "\n" if fresh else ""), 1)
    return text


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    README.write_text(rewritten(README.read_text(encoding="utf-8")), encoding="utf-8")
