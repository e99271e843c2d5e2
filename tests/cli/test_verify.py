"""`spectui verify`: the contract's shape, exit codes, and the record as text."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from spectui.cli.main import main
from spectui.core.verify import published

pytest.importorskip("colour")
ROOT = Path(__file__).parents[2]
FIELDS = {"quantity", "source", "rule", "expected", "found", "tolerance", "ok"}


def test_json_is_the_contract_s(capsys):
    assert main(["verify", "--json"]) == 0
    out, err = capsys.readouterr()
    found = json.loads(out)
    assert {"checks", "ok"} <= set(found)
    assert found["ok"] is True and err == ""
    assert len(found["checks"]) >= 60
    for check in found["checks"]:
        assert set(check) == FIELDS | {"unit"}
        assert check["ok"] is True
        assert abs(check["found"] - check["expected"]) <= check["tolerance"]
    assert {"spectui", "numpy", "colour-science", "python", "platform"} == set(found["software"])


def test_text_is_a_record_with_a_line_for_each_check(capsys):
    assert main(["verify", "--json"]) == 0
    checks = json.loads(capsys.readouterr().out)["checks"]
    assert main(["verify"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[-1] == f"{len(checks)} checks, all hold"
    assert "numpy" in lines[-2] and "python" in lines[-2] and "platform" in lines[-2]
    assert "ISO/IEC 17025" in " ".join(lines[-6:]) and "not an instrument" in " ".join(" ".join(lines[-6:]).split())
    assert sum(line.endswith("  ok") for line in lines) == len(checks)
    assert any(line.startswith("source: colour-science 0.4.7, computed live") for line in lines)


def test_a_broken_number_fails_and_is_named(capsys, monkeypatch):
    one, *others = published.PHOTONS
    broken = one._replace(rows=(one.rows[0]._replace(expected="3.76172"), *one.rows[1:]))
    monkeypatch.setattr(published, "PHOTONS", (broken, *others))
    assert main(["verify"]) == 1
    out, err = capsys.readouterr()
    assert out.splitlines()[-1].endswith("checks, 1 does not hold: 1 J at 450 nm")
    assert [line.split()[:4] for line in out.splitlines() if line.endswith("  NO")] == [["1", "J", "at", "450"]]
    assert "1 J at 450 nm" in err
    assert main(["verify", "--json"]) == 1
    found = json.loads(capsys.readouterr().out)
    assert found["ok"] is False
    assert [c["quantity"] for c in found["checks"] if not c["ok"]] == ["1 J at 450 nm"]


def test_without_colour_science(capsys, monkeypatch):
    monkeypatch.setitem(sys.modules, "colour", None)
    assert main(["verify", "--json"]) == 1
    found = json.loads(capsys.readouterr().out)
    missing = [c for c in found["checks"] if not c["ok"]]
    assert found["ok"] is False and missing
    assert all(c["found"] is None and "cannot be imported" in c["unavailable"] for c in missing)
    assert main(["verify"]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert f"{len(missing)} not run: colour-science cannot be imported" in lines[-1]
    assert sum(line.endswith("not run") for line in lines) == len(missing)


def test_an_installation_with_one_wrong_row_in_a_table(tmp_path):
    """A copy of the package whose V(λ) is off by 1 % at 555 nm."""
    shutil.copytree(ROOT / "spectui", tmp_path / "spectui", ignore=shutil.ignore_patterns("__pycache__"))
    folder = tmp_path / "spectui" / "core" / "tables"
    photopic = folder / "photopic.csv"
    text = photopic.read_text(encoding="utf-8")
    assert "\n555,1\n" in text
    photopic.write_text(text.replace("\n555,1\n", "\n555,0.99\n"), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "spectui.cli.main", "verify", "--json"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 1, done.stderr
    wrong = {c["quantity"] for c in json.loads(done.stdout)["checks"] if not c["ok"]}
    assert {"V at 555 nm", "illuminance"} <= wrong
    assert "V at 555 nm" in done.stderr


def test_ascii_of_a_plain_terminal(monkeypatch):
    done = subprocess.run(
        [sys.executable, "-m", "spectui.cli.main", "verify"],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "ascii"},
        capture_output=True,
        timeout=120,
    )
    assert done.returncode == 0
    assert b"?" not in done.stdout


def test_a_word_too_many_is_a_usage_error():
    with pytest.raises(SystemExit) as stop:
        main(["verify", "--jsn"])
    assert stop.value.code == 2
