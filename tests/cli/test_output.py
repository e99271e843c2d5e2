"""Streams: what is closed, full, narrow or a terminal; one JSON document a call, errors included."""

import json
import os
import pty
import re
import subprocess
import sys

import pytest
from cli_spectra import write

from spectui.cli.main import main

PROGRAM = f"{sys.executable} -m spectui.cli.main"
ENV = {**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}


def shell(command, cwd, **env):
    return subprocess.run(["bash", "-c", command], capture_output=True, cwd=cwd, env={**ENV, **env})


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no /dev/full")
@pytest.mark.parametrize("words", ["metrics a.csv --json", "convert a.csv - --to tm27", "simulate --list"])
def test_a_full_disk_behind_standard_output_is_told(tmp_path, words):
    write(tmp_path / "a.csv")
    done = shell(f"{PROGRAM} {words} > /dev/full", tmp_path)
    assert done.returncode == 3 and done.stderr.decode().count("\n") == 1
    assert b"standard output: cannot be written" in done.stderr


def test_closed_streams(tmp_path):
    write(tmp_path / "a.csv")
    done = shell(f"{PROGRAM} metrics a.csv none.csv --json 2>&-", tmp_path)
    assert done.returncode == 3
    assert json.loads(done.stdout)["errors"] == [{"source": "none.csv", "message": "no such file or folder"}]
    done = shell(f"{PROGRAM} metrics - --json <&-", tmp_path)
    assert done.returncode == 3 and "empty" in json.loads(done.stdout)["errors"][0]["message"]
    assert shell(f"{PROGRAM} convert a.csv b.csv >&-", tmp_path).returncode == 0


def test_documents_are_utf8_whatever_the_locale(tmp_path):
    write(tmp_path / "a.csv", title="Bank µ 三")
    for form in ("csv", "tm27", "jcamp"):
        commands = (f"{PROGRAM} convert a.csv - --to {form}", f"{PROGRAM} convert a.csv b --to {form} --force; cat b")
        done, file = (shell(command, tmp_path, PYTHONIOENCODING="latin-1").stdout for command in commands)
        # A document may tell when it was made.
        assert re.sub(rb"\d\d:\d\d:\d\d", b"", done) == re.sub(rb"\d\d:\d\d:\d\d", b"", file)
        assert "Bank µ 三" in done.decode("utf-8")
    (tmp_path / "b.txt").write_text("Gerät;grau\n400;1\n410;2\n")
    done = shell(f"{PROGRAM} layout b.txt", tmp_path, PYTHONIOENCODING="latin-1")
    assert '"Gerät" = "instrument"' in done.stdout.decode("utf-8")


def test_an_odd_byte_of_a_path_leaves_the_rest_as_it_is(tmp_path):
    write(tmp_path / "a.csv", title="三")
    os.rename(tmp_path / "a.csv", os.fsencode(tmp_path) + b"/n\xff.csv")
    done = shell(f"{PROGRAM} metrics n*.csv --csv --metric ppfd", tmp_path, PYTHONUTF8="1")
    assert done.stdout.decode("utf-8").splitlines()[1].startswith("n\ufffd.csv,三,")


def test_no_control_character_reaches_a_terminal(tmp_path):
    write(tmp_path / "a.csv", title="a\x1b]0;x\x07\u202eb")
    ours, theirs = pty.openpty()
    words = [*PROGRAM.split(), "metrics", "a.csv", "--csv", "--metric", "ppfd"]
    subprocess.run(words, stdout=theirs, cwd=tmp_path, env=ENV, check=True)
    os.close(theirs)
    shown = os.read(ours, 10_000).decode()
    os.close(ours)
    assert "a\ufffd]0;x\ufffd\ufffdb" in shown


def test_a_line_break_of_a_path_makes_no_line_of_its_own(tmp_path, capsys):
    file = tmp_path / "a\nb.csv"
    file.write_text("# unit: W/m2/nm\n400,1\n410,x\n")
    assert main(["metrics", str(file)]) == 3
    assert capsys.readouterr().err.splitlines()[0].endswith("see `spectui layout FILE`")


@pytest.mark.parametrize(
    ("words", "code", "source"),
    [
        (["metrics", "a.csv", "--metric", "nope"], 2, None),
        (["metrics", "-", "-"], 2, None),
        (["compare", "none.csv", "a.csv"], 3, "none.csv"),
        (["compare", "a.csv"], 2, None),
        (["convert", "none.csv", "b.csv"], 3, "none.csv"),
        (["convert", "a.csv", "a.csv"], 3, "a.csv"),
        (["convert", "a.csv", "b.foo"], 2, None),
        (["layout", "none.csv"], 3, "none.csv"),
        (["layout"], 2, None),
        (["simulate", "--fixture", "nope"], 2, None),
    ],
)
def test_a_call_that_fails_answers_one_document_too(tmp_path, monkeypatch, capsys, words, code, source):
    write(tmp_path / "a.csv")
    monkeypatch.chdir(tmp_path)
    assert main([*words, "--json"]) == code
    out, err = capsys.readouterr()
    (error,) = json.loads(out)["errors"]
    assert error["source"] == source and error["message"] in err


def test_forms_exclude_each_other_and_fields_are_json_too(tmp_path, capsys):
    file = str(write(tmp_path / "a.csv"))
    for words in (["compare", file, file], ["metrics", file], ["simulate"]):
        with pytest.raises(SystemExit) as ended:
            main([*words, "--json", "--csv"])
        assert ended.value.code == 2
    capsys.readouterr()
    assert main(["layout", "--fields", "--json"]) == 0
    assert "first_line" in json.loads(capsys.readouterr().out)["fields"]


def test_a_layout_is_proposed_for_a_file_with_a_gap(tmp_path, capsys):
    (tmp_path / "a.dat").write_text("nm;value\n400;1\n410;\n420;2\n430;2\n")
    assert main(["layout", str(tmp_path / "a.dat")]) == 0
    out, err = capsys.readouterr()
    assert "first_line = 2" in out and "line 3: column 2" in err
