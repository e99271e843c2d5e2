"""The desk as plain text at two sizes, against what was looked at and found good.

After a wanted change: SPECTUI_SNAPSHOTS=update python -m pytest tests/tui/test_snapshots.py, then read the difference.
"""

from __future__ import annotations

import os
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from spectui.charts.cells import Form, line_width
from spectui.core.compare import compare
from spectui.report.numbers import difference
from spectui.tui import keymap, loading, moves, themes
from spectui.tui.rows import Row
from spectui.tui.screens.desk import arranged, panels
from spectui.tui.state import Desk
from spectui.tui.terminal import Depth
from spectui.tui.writing import together

KEPT = Path(__file__).parent / "snapshots"


def host(depth: Depth = "true", ascii: bool = False) -> Any:
    paint = themes.Paint(themes.choose("night")[0], depth)
    return SimpleNamespace(form=Form(ascii, depth != "none"), keymap=keymap.build({}), paint=paint)


def desk_of(folder: Path, two: bool) -> Desk:
    files = loading.found([str(folder)])
    desk = Desk(rows=[Row(Path(file.path)) for file in files], folder=folder.name, hours=16)
    desk.take([(Path(file.path), loading.read(file)) for file in files])
    desk.caret_to(453)
    if two:
        desk.cursor = 1
        desk.put_b(1)
    return desk


def screen(desk: Desk, width: int, height: int, ours: Any) -> list[str]:
    lay = arranged(desk, width, height)
    drawn = panels(desk, lay, width, height, ours)
    for name, lines in drawn.items():
        for line in lines:
            assert line_width(line) <= (lay.boxes[name].width if name in lay.boxes else width), name
    return together(drawn, lay, width, height)


@pytest.mark.parametrize(
    ("name", "width", "height", "two", "apart", "ours"),
    [
        ("desk-80x24-one", 80, 24, False, False, host()),
        ("desk-80x24", 80, 24, True, False, host()),
        ("desk-80x24-no-colour", 80, 24, True, False, host("none")),
        ("desk-80x24-ascii", 80, 24, True, False, host("16", True)),
        ("desk-120x36", 120, 36, True, False, host()),
        ("desk-120x36-apart", 120, 36, True, True, host()),
    ],
)
def test_the_desk_looks_as_it_did(
    scans: Path, name: str, width: int, height: int, two: bool, apart: bool, ours: Any
) -> None:
    desk = desk_of(scans, two)
    if apart:
        moves.apart(desk, width)
    rows = screen(desk, width, height, ours)
    if ours.form.ascii:
        assert all(row.isascii() for row in rows)
    path = KEPT / f"{name}.txt"
    text = "\n".join(rows) + "\n"
    if os.environ.get("SPECTUI_SNAPSHOTS") == "update":
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8")


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 36)])
def test_the_band_differences_are_those_of_compare(scans: Path, width: int, height: int) -> None:
    desk = desk_of(scans, True)
    a, b = desk.scan_a, desk.scan_b
    assert a is not None
    assert b is not None
    found = compare(a, b)
    text = "\n".join(screen(desk, width, height, host()))
    for band in ("blue", "green", "red", "far_red"):
        row = found.bands[band]
        shown = difference(row.difference[1], (row.values[0], row.values[1]))
        assert shown.startswith("\N{MINUS SIGN}")
        assert shown in text


def test_the_words_that_must_stand_on_the_desk(scans: Path) -> None:
    for width, height in ((80, 24), (120, 36), (200, 50)):
        desk = desk_of(scans, True)
        text = "\n".join(screen(desk, width, height, host()))
        for words in ("White bar, new", "White bar, aged", "trust ok", "▲ 453 nm", "PPFD", "DLI 16 h", "B−A", "? keys"):
            assert words in text, (words, width)
        desk.caret(+1)
        assert "▲ 454 nm" in "\n".join(screen(desk, width, height, host()))


def test_too_small_a_terminal_is_one_clear_line(scans: Path) -> None:
    desk = desk_of(scans, True)
    for width, height in ((79, 24), (80, 23), (20, 5), (1, 1)):
        lay = arranged(desk, width, height)
        (line,) = panels(desk, lay, width, height, host())["heads"]
        assert line[0].text == f"spectui needs 80 x 24 cells, here are {width} x {height}; q quits"


def test_every_size_draws(scans: Path) -> None:
    for two in (False, True):
        for width in (80, 81, 99, 100, 109, 110, 111, 120, 163, 200):
            for height in (24, 25, 29, 30, 31, 35, 36, 37, 50):
                screen(desk_of(scans, two) if (width, height) == (80, 24) else DESKS[two](scans), width, height, host())


_made: dict[tuple[Path, bool], Desk] = {}


def _kept(two: bool) -> Any:
    def desk(folder: Path) -> Desk:
        if (folder, two) not in _made:
            _made[folder, two] = desk_of(folder, two)
        return _made[folder, two]

    return desk


DESKS = {two: _kept(two) for two in (False, True)}


def test_an_empty_folder_teaches(tmp_path: Path) -> None:
    desk = Desk(folder="bay 9")
    text = "\n".join(screen(desk, 80, 24, host()))
    for words in ("There is no scan in bay 9", "spectui samples", ".csv", ".spdx", ".jdx", "No scan to show yet"):
        assert words in text


def test_broken_files_alone_are_told(tmp_path: Path) -> None:
    (tmp_path / "bad.csv").write_text("# unit: W/m2/nm\nnm,value\n400,1\n401,\n402,x\n", encoding="utf-8")
    desk = Desk(rows=[Row(tmp_path / "bad.csv")])
    desk.take([(tmp_path / "bad.csv", loading.read(loading.found([str(tmp_path)])[0]))])
    text = "\n".join(screen(desk, 120, 36, host()))
    assert "None of these files could be read" in text
    assert "bad.csv" in text


def test_a_files_control_characters_never_reach_the_screen(tmp_path: Path) -> None:
    (tmp_path / "evil.csv").write_bytes(
        b"# title: \x1b[31mred\x07 [bold]x[/bold]\n# unit: W/m2/nm\n# place: a\xe2\x80\xaeb\n"
        b"nm,value\n400,1\n500,2\n700,1\n800,1\n"
    )
    desk = Desk(rows=[Row(tmp_path / "evil.csv")], folder="\x1b]0;x\x07")
    desk.take([(tmp_path / "evil.csv", loading.read(loading.found([str(tmp_path)])[0]))])
    desk.shelf = True
    text = "\n".join(screen(desk, 120, 36, host()))
    assert "[bold]x" in text
    assert not any(ord(c) < 32 or c == "\u202e" for c in text.replace("\n", ""))
