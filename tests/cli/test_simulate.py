"""`spectui simulate`: the same seed gives the same bytes, and what it prints is read back as it was meant."""

from __future__ import annotations

import json

import numpy as np
import pytest

from spectui.cli.main import main
from spectui.cli.simulate import fixtures
from spectui.core.metrics import metrics
from spectui.core.quality import trust
from spectui.files.read import read, read_bytes

AT = "2026-11-05T08:30:00+01:00"


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(["simulate", "--taken-at", AT, *words]) == 0
    return capsys.readouterr().out


def ppfd(text: str) -> float:
    scan = read_bytes(text.encode(), "-")[0]
    value = metrics(scan, ["ppfd"])[0]["ppfd"].value
    assert value is not None
    return value


def test_a_seed_gives_the_same_bytes_and_another_seed_others(capsys):
    first = printed(capsys, "--seed", "7")
    assert printed(capsys, "--seed", "7") == first
    assert printed(capsys, "--seed", "8") != first
    assert printed(capsys) != printed(capsys)


@pytest.mark.parametrize("name", sorted(fixtures()))
def test_every_fixture_reads_back_near_its_sample_and_is_trusted(capsys, name):
    text = printed(capsys, "--fixture", name, "--seed", "1")
    sample = metrics(read(fixtures()[name]), ["ppfd"])[0]["ppfd"].value
    assert ppfd(text) == pytest.approx(sample, rel=2e-3)
    result = metrics(read_bytes(text.encode(), "-"))[0]
    assert trust(result.flags) == "trust ok"
    assert result.scan.taken_at == AT
    assert "no measurement" in result.scan.meta["notes"]


def test_level_scales_the_light_and_the_dim_level(capsys):
    whole = ppfd(printed(capsys, "--noise", "0"))
    text = printed(capsys, "--noise", "0", "--level", "40")
    assert ppfd(text) == pytest.approx(0.4 * whole, rel=1e-9)
    assert read_bytes(text.encode(), "-")[0].meta["dim_percent"] == "40"


@pytest.mark.parametrize("unit", ["umol/m2/s/nm", "mW/m2/nm", "uW/cm2/nm", "W/m2/um"])
def test_a_unit_of_light_changes_the_numbers_and_not_the_light(capsys, unit):
    plain = printed(capsys, "--seed", "2")
    other = printed(capsys, "--seed", "2", "--unit", unit)
    assert other != plain
    assert f"# unit: {unit}\n" in other
    assert ppfd(other) == pytest.approx(ppfd(plain), rel=1e-12)


def test_counts_are_whole_and_below_full_scale(capsys):
    scan = read_bytes(printed(capsys, "--unit", "counts", "--seed", "2").encode(), "-")[0]
    assert scan.unit == "counts"
    assert (scan.values == np.round(scan.values)).all()
    assert 0.7 * 65535 < scan.values.max() < 0.9 * 65535
    assert scan.meta["full_scale_counts"] == "65535"


def test_relative_peaks_at_one(capsys):
    scan = read_bytes(printed(capsys, "--unit", "relative", "--noise", "0").encode(), "-")[0]
    assert scan.unit == "relative"
    assert scan.values.max() == 1.0


def test_dark_and_calibration_keep_their_age(capsys):
    then = read(fixtures()["sodium"])[0].meta
    now = read_bytes(printed(capsys, "--fixture", "sodium").encode(), "-")[0].meta
    # By hand: taken 8 minutes after the dark; calibration due 196 days after the reading of 4 March.
    assert (then["taken_at"][11:16], then["dark_taken_at"][11:16], then["calibration_due"]) == (
        "20:10",
        "20:02",
        "2026-09-15",
    )
    assert now["dark_taken_at"] == "2026-11-05T08:22:00+01:00"
    assert now["calibration_due"] == "2027-05-19"


def test_json_holds_the_same_scan(capsys):
    scan = read_bytes(printed(capsys, "--seed", "3").encode(), "-")[0]
    told = json.loads(printed(capsys, "--seed", "3", "--json"))
    assert told["unit"] == "W/m2/nm"
    assert told["wavelength_nm"] == scan.wavelength.tolist()
    assert told["values"] == scan.values.tolist()
    assert told["title"] == scan.title == "White bar, new"


def test_list_names_every_fixture(capsys):
    assert main(["simulate", "--list"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines] == list(fixtures())
    assert main(["simulate", "--list", "--json"]) == 0
    assert [f["fixture"] for f in json.loads(capsys.readouterr().out)["fixtures"]] == list(fixtures())


@pytest.mark.parametrize(
    "words, told",
    [
        (["--fixture", "moon"], "unknown fixture 'moon'"),
        (["--unit", "candle"], "unknown unit 'candle'"),
        (["--unit", "transmittance"], "no transmittance"),
        (["--taken-at", "yesterday"], "ISO 8601"),
    ],
)
def test_a_wrong_call_is_told_and_exits_2(capsys, words, told):
    assert main(["simulate", *words]) == 2
    seen = capsys.readouterr()
    assert seen.out == ""
    assert told in seen.err


@pytest.mark.parametrize("words", [["--level", "-1"], ["--level", "nan"], ["--seed", "-1"], ["--noise", "x"]])
def test_a_number_out_of_range_exits_2(capsys, words):
    with pytest.raises(SystemExit) as stopped:
        main(["simulate", *words])
    assert stopped.value.code == 2
