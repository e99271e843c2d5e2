"""`spectui compare`: the contract's shape, differences by hand, fairness first."""

import json

import pytest
from cli_spectra import write

from spectui.cli.main import main


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def compared(capsys, *words):
    code = main(["compare", *map(str, words), "--json"])
    return code, json.loads(capsys.readouterr().out)


def test_a_tenth_less_light_by_hand(tmp_path, capsys):
    a, b = write(tmp_path / "a.csv", distance_m="0.3"), write(tmp_path / "b.csv", scale=0.9, distance_m="0.30")
    code, found = compared(capsys, a, b)
    assert code == 0
    assert set(found) == {"scale", "sources", "conditions", "metrics", "bands"}
    assert found["sources"] == [str(a), str(b)]
    assert "distance_m" not in {c["key"] for c in found["conditions"]}  # 0.3 and 0.30 are one distance
    assert {"key": "lit_minutes", "values": [None, None]} in found["conditions"]
    ppfd = found["metrics"]["ppfd"]
    assert ppfd["difference"] == [0.0, pytest.approx(-0.1 * ppfd["values"][0])]
    assert ppfd["percent"] == [0.0, pytest.approx(-10.0)]
    assert ppfd["exceeds_uncertainty"] == [None, None]
    assert found["metrics"]["share_blue"]["difference"][1] == pytest.approx(0.0, abs=1e-9)
    assert [b["band"] for b in found["bands"]] == ["uv", "blue", "green", "red", "far_red", "far_red_par"]
    for band in found["bands"]:
        assert band["values"] == found["metrics"][f"pfd_{band['band']}"]["values"]
    uv = found["bands"][0]
    assert uv["values"] == [None, None] and uv["difference"] == [None, None]
    assert all("280-400" in reason for reason in uv["unavailable"])


@pytest.mark.parametrize(("scale", "key"), [("ppfd", "ppfd"), ("peak", None)])
def test_scaled_to_the_reference(tmp_path, capsys, scale, key):
    a, b, c = (write(tmp_path / f"{k}.csv", scale=s) for k, s in zip("abc", (1, 0.5, 3), strict=True))
    code, found = compared(capsys, a, b, c, "--scale", scale)
    assert (code, found["scale"]) == (0, scale)
    assert found["metrics"]["ppfd"]["percent"] == pytest.approx([0, 0, 0], abs=1e-9)


def test_a_relative_scan_is_compared_once_it_is_scaled(tmp_path, capsys):
    a, b = write(tmp_path / "a.csv"), write(tmp_path / "b.csv", scale=70, unit=None)
    _, found = compared(capsys, a, b)
    assert found["metrics"]["ppfd"]["values"][1] is None
    assert "relative" in found["metrics"]["ppfd"]["unavailable"][1]
    _, found = compared(capsys, a, b, "--scale", "ppfd")
    assert found["metrics"]["pfd_blue"]["percent"][1] == pytest.approx(0, abs=1e-9)


def test_one_scan_is_no_comparison(tmp_path, capsys):
    assert main(["compare", str(write(tmp_path / "a.csv"))]) == 2
    assert "two or more" in capsys.readouterr().err


def test_text_says_conditions_before_numbers(tmp_path, capsys):
    a = write(tmp_path / "a.csv", title="new", ambient="dark")
    b = write(tmp_path / "b.csv", title="aged", ambient="dusk", scale=0.8)
    assert main(["compare", str(a), str(b)]) == 0
    out = capsys.readouterr().out
    assert out.index("ambient") < out.index("Bands") < out.index("Metrics")
    line = next(x for x in out.splitlines() if x.startswith("blue 400-500"))
    assert line.endswith("−20")
