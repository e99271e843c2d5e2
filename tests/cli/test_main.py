"""The first word, the options' traps, exit codes and help."""

import json
import os
import subprocess
import sys

import pytest
from cli_spectra import write

from spectui.cli.main import COMMANDS, main


def spectui(*words, cwd=None, stdin=None, env=None):
    return subprocess.run(
        [sys.executable, "-m", "spectui.cli.main", *map(str, words)],
        capture_output=True, text=True, cwd=cwd, input=stdin,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p), **(env or {})},
    )  # fmt: skip


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_helps_with_an_example(name, capsys):
    with pytest.raises(SystemExit) as ended:
        main([name, "--help"])
    assert ended.value.code == 0
    out = capsys.readouterr().out
    assert "Example" in out and f"spectui {name}" in out and "--json" in out


def test_help_names_every_command(capsys):
    assert main(["--help"]) == 0
    out = capsys.readouterr().out
    assert all(f"\n  {name}" in out for name in COMMANDS)


def test_abbreviated_options_are_refused(tmp_path):
    done = spectui("metrics", write(tmp_path / "a.csv"), "--metr", "ppfd")
    assert done.returncode == 2 and done.stdout == ""


def test_options_stand_anywhere(tmp_path):
    a, b = write(tmp_path / "a.csv"), write(tmp_path / "b.csv")
    done = spectui("metrics", a, "--json", b, "--metric", "ppfd")
    assert done.returncode == 0 and len(json.loads(done.stdout)["scans"]) == 2


def test_standard_input_is_a_scan(tmp_path):
    text = write(tmp_path / "a.csv").read_text()
    done = spectui("metrics", "-", "--json", stdin=text)
    assert done.returncode == 0 and json.loads(done.stdout)["scans"][0]["source"] == "-"


def test_the_screen_needs_a_terminal(tmp_path):
    for env in ({}, {"TERM": "dumb"}):
        done = spectui(tmp_path, env=env)
        assert (done.returncode, done.stdout) == (2, "")
        assert "spectui metrics PATH" in done.stderr and "spectui --help" in done.stderr
        assert done.stderr.count("\n") == 1


def test_a_missing_file_is_named(tmp_path):
    done = spectui("metrics", tmp_path / "none.csv", "--json")
    assert done.returncode == 3
    assert json.loads(done.stdout)["errors"][0]["source"] == str(tmp_path / "none.csv")


def test_a_pipe_that_closes_early_is_no_failure(tmp_path):
    write(tmp_path / "a.csv")
    for k in range(300):
        os.link(tmp_path / "a.csv", tmp_path / f"b{k}.csv")
    program = f"{sys.executable} -m spectui.cli.main metrics {tmp_path} --json"
    command = f"{program} | head -c 100 > /dev/null; echo ${{PIPESTATUS[0]}}"
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, env=env)
    assert (done.stdout.strip(), done.stderr) == ("0", "")


def test_a_terminal_without_unicode_gets_ascii(tmp_path):
    done = spectui(
        "metrics", write(tmp_path / "a.csv", title="Wärme"), env={"PYTHONIOENCODING": "ascii", "LC_ALL": "C"}
    )
    assert done.returncode == 0 and done.stdout.isascii()
    assert "PPFD" in done.stdout and "umol m-2 s-1" in done.stdout
