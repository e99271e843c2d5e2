"""The house: who may import whom, what a headless start loads, and how long a file may be."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "spectui"
MODULES = sorted(PACKAGE.rglob("*.py"))
IDS = [str(path.relative_to(ROOT)) for path in MODULES]

# Room, or module beside the rooms → the rooms that it may import from. Within a room everything may.
MAY_IMPORT = {
    "places": set(),
    "core": set(),
    "files": {"core", "places"},
    "settings": {"core", "files", "places"},
    "cards": {"core", "files", "places", "settings"},
    "shelf": {"core", "files", "places"},
    "record": {"core", "files", "places"},
    "charts": {"core", "files", "shelf", "record", "places"},
    "report": {"core", "files", "shelf", "record", "places"},
    "cli": {"core", "files", "shelf", "record", "charts", "report", "places", "settings", "cards"},
    "tui": {"core", "files", "shelf", "record", "charts", "report", "places", "settings", "cards"},
}
# (module, imported module): why.
ALLOWED = {
    ("spectui.charts", "spectui.report.numbers"): "numbers are written one way on every face",
    ("spectui.cli.main", "spectui.tui"): "`spectui PATH` opens the screen",
}
# Heavy package → the modules that may import it, and only inside a function where `late` says so.
HEAVY = {
    "textual": (("spectui.tui",), False),
    "rich": (("spectui.tui",), False),
    "plotext": (("spectui.charts",), True),
    "scipy": (("spectui.core", "spectui.charts", "spectui.tui"), True),
    "colour": (("spectui.core.tables.build", "spectui.core.verify.live", "spectui.interop"), True),
    "pvlib": (("spectui.core.tables.build",), True),
    "pandas": ((), True),
    "matplotlib": ((), True),
}
# Files of 300 lines or more, each with its reason.
LONG: dict[str, str] = {}


def dotted(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def is_checking(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and ast.unparse(node.test) in ("TYPE_CHECKING", "typing.TYPE_CHECKING")


def imports(path: Path) -> Iterator[tuple[str, bool]]:
    """Every imported module of a file, and whether it stands inside a function; those for types alone left out."""

    def walk(node: ast.AST, late: bool) -> Iterator[tuple[str, bool]]:
        for child in ast.iter_child_nodes(node):
            if is_checking(child):
                for other in child.orelse:  # type: ignore[attr-defined]
                    yield from walk(other, late)
                continue
            if isinstance(child, ast.Import):
                yield from ((alias.name, late) for alias in child.names)
            elif isinstance(child, ast.ImportFrom):
                package = path.parent.relative_to(ROOT).parts[
                    : len(path.parent.relative_to(ROOT).parts) + 1 - child.level
                ]
                base = child.module or ""
                if child.level:
                    base = ".".join((*package, *([base] if base else [])))
                yield base, late
                yield from ((f"{base}.{alias.name}", late) for alias in child.names)
            yield from walk(child, late or isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda))

    return walk(ast.parse(path.read_text(encoding="utf-8")), False)


def within(name: str, package: str) -> bool:
    return name == package or name.startswith(package + ".")


def is_module(name: str) -> bool:
    path = ROOT.joinpath(*name.split("."))
    return path.with_suffix(".py").is_file() or path.is_dir()


@pytest.mark.parametrize("path", MODULES, ids=IDS)
def test_imports_run_one_way(path: Path) -> None:
    name = dotted(path)
    if name == "spectui":
        assert not [target for target, late in imports(path) if within(target, "spectui") and not late]
        return
    room = name.split(".")[1]
    assert room in MAY_IMPORT, f"{name}: no such room"
    wrong = []
    for target, _ in imports(path):
        if not within(target, "spectui") or not is_module(target) or target == "spectui":
            continue
        if target.split(".")[1] in MAY_IMPORT[room] | {room}:
            continue
        if any(within(name, who) and (within(target, what) or within(what, target)) for who, what in ALLOWED):
            continue
        wrong.append(target)
    assert not wrong, f"{name} imports {wrong}"


@pytest.mark.parametrize("path", MODULES, ids=IDS)
def test_heavy_packages_stay_where_they_belong(path: Path) -> None:
    name = dotted(path)
    for target, late in imports(path):
        top = target.split(".")[0]
        if top in HEAVY:
            homes, must_be_late = HEAVY[top]
            assert any(within(name, home) for home in homes), f"{name} imports {top}"
            assert late or not must_be_late, f"{name} imports {top} at its top: move it into the function that needs it"


@pytest.mark.parametrize("path", [p for p in MODULES if within(dotted(p), "spectui.core")], ids=str)
def test_core_opens_no_clock_and_no_screen(path: Path) -> None:
    """Core has arrays in and results out: only the shipped tables are read from disk, and nothing asks for the time."""
    banned = {"time", "os", "sys", "subprocess", "socket", "shutil", "curses"}
    assert not {target for target, _ in imports(path) if target.split(".")[0] in banned}
    text = path.read_text(encoding="utf-8")
    assert "now(" not in text and "today(" not in text


@pytest.mark.parametrize("path", MODULES, ids=IDS)
def test_files_stay_small(path: Path) -> None:
    lines = len(path.read_text(encoding="utf-8").splitlines())
    assert lines < 300 or str(path.relative_to(ROOT)) in LONG, f"{lines} lines: split it, or say in LONG why not"


NEVER = ("textual", "rich", "plotext", "scipy", "colour", "pandas", "matplotlib", "pvlib")


def loaded(code: str, *arguments: str) -> tuple[set[str], subprocess.CompletedProcess[str]]:
    """Run `code` in a fresh interpreter; the top-level packages that were loaded when it ended, and the run."""
    told = "import atexit,sys; atexit.register(lambda: print('\\nLOADED', *sys.modules, file=sys.stderr));"
    apart = {
        **os.environ,
        "XDG_CONFIG_HOME": str(ROOT / "no-such-folder"),
    }  # whoever runs this has settings of their own
    run = subprocess.run(
        [sys.executable, "-c", told + code, *arguments], cwd=ROOT, env=apart, capture_output=True, text=True, timeout=60
    )
    last = run.stderr.rstrip().rsplit("\n", 1)[-1]
    assert last.startswith("LOADED"), run.stderr
    return {name.split(".")[0] for name in last.split()[1:]}, run


@pytest.mark.parametrize("room", ["core", "files", "shelf", "charts", "report", "cli"])
def test_importing_a_room_loads_nothing_heavy(room: str) -> None:
    names = [dotted(p) for p in MODULES if within(dotted(p), f"spectui.{room}")]
    assert names, f"no module in {room}"
    code = "import importlib\nfor name in sys.argv[1:]: importlib.import_module(name)"
    came, run = loaded(code, *names)
    assert run.returncode == 0, run.stderr.rsplit("LOADED", 1)[0]
    assert "numpy" in came or room not in ("core", "files")
    assert not came.intersection(NEVER)


def test_the_check_itself_sees_what_is_loaded() -> None:
    came, _ = loaded("import plotext")
    assert "plotext" in came


def test_the_package_alone_loads_not_even_numpy() -> None:
    came, run = loaded("import spectui")
    assert run.returncode == 0, run.stderr.rsplit("LOADED", 1)[0]
    assert not came.intersection((*NEVER, "numpy"))


LAMP, BAR = "samples/nursery/lamps/sodium.csv", "samples/nursery/bars/bay-1-white-new.csv"
COMMANDS = {
    "metrics of one": ["metrics", LAMP],
    "metrics --json": ["metrics", LAMP, BAR, "--json"],
    "metrics --csv": ["metrics", "samples/nursery/formats", "--csv"],
    "rendition": ["rendition", BAR],
    "rendition --json": ["rendition", LAMP, BAR, "--json"],
    "compare": ["compare", LAMP, BAR],
    "compare --json": ["compare", LAMP, BAR, "--json"],
    "chromaticity": ["chromaticity", LAMP, BAR, "--bins", "samples/bins-nursery.toml"],
    "chromaticity of one": ["chromaticity", BAR],
    "chromaticity --json": ["chromaticity", LAMP, "--json"],
    "convert": ["convert", LAMP, "OUT/lamp.jdx"],
    "layout": ["layout", "samples/nursery/layout/two-shelves.txt"],
    "simulate": ["simulate"],
    "verify": ["verify"],
    "help": ["--help"],
    "help of a command": ["metrics", "--help"],
}

# verify alone computes with colour-science, which brings what it likes. For one scan a picture is printed, and plotext
# draws it; for more, and as JSON or CSV, it stays away.
BROUGHT = {
    "verify": {"colour", "scipy", "pandas", "matplotlib"},
    "rendition": {"plotext"},
    "chromaticity of one": {"plotext"},
}


@pytest.mark.parametrize("command", COMMANDS)
def test_headless_commands_load_nothing_heavy(command: str, tmp_path: Path) -> None:
    arguments = [word.replace("OUT", str(tmp_path)) for word in COMMANDS[command]]
    code = "sys.argv[0] = 'spectui'\nfrom spectui.cli.main import main\nraise SystemExit(main())"
    came, run = loaded(code, *arguments)
    assert run.returncode == 0, run.stderr.rsplit("LOADED", 1)[0]
    assert run.stdout.strip() or any(tmp_path.iterdir())
    assert not came.intersection(NEVER) - BROUGHT.get(command, set())


def test_no_metric_needs_a_heavy_package() -> None:
    """Compute every key on a white light, so that tables, reference lights and reasons are all at work."""
    code = (
        "import numpy, spectui\n"
        "from spectui.core.metrics import catalogue\n"
        f"scan = spectui.read({BAR!r})[0]\n"
        "found = spectui.metrics([scan])[0]\n"
        "assert set(found.values) == set(catalogue()) and found['rf'].value and found['ra'].value\n"
        "assert spectui.evaluate(scan.wavelength, scan.values)['melanopic_edi'] > 0\n"
        "assert spectui.rendition(scan)[0].rg\n"
    )
    came, run = loaded(code)
    assert run.returncode == 0, run.stderr.rsplit("LOADED", 1)[0]
    assert "numpy" in came and not came.intersection(NEVER)
