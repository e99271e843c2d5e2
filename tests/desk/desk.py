"""The main job, end to end in tmux: two fixtures side by side, trusted or not, and what the user changes is kept.

    python tests/desk/desk.py          with any Python in which spectui is installed; needs tmux

Prints a line for each thing that it saw; on the first miss it prints the captured pane and exits 1.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from panes import Missed, Pane
from people import people

from spectui import places

SIZES = ((80, 24), (120, 36))
SCRIPT = Path(sys.executable).with_name("spectui")
SPECTUI = [str(SCRIPT)] if SCRIPT.exists() else [sys.executable, "-m", "spectui.cli.main"]
NURSERY = places.samples() / "nursery"
TITLES = ("White bar, new", "Dark 47 min old")
TRUST = ("trust ok", "doubt: dark 47 min old")
BANDS = {"blue": "blue", "green": "green", "red": "(?<!far )red", "far_red": "far red"}
CARET = re.compile(r"[▲^] (\d+) nm")


class Case(NamedTuple):
    """A way in which the desk is opened, and what only then must be true of it."""

    name: str
    extra: dict[str, str] = {}
    prepare: Callable[[Path], None] = lambda config: None
    first: Callable[[Pane, Path], str] = lambda pane, config: ""


class Place:
    """A temporary folder with copies of the scans and a settings folder of its own."""

    def __init__(self, root: Path) -> None:
        self.work, self.config = root / "work", root / "config"
        self.work.mkdir()
        self.config.mkdir()
        self.files = [self._copy("bars/bay-1-white-new.csv"), self._copy("flags/dark-old.csv")]
        self.relative = self._copy("flags/unit-unsaid.csv")

    def _copy(self, name: str) -> str:
        return Path(shutil.copy(NURSERY / name, self.work)).name

    def made(self) -> set[Path]:
        """The files of the user's folder, hidden ones left out."""
        return {path for path in self.work.iterdir() if not path.name.startswith(".")}


def compared(place: Place) -> dict[str, float]:
    """The band differences that `spectui compare --json` prints for the same files."""
    command = [*SPECTUI, "compare", *place.files, "--json"]
    done = subprocess.run(command, cwd=place.work, capture_output=True, text=True, check=True)
    return {band["band"]: band["difference"][1] for band in json.loads(done.stdout)["bands"]}


def bands_shown(text: str) -> dict[str, str]:
    """The band differences on the screen, as they are written: under the ribbon, or beside the bars."""
    lines = text.splitlines()
    table = next((at for at, line in enumerate(lines) if "by band" in line), None)
    part = lines if table is None else lines[table:]
    found = {}
    for band, pattern in BANDS.items():
        for line in part:
            match = re.search(pattern + r" *([+−-]\d+(?:\.\d+)?)", line)
            if match is not None:
                found[band] = match[1]
                break
    return found


def agrees(shown: str, expected: float) -> bool:
    """True where `shown` is `expected` rounded to the digits shown, two of them at least."""
    plain = shown.replace("−", "-")
    digits = plain.lstrip("+-").replace(".", "").lstrip("0")
    decimals = len(plain.partition(".")[2])
    return len(digits) >= 2 and abs(float(plain) - round(expected, decimals)) < 10.0**-decimals / 1e6


def caret(text: str) -> int | None:
    match = CARET.search(text)
    return int(match[1]) if match else None


def two_files(pane: Pane, place: Place, told: Callable[[str], None]) -> None:
    text = pane.until("both titles", lambda t: all(title in t for title in TITLES) and len(bands_shown(t)) == 4)
    told(f"titles {TITLES[0]!r} and {TITLES[1]!r}")
    for words in TRUST:
        if words not in text:
            raise Missed(f"trust words {words!r}\n{text}")
    told(f"trust words {TRUST[0]!r} and {TRUST[1]!r}")
    expected, shown = compared(place), bands_shown(text)
    for band in BANDS:
        if not agrees(shown[band], expected[band]):
            raise Missed(f"{band}: shown {shown[band]}, compare --json says {expected[band]}\n{text}")
    told("band differences " + ", ".join(f"{band} {shown[band]}" for band in BANDS) + ", equal to compare --json")


def caret_moves(pane: Pane, told: Callable[[str], None]) -> None:
    at = caret(pane.until("the caret line", lambda t: caret(t) is not None))
    assert at is not None
    before = next(line for line in pane.text().splitlines() if CARET.search(line))
    pane.press("Right")
    text = pane.until("the caret 1 nm on", lambda t: caret(t) == at + 1)
    after = next(line for line in text.splitlines() if CARET.search(line))
    for mark in ("A ", "B "):
        if mark not in after:
            raise Missed(f"the caret line reads {mark.strip()}\n{text}")
    if after == before:
        raise Missed(f"a caret line that changes\n{text}")
    told(f"caret from {at} to {at + 1} nm: {' '.join(after[after.index(str(at + 1)) :].split())}")


def strip(text: str) -> str:
    """The heading of the cards."""
    return next(
        (line for line in text.splitlines() if re.search(r"PPFD[ \]]", line) and "R:FR" in line and "name" not in line),
        "",
    )


def cards_change(pane: Pane, told: Callable[[str], None]) -> None:
    pane.until("the card DLI", lambda t: "DLI" in strip(t))
    pane.press("x")
    pane.until("the list of cards", lambda t: "photosynthetic" in t)
    pane.press("Down", "Enter")
    pane.until("DLI off the strip", lambda t: "off the strip" in t)
    pane.press("Escape")
    pane.until("the desk without DLI", lambda t: strip(t) and "DLI" not in strip(t))
    told("the card DLI taken off")


def writes(pane: Pane, place: Place, told: Callable[[str], None]) -> None:
    before = place.made()
    pane.press("w")
    pane.until("where to write", lambda t: "write to" in t)
    pane.press("Enter")
    pane.until("a written file told", lambda t: place.made() - before and "write to" not in t)
    (made,) = place.made() - before
    told_of = pane.until("the file's path", lambda t: made.name in "".join(t.split("\n")))
    content = made.read_text()
    if not all(title in content for title in TITLES):
        raise Missed(f"{made.name} names both scans\n{content}\n{told_of}")
    told(f"written: {made.name}, {len(content)} characters, both titles in it")


def leaves(pane: Pane, told: Callable[[str], None]) -> None:
    pane.press("q")
    code = pane.ended()
    if code != 0:
        raise Missed(f"exit code 0, got {code}\n{pane.text()}")
    told("q leaves with exit code 0")


def unit_assigned(pane: Pane, place: Place, told: Callable[[str], None]) -> None:
    scan = place.work / place.relative
    before = scan.read_bytes()
    text = pane.until("the relative scan", lambda t: "Relative scan" in t and strip(t))
    row = text.splitlines()[text.splitlines().index(strip(text)) + 1]
    if re.search(r"A +[–-] ", row) is None:
        raise Missed(f"no PPFD without a unit, got {row!r}\n{text}")
    pane.press("u")
    pane.until("the units", lambda t: "umol/m2/s/nm" in t)
    pane.press("Enter")
    pane.until("the unit told and a PPFD", lambda t: "assigned" in t and re.search(r" A +\d+", t))
    said = (place.work / f"{place.relative}.spectui.toml").read_text()
    if 'unit = "W/m2/nm"' not in said or scan.read_bytes() != before:
        raise Missed(f"the unit beside the scan and the scan as it was\n{said}")
    told("unit W/m2/nm assigned, kept beside the scan, the scan unchanged")


def run(case: Case, size: tuple[int, int]) -> None:
    def told(line: str) -> None:
        print(f"{size[0]}×{size[1]} {case.name}: {line}", flush=True)

    with tempfile.TemporaryDirectory() as name:
        place = Place(Path(name))
        case.prepare(place.config)

        def opened(*files: str) -> Pane:
            return Pane([*SPECTUI, *files], *size, place.work, place.config, **case.extra)

        with opened(*place.files) as pane:
            special = case.first(pane, place.config)
            if special:
                told(special)
            two_files(pane, place, told)
            caret_moves(pane, told)
            people(pane, SPECTUI, place.work, place.files, size[0], told)
            cards_change(pane, told)
            writes(pane, place, told)
            leaves(pane, told)
        with opened(*place.files) as pane:
            pane.until("the cards as they were left", lambda t: strip(t) and "DLI" not in strip(t))
            told("after a restart the cards are as they were left")
            leaves(pane, told)
        with opened(place.relative) as pane:
            unit_assigned(pane, place, told)
            leaves(pane, told)


def without_colour(pane: Pane, config: Path) -> str:
    text = pane.until("the desk", lambda t: all(title in t for title in TITLES), colours=True)
    colours = re.findall(r"\x1b\[[\d;]*?(?<![\d])(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?![\d])[\d;:]*m", text)
    if colours:
        raise Missed(f"no colour under NO_COLOR, got {colours[0]!r}\n{text}")
    return "no colour in the pane"


def in_ascii(pane: Pane, config: Path) -> str:
    text = pane.until("the desk", lambda t: all(title in t for title in TITLES) and len(bands_shown(t)) == 4)
    if not text.isascii():
        raise Missed(f"ASCII alone under TERM=linux, got {sorted(set(c for c in text if not c.isascii()))}\n{text}")
    return "ASCII alone in the pane"


def own_theme(config: Path) -> None:
    folder = config / "spectui" / "themes"
    folder.mkdir(parents=True)
    night = (places.themes() / "night.toml").read_text()
    (folder / "mine.toml").write_text(
        re.sub(r'(?m)^fill = "#\w+"', 'fill = "#214365"', night).replace('name = "night"', 'name = "mine"')
    )


def theme_chosen(pane: Pane, config: Path) -> str:
    pane.until("the desk", lambda t: all(title in t for title in TITLES))
    pane.press("t")
    pane.until("the list of themes", lambda t: "mine" in t and "daylight" in t)
    pane.press("m", "i", "n", "e")
    pane.until("the list narrowed", lambda t: "mine" in t and "daylight" not in t)
    pane.press("Enter")
    pane.until("the fill in the user's colour", lambda t: "2;33;67;101" in t.replace(":", ";"), colours=True)
    return "the user's theme is chosen, its fill is on the screen"


def clashing_keys(config: Path) -> None:
    (config / "spectui").mkdir()
    (config / "spectui" / "keys.toml").write_text('fit = "w"\nfind = "f"\n')


def clash_told(pane: Pane, config: Path) -> str:
    text = pane.until("the clash told", lambda t: "clashes with write" in t)
    line = next(line.strip() for line in text.splitlines() if "clashes with write" in line)
    pane.press("y")
    pane.until("the default key of the loser", lambda t: "scale fitted" in t)
    pane.press("f")
    pane.until("the user's key that clashes with nothing", lambda t: t.startswith("Find"))
    pane.press("Escape")
    pane.until("the desk", caret)
    return f"told: {line}; the other key of the keymap works"


CASES = (
    Case("plain"),
    Case("NO_COLOR", {"NO_COLOR": "1"}, first=without_colour),
    Case("TERM=linux", {"TERM": "linux"}, first=in_ascii),
    Case("own theme", {}, own_theme, theme_chosen),
    Case("clashing keymap", {}, clashing_keys, clash_told),
)


def main() -> int:
    if shutil.which("tmux") is None:
        print("tmux is not installed", file=sys.stderr)
        return 2
    for case in CASES:
        for size in SIZES:
            try:
                run(case, size)
            except Missed as missed:
                print(f"MISSED {size[0]}×{size[1]} {case.name}: {missed}")
                return 1
    print("desk: all seen")
    return 0


if __name__ == "__main__":
    sys.exit(main())
