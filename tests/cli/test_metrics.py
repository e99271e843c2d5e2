"""`spectui metrics`: the shapes of DESIGN's contract, exit codes, and the same numbers on every face."""

import csv
import io
import json

import pytest
from cli_spectra import write

from spectui.cli.main import main
from spectui.core.metrics import catalogue
from spectui.report.numbers import number


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def run(capsys, *words):
    code = main(list(map(str, words)))
    out, err = capsys.readouterr()
    return code, out, err


def test_json_has_the_shape_of_the_contract(tmp_path, capsys):
    file = write(tmp_path / "a.csv", title="White", taken_at="2026-03-14T09:12+01:00")
    code, out, err = run(capsys, "metrics", file, "--json")
    assert (code, err) == (0, "")
    document = json.loads(out)
    assert set(document) == {"scans", "errors"}
    assert document["errors"] == []
    (scan,) = document["scans"]
    assert {k: scan[k] for k in ("source", "title", "taken_at", "range_nm", "unit")} == {
        "source": str(file),
        "title": "White",
        "taken_at": "2026-03-14T09:12+01:00",
        "range_nm": [380.0, 800.0],
        "unit": "W/m2/nm",
    }
    assert list(scan["metrics"]) == list(catalogue())
    for value in scan["metrics"].values():
        assert set(value) - {"note"} == {"value", "unit", "expanded_uncertainty", "unavailable"}
        assert (value["value"] is None) == (value["unavailable"] is not None)
    assert [f for f in scan["flags"] if set(f) != {"code", "rank", "message"}] == []


def test_text_csv_and_json_show_the_same_numbers(tmp_path, capsys):
    files = [write(tmp_path / "a.csv", title="one"), write(tmp_path / "b.csv", title="two", scale=0.7)]
    scans = json.loads(run(capsys, "metrics", *files, "--json")[1])["scans"]
    rows = list(csv.DictReader(io.StringIO(run(capsys, "metrics", *files, "--csv")[1])))
    assert len(rows) == len(scans) == 2
    for row, scan in zip(rows, scans, strict=True):
        for key, value in scan["metrics"].items():
            cell = row[f"{key} [{value['unit']}]"]
            assert (float(cell) if cell else None) == value["value"]
    for file, scan in zip(files, scans, strict=True):
        text = run(capsys, "metrics", file)[1]
        for key, value in scan["metrics"].items():
            if catalogue()[key].part:  # R1 and the hue bins would flood the text
                continue
            line = next(x for x in text.splitlines() if x.startswith(catalogue()[key].name + "  "))
            assert (number(value["value"]) if value["value"] is not None else value["unavailable"]) in line


def test_a_broken_file_never_hides_the_others_and_exits_3(tmp_path, capsys):
    good, bad = write(tmp_path / "a.csv"), tmp_path / "bad.csv"
    bad.write_text("# unit: W/m2/nm\n400,1\n401,nan\n402,1\n")
    code, out, err = run(capsys, "metrics", tmp_path, "--json")
    document = json.loads(out)
    assert code == 3
    assert [s["source"] for s in document["scans"]] == [str(good)]
    (error,) = document["errors"]
    assert error["source"] == str(bad)
    assert "line 3" in error["message"] and "--skip-gaps" in error["message"]
    assert str(bad) in err
    code, out, err = run(capsys, "metrics", tmp_path, "--json", "--skip-gaps")
    assert code == 0
    assert "gaps_skipped" in {f["code"] for f in json.loads(out)["scans"][1]["flags"]}


def test_hours_before_the_files_own(tmp_path, capsys):
    file = write(tmp_path / "a.csv", photoperiod_h="16")

    def dli(*words):
        return json.loads(run(capsys, "metrics", file, "--metric", "ppfd,dli", "--json", *words)[1])["scans"][0][
            "metrics"
        ]

    found = dli()
    assert list(found) == ["ppfd", "dli"]
    assert found["dli"]["value"] == pytest.approx(found["ppfd"]["value"] * 16 * 0.0036, rel=1e-12)
    found = dli("--hours", "12")
    assert found["dli"]["value"] == pytest.approx(found["ppfd"]["value"] * 12 * 0.0036, rel=1e-12)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--metric", "ppdf"], "did you mean 'ppfd'"),
        (["--unit", "W/m2"], "unknown unit"),
        (["--metric", ","], "expected metric keys"),
    ],
)
def test_usage_errors_exit_2_and_say_what_was_expected(tmp_path, capsys, words, told):
    code, out, err = run(capsys, "metrics", write(tmp_path / "a.csv", unit=None), *words)
    assert (code, out) == (2, "")
    assert told in err


def test_a_unit_that_is_assigned(tmp_path, capsys):
    file = write(tmp_path / "a.csv", unit=None)
    relative = json.loads(run(capsys, "metrics", file, "--json")[1])["scans"][0]
    assert relative["unit"] == "relative"
    assert relative["metrics"]["ppfd"]["value"] is None
    assert "relative" in relative["metrics"]["ppfd"]["unavailable"]
    assert relative["metrics"]["share_blue"]["value"] > 0
    assigned = json.loads(run(capsys, "metrics", file, "--json", "--unit", "mW m⁻² nm⁻¹")[1])["scans"][0]
    declared = json.loads(run(capsys, "metrics", write(tmp_path / "b.csv"), "--json")[1])["scans"][0]
    assert assigned["metrics"]["ppfd"]["value"] == pytest.approx(declared["metrics"]["ppfd"]["value"] / 1000, rel=1e-12)
    assert assigned["metrics"]["share_blue"]["value"] == pytest.approx(
        relative["metrics"]["share_blue"]["value"], rel=1e-12
    )


def test_an_action_spectrum_of_the_users_own(tmp_path, capsys):
    file = write(tmp_path / "a.csv")
    action = tmp_path / "flat.csv"
    action.write_text("# name: flat\n# source: invented for this test\n# per: photon\n400,1\n700,1\n")
    found = json.loads(run(capsys, "metrics", file, "--json", "--action", action)[1])["scans"][0]["metrics"]
    assert found["action_flat"]["value"] == pytest.approx(found["ppfd"]["value"], rel=1e-12)
    kept = tmp_path / "config" / "spectui" / "actions"
    kept.mkdir(parents=True)
    action.rename(kept / "flat.csv")
    again = json.loads(run(capsys, "metrics", file, "--json")[1])["scans"][0]["metrics"]
    assert again["action_flat"] == found["action_flat"]


def test_limits_of_doubt_are_the_users_to_set(tmp_path, capsys):
    file = write(tmp_path / "a.csv", taken_at="2026-03-14T10:00", dark_taken_at="2026-03-14T09:13")

    def doubts():
        code, out, err = run(capsys, "metrics", file, "--json")
        if code:
            return code, err
        return code, [f["code"] for f in json.loads(out)["scans"][0]["flags"] if f["rank"] == "doubt"]

    assert doubts() == (0, ["dark_old"])
    settings = tmp_path / "config" / "spectui"
    settings.mkdir(parents=True)
    (settings / "limits.toml").write_text("dark_age_min = 60\n")
    assert doubts() == (0, [])
    (settings / "limits.toml").write_text("dark_age = 60\n")
    code, told = doubts()
    assert code == 2 and "did you mean 'dark_age_min'" in told


def test_control_characters_of_a_file_never_reach_the_terminal(tmp_path, capsys):
    file = write(tmp_path / "a.csv", title="bad\x1b[31m title", place="\x07bell")
    for words in ([file], [file, file]):
        out = run(capsys, "metrics", *words)[1]
        assert "\x1b" not in out and "\x07" not in out
        assert "bad\ufffd[31m title" in out


def test_a_text_leaves_parts_of_long_rows_out_unless_asked(tmp_path, capsys):
    file = write(tmp_path / "a.csv")
    text = run(capsys, "metrics", file)[1]
    names = {line.split("  ")[0] for line in text.splitlines()}
    assert {"Ra", "R9", "Rf", "Rg", "CCT"} <= names and not names & {"R1", "R10", "rf_h1", "rcs_h16"}
    text = run(capsys, "metrics", file, "--metric", "r1,rf_h1")[1]
    assert {"R1", "rf_h1"} <= {line.split("  ")[0] for line in text.splitlines()}
    pair = run(capsys, "compare", file, file)[1]
    assert "\nRf " in pair and "rf_h1" not in pair and "\nR1 " not in pair
