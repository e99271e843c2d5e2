"""What the desk writes to disk: the screen as text, and the unit that a user assigns to a scan."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from spectui.charts.cells import Line, cell_width, plain
from spectui.core.errors import SpectuiError
from spectui.files.atomic import write_text
from spectui.report import text
from spectui.shelf import sidecar
from spectui.shelf.folder import Found
from spectui.tui import loading
from spectui.tui.layout import Box, Layout
from spectui.tui.state import Desk


def free_name(desk: Desk) -> str:
    """Return a name in the current folder that is not taken: after the files in the panes."""
    stems = [Path(scan.source).stem for scan in desk.shown]
    stem = "-".join(dict.fromkeys(_plain_name(stem) for stem in stems)) or "desk"
    names = [f"{stem}.txt", *(f"{stem}-{n}.txt" for n in range(2, 1000))]
    return next((name for name in names if not os.path.lexists(name)), names[0])


def _plain_name(stem: str) -> str:
    return "".join(c if c.isalnum() or c in "-_." else "-" for c in stem).strip("-.")[:60] or "scan"


def write(name: str, content: str, desk: Desk) -> tuple[bool, str]:
    """Write without overwriting; return whether it is done, and the news."""
    name = os.path.expanduser(name.strip())
    if not name:
        return False, "expected a file name"
    if os.path.lexists(name):
        return False, f"{name} is there already: type another name"
    try:
        write_text(name, content)
    except SpectuiError as error:
        return False, str(error).removeprefix(f"{name}: ")
    return True, f"written to {os.path.abspath(name)}"


def document(host: Any, width: int, height: int) -> str:
    """Return what is shown as text: the desk, then every number with its unit or the reason why there is none."""
    from spectui.tui.screens.desk import arranged, panels

    desk: Desk = host.desk
    desk.news, before = "", desk.news
    try:
        lay = arranged(desk, width, height)
        drawn = panels(desk, lay, width, height, host)
    finally:
        desk.news = before
    for name in ("ground", "foot", "shelf"):
        drawn.pop(name, None)
    rows = together(drawn, lay, width, height)
    left = min((len(row) - len(row.lstrip()) for row in rows if row.strip()), default=0)
    screen = "\n".join(row[left:] for row in rows).strip("\n")
    compared, result = desk.comparison, desk.result_a
    assert result is not None
    numbers = text.comparison(compared, desk.known) if compared is not None else text.one(result, desk.known)
    return f"{screen}\n\n{numbers}"


def together(drawn: dict[str, list[Line]], lay: Layout, width: int, height: int) -> list[str]:
    """Return the panels' text at their places, a string a row, without blanks at the ends."""
    rows = [""] * height
    boxes = {"ground": Box(0, 0, width, height), **lay.boxes}
    for name, box in sorted(boxes.items(), key=lambda item: (item[0] != "ground", item[0] == "shelf", item[1].x)):
        for y, line in enumerate(drawn.get(name, [])[: box.height]):
            row = rows[box.y + y]
            before = row + " " * (box.x - cell_width(row)) if cell_width(row) <= box.x else row[: box.x]
            words = plain(line)
            rows[box.y + y] = before + words + row[box.x + cell_width(words) :]
    return [row.rstrip() for row in rows]


def assign_unit(desk: Desk, unit: str | None) -> str:
    """Keep a unit beside the file of pane A's scan and read it again; return the news."""
    from datetime import datetime

    assert desk.a is not None
    path = desk.rows[desk.a].path
    try:
        sidecar.write(path, unit=unit, when=datetime.now().astimezone().isoformat(timespec="seconds"))
    except SpectuiError as error:
        return str(error)
    desk.reread(path, loading.read(Found(str(path), named=True, said=True), desk.unit))
    kept = Path(sidecar.beside(path)).name
    if unit is None:
        return f"unit taken back, the scan is relative again; kept in {kept}"
    return f"unit {unit} assigned by you, kept in {kept}"
