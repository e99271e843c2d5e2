"""`spectui chromaticity`: the shape of the contract, exit codes, counts, and the same numbers on every face."""

from __future__ import annotations

import csv
import io
import json
import os
import subprocess
import sys

import numpy as np
import pytest
from cli_spectra import write

from spectui.cli.main import main
from spectui.files import bins as form
from spectui.places import samples
from spectui.report.numbers import number

KEYS = ["source", "x", "y", "u_prime", "v_prime", "cct", "duv", "nominal_cct", "steps", "bin", "unavailable"]
BARS, LAMPS, BINS = (str(samples() / name) for name in ("nursery/bars", "nursery/lamps", "bins-nursery.toml"))


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def run(capsys, *words):
    code = main(["chromaticity", *map(str, words)])
    out, err = capsys.readouterr()
    return code, out, err


def as_json(capsys, *words):
    code, out, _ = run(capsys, *words, "--json")
    return code, json.loads(out)


def test_json_has_the_shape_of_the_contract(tmp_path, capsys):
    file = write(tmp_path / "a.csv")
    code, document = as_json(capsys, file)
    assert code == 0
    assert list(document) == ["scans", "errors"] and document["errors"] == []
    (scan,) = document["scans"]
    assert [key for key in scan if key != "steps_from"] == KEYS
    assert scan["source"] == str(file)
    assert scan["bin"] is None and scan["unavailable"] is None
    assert all(isinstance(scan[key], float) for key in KEYS[1:7])
    # By hand: CIE 15.
    below = -2 * scan["x"] + 12 * scan["y"] + 3
    assert scan["u_prime"] == pytest.approx(4 * scan["x"] / below, rel=1e-12)
    assert scan["v_prime"] == pytest.approx(9 * scan["y"] / below, rel=1e-12)


def test_the_metrics_command_has_the_same_numbers(capsys):
    _, document = as_json(capsys, BARS, LAMPS)
    assert main(["metrics", BARS, LAMPS, "--json", "--metric", "x,y,u_prime,v_prime,cct,duv"]) == 0
    metrics = json.loads(capsys.readouterr().out)["scans"]
    assert len(metrics) == len(document["scans"]) == 9
    for scan, other in zip(document["scans"], metrics, strict=True):
        for key, value in other["metrics"].items():
            assert scan[key] == (value["value"] and pytest.approx(value["value"], rel=1e-12))


def test_the_counts_are_those_of_the_scans(capsys):
    code, document = as_json(capsys, BARS, LAMPS, samples() / "nursery/flags/low-signal.csv", "--bins", BINS)
    assert code == 0
    assert list(document) == ["scans", "bins", "errors"]
    bins = document["bins"]
    assert list(bins)[-2:] == ["outside", "not available"]
    found = [scan["bin"] or "not available" for scan in document["scans"]]
    assert {name: found.count(name) for name in bins} == bins
    assert sum(bins.values()) == len(found) == 10
    # The samples are invented; where they lie in the invented table: worked out by eye from x, y, CCT and PPFD.
    assert {name: n for name, n in bins.items() if n} == {
        "white core 1": 1,
        "white 2": 1,
        "warm 1": 2,
        "day 1": 1,
        "orange 1": 1,
        "outside": 3,
        "not available": 1,
    }


def test_text_csv_and_json_show_the_same(capsys):
    words = (BARS, LAMPS, samples() / "nursery/flags/unit-unsaid.csv", "--bins", BINS)
    _, document = as_json(capsys, *words)
    rows = list(csv.DictReader(io.StringIO(run(capsys, *words, "--csv")[1])))
    text = run(capsys, *words)[1].splitlines()
    assert len(rows) == len(document["scans"])
    for row, scan, line in zip(rows, document["scans"], text[2:], strict=False):
        assert row["source"] == scan["source"]
        assert line.startswith(row["title"])
        cells = line.removeprefix(row["title"]).split()
        expected = [number(scan[key]).replace("\u2009", " ") for key in ("x", "y", "cct", "duv")]
        expected += ["–" if scan["cct"] is None else str(scan["nominal_cct"] or "none")]
        expected += [number(scan["steps"]), str(scan["steps_from"] or "–"), scan["bin"] or "–"]
        assert " ".join(cells) == " ".join(" ".join(expected).split()), line
        for key in KEYS[1:9]:
            unit = {"cct": "K", "nominal_cct": "K"}.get(key, "1")
            cell = row[f"{key} [{unit}]"]
            assert (float(cell) if cell else None) == scan[key]
        assert (row["bin"] or None, row["unavailable"] or None) == (scan["bin"], scan["unavailable"])
    at = text.index("Bins: invented bins for the white bars and the lamps")
    counted = {line[:14].strip(): int(line[14:]) for line in text[at + 1 :]}
    assert counted == document["bins"]
    assert text[at - 2] == "not available: Relative scan: class 1 needs ppfd: relative scan: it has no absolute unit"


TRAPS = {
    "far-red.csv": (lambda nm: np.exp(-0.5 * ((nm - 730) / 9) ** 2), "too little visible light"),
    "purple.csv": (
        lambda nm: np.exp(-0.5 * ((nm - 450) / 9) ** 2) + np.exp(-0.5 * ((nm - 660) / 9) ** 2),
        "too far from white",
    ),
    "uv.csv": (lambda nm: np.exp(-0.5 * ((nm - 365) / 6) ** 2), "too little visible light"),
    "zeros.csv": (lambda nm: 0 * nm, "does not add up to more than zero"),
}


def test_traps_have_no_class_and_say_why(tmp_path, capsys):
    nm = np.arange(320.0, 781.0)
    for name, (light, _) in TRAPS.items():
        rows = "".join(f"{a:g},{b!r}\n" for a, b in zip(nm, light(nm).tolist(), strict=True))
        (tmp_path / name).write_text(f"# title: {name}\n# unit: W/m2/nm\n{rows}")
    code, document = as_json(capsys, tmp_path, "--bins", BINS)
    assert code == 0 and len(document["scans"]) == len(TRAPS)
    for scan in document["scans"]:
        name = os.path.basename(scan["source"])
        assert TRAPS[name][1] in scan["unavailable"]
        assert scan["cct"] is scan["duv"] is scan["nominal_cct"] is scan["steps"] is None
        assert (scan["x"] is not None) == (name == "purple.csv") == (scan["bin"] == "outside")
    text = run(capsys, tmp_path)[1]
    assert "not available: far-red.csv · uv.csv: too little visible light" in text
    assert "Bins" not in text


def test_many_scans_without_a_colour_make_no_endless_line(tmp_path, capsys):
    for k in range(9):
        (tmp_path / f"{k}.csv").write_text(f"# title: dark {k}\n# unit: W/m2/nm\n380,0\n780,0\n")
    text = run(capsys, tmp_path)[1]
    assert "not available: dark 0 · dark 1 · dark 2 · dark 3 and 5 more: the light does not" in text


def test_readings_of_a_series_have_their_index(capsys):
    _, document = as_json(capsys, samples() / "nursery/morning")
    assert [scan["index"] for scan in document["scans"]] == list(range(12))


def test_a_broken_file_never_hides_the_others_and_exits_3(tmp_path, capsys):
    good, bad = write(tmp_path / "a.csv"), tmp_path / "bad.csv"
    bad.write_text("# unit: W/m2/nm\n400,1\n401,nan\n402,1\n")
    code, out, err = run(capsys, tmp_path, "--json", "--bins", BINS)
    document = json.loads(out)
    assert code == 3
    assert [scan["source"] for scan in document["scans"]] == [str(good)]
    assert [error["source"] for error in document["errors"]] == [str(bad)] and str(bad) in err
    assert sum(document["bins"].values()) == 1


def test_nothing_found(tmp_path, capsys):
    assert run(capsys, tmp_path) == (0, "", "no scan found\n")
    assert as_json(capsys, tmp_path)[1] == {"scans": [], "errors": []}
    assert run(capsys, tmp_path, "--csv")[1].count("\n") == 1
    assert run(capsys, tmp_path / "no.csv")[0] == 3


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ('[[bin]]\nname = "W"\nstepz = 3\n', "line 3: bin 'W': unknown key 'stepz': did you mean 'steps'?"),
        ('[[bin]]\nname = "W"\n', "expected a shape"),
        ("[[bin]\n", "no TOML"),
        (None, "expected a file of bins"),
    ],
)
def test_malformed_bins_exit_2_before_anything_is_read(tmp_path, capsys, content, told):
    bins = tmp_path / "bins.toml"
    if content is not None:
        bins.write_text(content)
    code, out, err = run(capsys, tmp_path / "no.csv", "--bins", bins)
    assert (code, out) == (2, "")
    assert str(bins) in err and told in err and "no.csv" not in err


def test_no_path_is_a_usage_error_and_fields_explains_the_file(capsys):
    assert run(capsys)[0] == 2
    code, out, _ = run(capsys, "--fields")
    assert code == 0 and out.strip() == form.__doc__.strip()


def test_a_metric_of_ones_own_in_the_bins(tmp_path, capsys):
    action, bins = tmp_path / "leaf.csv", tmp_path / "bins.toml"
    action.write_text("# name: leaf\n# source: invented\n# per: photon\n400,1\n700,1\n")
    bins.write_text('[[bin]]\nname = "lit"\naction_leaf = [0.001, inf]\n')
    file = write(tmp_path / "a.dat")
    assert run(capsys, file, "--bins", bins)[0] == 2
    code, document = as_json(capsys, file, "--bins", bins, "--action", action)
    assert code == 0 and document["bins"]["lit"] == 1


def test_names_and_titles_of_files_are_shown_safely(tmp_path, capsys):
    file, bins = write(tmp_path / "a.csv", title="be\x1b[31mll"), tmp_path / "bins.toml"
    bins.write_text('title = "\\u001b[2J"\n[[bin]]\nname = "\\u001b]0;x\\u0007"\ncct = [0, inf]\n')
    code, out, _ = run(capsys, file, "--bins", bins)
    assert code == 0 and "\x1b" not in out and "\x07" not in out
    assert "\ufffd]0;x\ufffd" in out


def test_ascii_where_the_terminal_has_no_more(tmp_path):
    env = {**os.environ, "PYTHONIOENCODING": "ascii", "XDG_CONFIG_HOME": str(tmp_path)}
    words = [sys.executable, "-m", "spectui.cli.main", "chromaticity", BARS, "--bins", BINS]
    done = subprocess.run(words, capture_output=True, env=env, timeout=60)
    assert done.returncode == 0, done.stderr
    lines = done.stdout.decode("ascii").splitlines()
    assert "-0.005378" in lines[6] and "?" not in done.stdout.decode()
