"""The People screen shows the numbers that `spectui rendition --json` and `spectui chromaticity --json` print."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from panes import Missed, Pane

from spectui.report.numbers import THIN, ascii_only, number

# Side by side from this width on; below it, tab changes between the halves.
BOTH = 100


def _printed(spectui: Sequence[str], command: str, work: Path, files: Sequence[str]) -> list[dict[str, Any]]:
    done = subprocess.run([*spectui, command, *files, "--json"], cwd=work, capture_output=True, text=True, check=True)
    scans: list[dict[str, Any]] = json.loads(done.stdout)["scans"]
    return scans


def _plain(text: str) -> str:
    """Text without thin spaces and in ASCII: one comparison for every terminal."""
    return ascii_only(text.replace(THIN, ""))


def _rows(text: str, word: str) -> list[str]:
    return [" ".join(_plain(line).split()) for line in text.splitlines() if word in line]


def people(
    pane: Pane, spectui: Sequence[str], work: Path, files: Sequence[str], width: int, told: Callable[[str], None]
) -> None:
    """Open the screen, look for every number, and go back to the desk."""
    pane.press("o")
    text = pane.until("the rendition of both", lambda t: len(_rows(t, "Rf ")) >= 2)
    scans = _printed(spectui, "rendition", work, files)
    for tag, row, scan in zip("AB", _rows(text, "Rf "), scans, strict=False):
        for name, value in (("Rf", scan["rf"]), ("Rg", scan["rg"]), ("Ra", scan["ra"]), ("R9", scan["r"][8])):
            if f"{name} {_plain(number(value))}" not in row:
                raise Missed(f"{tag}: {name} {number(value)} as in rendition --json, got {row!r}\n{text}")
    told("Rf, Rg, Ra and R9 of both, equal to rendition --json")
    if width < BOTH:
        pane.press("Tab")
        text = pane.until("the other half", lambda t: len(_rows(t, "Duv")) >= 2)
    scans = _printed(spectui, "chromaticity", work, files)
    for tag, row, scan in zip("AB", _rows(text, "Duv"), scans, strict=False):
        for value in (scan["cct"], scan["duv"], scan["u_prime"], scan["v_prime"]):
            if _plain(number(value)).lstrip("-") not in row:
                raise Missed(f"{tag}: {number(value)} as in chromaticity --json, got {row!r}\n{text}")
    told("CCT, Duv, u' and v' of both, equal to chromaticity --json")
    pane.press("Escape")
    pane.until("the desk again", lambda t: "nm" in t and "R:FR" in t)
