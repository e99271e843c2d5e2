"""Scans and settings for the tests of the screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.invented import write_scan


@pytest.fixture(autouse=True)
def settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder of settings for each test; no test touches the user's own."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "xdg"))
    return tmp_path / "xdg" / "spectui"


@pytest.fixture
def scans(tmp_path: Path) -> Path:
    """A folder of three scans, a broken file and a note."""
    folder = tmp_path / "bay 3"
    folder.mkdir()
    write_scan(folder / "1-new.csv", "White bar, new")
    write_scan(folder / "2-aged.csv", "White bar, aged", 0.9, time="09:20")
    write_scan(folder / "3-relative.csv", "No unit", 2.0, unit="")
    (folder / "4-broken.csv").write_text("# unit: W/m2/nm\nwavelength,value\n400,1\n401,\n402,x\n", encoding="utf-8")
    (folder / "notes.md").write_text("no scan\n", encoding="utf-8")
    return folder
