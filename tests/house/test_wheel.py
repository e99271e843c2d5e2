"""What a wheel carries: an installed spectui finds its samples, themes, tables and styles without a checkout."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """Build the wheel with hatchling alone: no environment of its own, no network."""
    folder = tmp_path_factory.mktemp("wheel")
    build = "import sys; from hatchling.build import build_wheel; print(build_wheel(sys.argv[1]))"
    done = subprocess.run(
        [sys.executable, "-c", build, str(folder)], cwd=ROOT, capture_output=True, text=True, timeout=300
    )
    assert done.returncode == 0, done.stderr
    return next(folder.glob("spectui-*.whl"))


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory) -> Path:
    """The wheel unpacked, far from the checkout."""
    folder = tmp_path_factory.mktemp("site")
    zipfile.ZipFile(wheel).extractall(folder)
    return folder


def tracked(folder: str) -> set[str]:
    return {
        str(path.relative_to(ROOT))
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def run(installed: Path, *words: str) -> str:
    environment = {**os.environ, "PYTHONPATH": str(installed), "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(
        [sys.executable, *words], cwd=installed, env=environment, capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_every_file_of_the_package_is_inside(wheel):
    inside = set(zipfile.ZipFile(wheel).namelist())
    assert tracked("spectui") <= inside
    kinds = {os.path.splitext(name)[1] for name in inside if name.startswith("spectui/")}
    assert {".py", ".tcss", ".csv", ".toml"} <= kinds


def test_samples_and_themes_are_inside_and_nothing_else_is(wheel):
    inside = set(zipfile.ZipFile(wheel).namelist())
    beside = {f"spectui/{name}" for name in tracked("samples") | tracked("themes")}
    assert len(beside) > 30
    assert beside <= inside
    extra = {name for name in inside - beside - tracked("spectui") if ".dist-info/" not in name}
    assert extra == set()


def test_an_installed_spectui_finds_samples_and_themes(installed):
    code = "from spectui import places; print(places.samples()); print(places.themes())"
    found = [Path(line) for line in run(installed, "-c", code).splitlines()]
    assert all(path.is_dir() and path.is_relative_to(installed) for path in found)
    assert (found[0] / "nursery" / "bars" / "bay-1-white-new.csv").is_file()
    assert any(found[1].glob("*.toml"))


def test_an_installed_spectui_reads_the_samples(installed):
    out = run(installed, "-m", "spectui.cli.main", "metrics", "samples", "--metric", "ppfd", "--csv")
    assert "White bar, new" in out


def test_the_wheel_says_what_it_needs(wheel):
    archive = zipfile.ZipFile(wheel)
    name = next(n for n in archive.namelist() if n.endswith(".dist-info/METADATA"))
    needs = [line[15:] for line in archive.read(name).decode().splitlines() if line.startswith("Requires-Dist: ")]
    plain = {need for need in needs if "extra ==" not in need}
    assert {need.split("<")[0].split(">")[0].split("=")[0] for need in plain} == {
        "colour-science",
        "numpy",
        "plotext",
        "scipy",
        "textual",
    }
    entry = next(n for n in archive.namelist() if n.endswith("entry_points.txt"))
    assert "spectui = spectui.cli.main:main" in archive.read(entry).decode()
