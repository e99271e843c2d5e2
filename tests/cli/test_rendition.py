"""`spectui rendition`: the contract's shape, reasons, exit codes, and the same numbers on every face."""

import csv
import io
import json

import numpy as np
import pytest
from cli_spectra import write

import spectui
from spectui.cli.main import main
from spectui.core.rendition import KEYS
from spectui.report.numbers import number


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def run(capsys, *words):
    code = main(["rendition", *map(str, words)])
    out, err = capsys.readouterr()
    return code, out, err


def far_red(path):
    """A made-up 730 nm diode."""
    nm = np.arange(380, 801)
    lines = [f"{x},{y!r}" for x, y in zip(nm.tolist(), np.exp(-0.5 * ((nm - 730) / 15) ** 2).tolist(), strict=True)]
    path.write_text("# title: far red\n# unit: W/m2/nm\n" + "\n".join(lines) + "\n")
    return path


def test_json_has_the_shape_of_the_contract(tmp_path, capsys):
    white, dark = write(tmp_path / "a.csv"), far_red(tmp_path / "b.csv")
    code, out, err = run(capsys, white, dark, "--json")
    assert (code, err) == (0, "")
    found = json.loads(out)
    assert set(found) == {"scans", "errors"} and found["errors"] == []
    a, b = found["scans"]
    for scan in (a, b):
        assert list(scan) == ["source", "cct", "duv", "ra", "r", "rf", "rg", "hue_bins", "unavailable"]
        assert (len(scan["r"]), [h["bin"] for h in scan["hue_bins"]]) == (14, list(range(1, 17)))
        assert set(scan["hue_bins"][0]) == {"bin", "local_fidelity", "chroma_shift_percent", "hue_shift"}
    assert [a["source"], b["source"]] == [str(white), str(dark)]
    assert a["unavailable"] is None and a["rf"] > 50
    assert b["cct"] is b["ra"] is b["rf"] is b["r"][8] is b["hue_bins"][0]["hue_shift"] is None
    assert b["unavailable"].startswith("too little visible light")
    assert [r.as_dict() for r in spectui.rendition(spectui.read(white) + spectui.read(dark))] == [a, b]


def test_the_numbers_are_those_of_metrics(tmp_path, capsys):
    file = write(tmp_path / "a.csv")
    (scan,) = json.loads(run(capsys, file, "--json")[1])["scans"]
    assert main(["metrics", str(file), "--json"]) == 0
    (whole,) = json.loads(capsys.readouterr().out)["scans"]
    value = {key: whole["metrics"][key]["value"] for key in KEYS}
    assert [scan[k] for k in ("cct", "duv", "ra", "rf", "rg")] == pytest.approx(
        [value[k] for k in ("cct", "duv", "ra", "rf", "rg")]
    )
    assert scan["r"] == pytest.approx([value[f"r{k}"] for k in range(1, 15)])
    for k, found in enumerate(scan["hue_bins"], 1):
        assert list(found.values())[1:] == pytest.approx([value[f"{word}_h{k}"] for word in ("rf", "rcs", "rhs")])


def test_text_csv_and_json_show_the_same_numbers(tmp_path, capsys):
    files = [write(tmp_path / "a.csv", title="one"), far_red(tmp_path / "b.csv")]
    scans = json.loads(run(capsys, *files, "--json")[1])["scans"]
    rows = list(csv.DictReader(io.StringIO(run(capsys, *files, "--csv")[1])))
    assert list(rows[0])[:5] == ["source", "title", "taken_at", "cct [K]", "duv [1]"]
    for row, scan in zip(rows, scans, strict=True):
        assert (float(row["ra [1]"]) if row["ra [1]"] else None) == scan["ra"]
        assert (float(row["r9 [1]"]) if row["r9 [1]"] else None) == scan["r"][8]
        assert (float(row["rcs_h3 [%]"]) if row["rcs_h3 [%]"] else None) == scan["hue_bins"][2]["chroma_shift_percent"]
    one, dark = run(capsys, *files)[1].splitlines()[2:]
    a = scans[0]
    assert one.split("  ")[0] == "one"
    for value in (a["cct"], a["duv"], a["ra"], a["r"][8], a["rf"], a["rg"]):
        assert number(value) in one
    assert scans[1]["unavailable"] in dark
    alone = run(capsys, files[0])[1]
    for value in (*a["r"], *(v for h in a["hue_bins"] for v in list(h.values())[1:])):
        assert number(value) in alone
    assert alone.splitlines()[0] == "one" and "hue bin" in alone


def test_a_scan_without_rendition_says_why_in_words(tmp_path, capsys):
    code, out, _ = run(capsys, far_red(tmp_path / "b.csv"))
    assert code == 0
    assert "not available: too little visible light" in out and "hue bin" not in out


def test_a_broken_file_never_hides_the_others_and_exits_3(tmp_path, capsys):
    good, bad = write(tmp_path / "a.csv"), tmp_path / "bad.csv"
    bad.write_text("# unit: W/m2/nm\n400,1\n401,nan\n402,1\n")
    code, out, err = run(capsys, tmp_path, "--json")
    found = json.loads(out)
    assert code == 3 and str(bad) in err
    assert [s["source"] for s in found["scans"]] == [str(good)]
    assert [e["source"] for e in found["errors"]] == [str(bad)]


def test_a_folder_without_scans_is_told(tmp_path, capsys):
    code, out, err = run(capsys, tmp_path)
    assert (code, out) == (0, "") and "no scan" in err


def test_relative_scans_have_a_rendition_and_counts_none(tmp_path, capsys):
    relative, counts = write(tmp_path / "a.csv", unit=None), write(tmp_path / "b.csv", unit="counts", scale=1e4)
    a, b = json.loads(run(capsys, relative, counts, "--json")[1])["scans"]
    assert a["unavailable"] is None and a["ra"] is not None
    assert b["ra"] is None and "counts" in b["unavailable"]
