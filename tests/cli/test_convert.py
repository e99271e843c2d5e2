"""`spectui convert`: formats by extension or --to, no overwrite, what is lost is said."""

import json

import pytest
from cli_spectra import write

import spectui
from spectui.cli.main import main


@pytest.mark.parametrize("name", ["b.csv", "b.tsv", "b.txt", "b.spdx", "b.xml", "b.jdx", "b.dx"])
def test_every_extension_comes_back_the_same(tmp_path, capsys, name):
    file = write(tmp_path / "a.csv", title="White", taken_at="2026-03-14T09:12", distance_m="0.3")
    assert main(["convert", str(file), str(tmp_path / name), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"written": str(tmp_path / name), "notes": []}
    (before,), (after,) = spectui.read(file), spectui.read(tmp_path / name)
    assert (before.wavelength == after.wavelength).all() and (before.values == after.values).all()
    assert dict(before.meta) == dict(after.meta)


def test_nothing_is_overwritten_without_force(tmp_path, capsys):
    file, out = write(tmp_path / "a.csv"), tmp_path / "b.csv"
    out.write_text("mine")
    assert main(["convert", str(file), str(out)]) == 3
    assert "--force" in capsys.readouterr().err
    assert out.read_text() == "mine"
    assert main(["convert", str(file), str(out), "--force"]) == 0
    assert out.read_text() != "mine"


def test_an_unknown_extension_and_a_pipe_need_to(tmp_path, capsys):
    file = write(tmp_path / "a.csv")
    assert main(["convert", str(file), str(tmp_path / "b.dat")]) == 2
    assert "--to" in capsys.readouterr().err
    assert main(["convert", str(file), "-"]) == 2
    capsys.readouterr()
    assert main(["convert", str(file), "-", "--to", "jcamp"]) == 0
    assert capsys.readouterr().out.startswith("##TITLE=")


def test_what_a_format_cannot_hold_is_said_on_stderr(tmp_path, capsys):
    file = tmp_path / "a.csv"
    file.write_text("wavelength,value [W/m2/nm],expanded_uncertainty\n400,1,0.1\n401,2,0.1\n402,1,0.1\n")
    assert main(["convert", str(file), str(tmp_path / "b.spdx")]) == 0
    out, err = capsys.readouterr()
    assert out == "" and "uncertainty" in err
