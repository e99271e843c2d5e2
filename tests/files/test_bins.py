"""A file of bins: every key read, every mistake told with its line, its bin and what was expected."""

from __future__ import annotations

import os
import re
from pathlib import Path

import numpy as np
import pytest

from spectui.core.bins import UV, XY, Circle, InNominal, Polygon, Range
from spectui.core.errors import UsageError
from spectui.core.metrics import catalogue
from spectui.files import bins as form
from spectui.files.bins import parse_bins, read_bins
from spectui.places import samples

WHOLE = """\
title = "mine"
notes = "kept by the late shift"

[[bin]]
name = "triangle"
xy = [[0.43, 0.40], [0.44, 0.41], [0.45, 0.40]]
ppfd = [200, inf]

[[bin]]
name = "far corner"
u_prime_v_prime = [
  [0.25, 0.52],
  [0.26, 0.53],
  [0.27, 0.52],
]

[[bin]]
name = "ring"
centre_nominal_cct = 3000
steps = 3

[[bin]]
name = "spot"
radius = 0.004
centre_xy = [0.4339, 0.4033]

[[bin]]
name = "spot in u′v′"
centre_u_prime_v_prime = [0.25, 0.52]
radius = 0.0022

[[bin]]
name = "ring of x, y"
centre_xy = [0.4339, 0.4033]
steps = 3

[[bin]]
name = "box"
cct = [2870, 3220]
duv = [-0.003, 0.003]

[[bin]]
name = "class"
nominal_cct = 4000

[[class]]
name = "1"
illuminance = [-inf, 1e4]
"""


def read(text: str, **more):
    return parse_bins(text.encode(), "b.toml", **more)


def test_every_key():
    table = read(WHOLE)
    assert table.title == "mine"
    made = {one.name: one.tests for one in table.bins}
    assert list(made) == ["triangle", "far corner", "ring", "spot", "spot in u′v′", "ring of x, y", "box", "class"]
    polygon, flux = made["triangle"]
    assert isinstance(polygon, Polygon) and polygon.keys == XY
    assert polygon.corners.tolist() == [[0.43, 0.40], [0.44, 0.41], [0.45, 0.40]]
    assert flux == Range("ppfd", 200.0, float("inf"))
    (polygon,) = made["far corner"]
    assert isinstance(polygon, Polygon) and polygon.keys == UV
    # By hand: 4·0.4339 / (−2·0.4339 + 12·0.4033 + 3) = 1.7356 / 6.9718, 9·0.4033 / 6.9718; 3 · 0.0011.
    for name in ("ring", "ring of x, y"):
        (ring,) = made[name]
        assert isinstance(ring, Circle) and ring.keys == UV
        assert ring.centre == pytest.approx((1.7356 / 6.9718, 3.6297 / 6.9718), rel=1e-12)
        assert ring.radius == pytest.approx(0.0033, rel=1e-12)
    assert made["spot"] == (Circle(XY, (0.4339, 0.4033), 0.004),)
    assert made["spot in u′v′"] == (Circle(UV, (0.25, 0.52), 0.0022),)
    assert made["box"] == (Range("cct", 2870.0, 3220.0), Range("duv", -0.003, 0.003))
    assert made["class"] == (InNominal(4000),)
    assert [one.tests for one in table.classes] == [(Range("illuminance", float("-inf"), 1e4),)]
    assert table.names[0] == "triangle 1"


def test_every_metric_can_be_a_range_and_no_key_has_two_meanings():
    taken = {"name", "xy", "u_prime_v_prime", "radius", "steps", "nominal_cct"}
    taken |= {"centre_xy", "centre_u_prime_v_prime", "centre_nominal_cct"}
    assert taken == set(form._KEYS)
    assert not taken & set(catalogue())
    for key in catalogue():
        (one,) = read(f'[[bin]]\nname = "a"\n{key} = [0, 1]').bins
        assert one.tests == (Range(key, 0.0, 1.0),)


def test_a_metric_of_ones_own(tmp_path):
    from spectui.files.action import read_action

    file = tmp_path / "leaf.csv"
    file.write_text("# name: leaf\n# source: invented\n# per: photon\n400,1\n700,1\n")
    text = '[[bin]]\nname = "a"\naction_leaf = [0, 1]'
    assert read(text, more=[read_action(file).metric()]).keys == ("action_leaf",)
    with pytest.raises(UsageError, match="unknown key 'action_leaf'"):
        read(text)


def test_the_files_own_words_name_every_key():
    for key in (*form._KEYS, "title", "[[bin]]", "[[class]]", "cct", "duv"):
        assert key in form.__doc__, key


def test_the_sample_is_invented_and_read(tmp_path):
    path = samples() / "bins-nursery.toml"
    assert "invented" in path.read_text().lower()
    assert len(read_bins(path).bins) == 5
    marked = tmp_path / "b.toml"
    marked.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    assert read_bins(marked).names == read_bins(path).names


BIN = '[[bin]]\nname = "first"\ncct = [1, 2]\n\n[[bin]]\nname = "W1"\n'
SPOT = BIN + "centre_xy = [0.4, 0.4]\n"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (BIN + "stepz = 3", "b.toml: line 7: bin 'W1': unknown key 'stepz': did you mean 'steps'?"),
        (BIN + "ppdf = [1, 2]", "line 7: bin 'W1': unknown key 'ppdf': did you mean 'ppfd'?"),
        (BIN + "cct = [1, 2]\n\n[[clas]]\nname = 'a'", "b.toml: line 9: unknown key 'clas': did you mean 'class'?"),
        (BIN, "line 6: bin 'W1': expected a shape or the range of a metric"),
        ("[[bin]]\ncct = [1, 2]", "line 1: bin number 1: expected a name in quotes"),
        ("[[bin]]\nname = 3\ncct = [1, 2]", "line 2: bin number 1: expected text in quotes"),
        ('[[bin]]\nname = " "\ncct = [1, 2]', "line 2: bin ' ': expected a name in quotes"),
        ('[[bin]]\nname = "outside"\ncct = [1, 2]', "line 2: bin 'outside': expected another name: 'outside' is taken"),
        ('[[bin]]\nname = "not available"\ncct = [1, 2]', "'not available' is taken"),
        (BIN.replace("W1", "first") + "cct = [3, 4]", "line 6: bin 'first': expected another name: 'first' is taken"),
        (BIN + "cct = [3, 3]", "line 7: bin 'W1': cct: expected a range [lo, hi] with lo below hi, got '[3, 3]'"),
        (BIN + "cct = [3, nan]", "cct: expected a range [lo, hi], got '[3, nan]'"),
        (BIN + "cct = 3", "cct: expected a range [lo, hi], got '3'"),
        (BIN + "cct = [3, true]", "cct: expected a number, got 'True'"),
        (BIN + "cct = ['3', 4]", "cct: expected a number, got '3'"),
        (BIN + f"cct = [1, 1{'0' * 400}]", "cct: expected a number, got '1000"),
        (BIN + "cct = [1, 2]\nxy = 3", "line 8: bin 'W1': xy: expected a list of corners"),
        (BIN + "xy = [[0.1, 0.1], [0.2]]", "xy: expected corners as pairs of numbers, got '[0.2]'"),
        (BIN + "xy = [[0.1, 0.1], [0.2, 0.1]]", "xy: expected 3-200 corners, got 2"),
        (
            BIN + "xy = [[0.1, 0.1], [0.2, 0.2], [0.2, 0.1], [0.1, 0.2]]",
            "line 7: bin 'W1': xy: the polygon crosses or touches itself: its sides from corner 1 and from corner 3",
        ),
        (BIN + "steps = 3", "line 7: bin 'W1': steps: expected a centre with it: centre_xy, centre_u_prime_v_prime"),
        (SPOT, "line 7: bin 'W1': centre_xy: expected one centre with either radius or steps"),
        (SPOT + "steps = 3\nradius = 1", "expected one centre with either radius or steps"),
        (SPOT + "steps = 3\ncentre_nominal_cct = 3000", "expected one centre with either radius or steps"),
        (SPOT + "steps = 0", "expected a number of steps above 0, got 0"),
        (SPOT + "radius = -1", "expected a radius above 0, got -1"),
        (SPOT + "radius = inf", "expected a radius above 0, got inf"),
        (BIN + "centre_xy = [0.4, 0]\nsteps = 1", "expected a chromaticity of 0-1, got '[0.4, 0]'"),
        (BIN + "centre_nominal_cct = 3100\nsteps = 1", "expected a nominal CCT, 2200, 2500, 2700, 3000"),
        (BIN + "nominal_cct = [3000]", "nominal_cct: expected a nominal CCT"),
        ("bin = 3", "b.toml: line 1: expected [[bin]] tables"),
        ("bin = [3]", "expected [[bin]] tables"),
        ("class = 'a'", "expected [[class]] tables"),
        ("title = 'a'", "b.toml: expected one [[bin]] or more, got none"),
        ("title = 3\n" + BIN + "cct = [1, 2]", "b.toml: expected text in quotes"),
        ("[[bin]\n", "b.toml: the bins are no TOML"),
        ("a = " + "[" * 100_000, "b.toml: the bins are no TOML"),
        ("a = 1" + "0" * 5000, "b.toml: the bins are no TOML"),
        ("bin = [{name = 'W1', stepz = 3}]", "b.toml: bin 'W1': unknown key 'stepz'"),
        (BIN + "cct = [1, 2]\n[[class]]\nname = 'F'\nppdf = [1, 2]", "line 10: class 'F': unknown key 'ppdf'"),
    ],
)
def test_a_mistake_is_told_with_its_place_and_what_was_expected(text, told):
    with pytest.raises(UsageError) as error:
        read(text)
    assert told in str(error.value)
    assert len(str(error.value)) < 400


def test_a_hostile_name_is_shown_safely():
    with pytest.raises(UsageError) as error:
        read('[[bin]]\nname = "\\u001b[2J' + "x" * 300 + '"\ncct = [1, 2]')
    assert "\x1b" not in str(error.value) and len(str(error.value)) < 300
    with pytest.raises(UsageError) as error:
        read('[[bin]]\nname = "a"\n"\\u001b]0;x" = [1, 2]')
    assert "\x1b" not in str(error.value)


def test_many_bins_are_bounded():
    def table(count):
        return "".join(f'[[bin]]\nname = "{k}"\ncct = [{k}, {k + 1}]\n' for k in range(count))

    assert len(read(table(1000)).bins) == 1000
    with pytest.raises(UsageError, match=r"at most 1000 \[\[bin\]\] tables, got 1001"):
        read(table(1001))


def test_files_that_are_none(tmp_path):
    big = tmp_path / "big.toml"
    big.write_bytes(b"#" * ((1 << 20) + 1))
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    binary = tmp_path / "b.toml"
    binary.write_bytes(b"\xff\xfe\x00")
    for path, told in [
        (tmp_path, "expected a file of bins"),
        (tmp_path / "no.toml", "no.toml: expected a file of bins"),
        (big, "at most 1 MiB"),
        (pipe, "expected a file of bins"),
        (binary, "are no TOML"),
        ("a\0b", "cannot be read|expected a file"),
    ]:
        with pytest.raises(UsageError, match=told):
            read_bins(path)


def test_a_shared_edge_of_the_file_goes_to_the_bin_that_stands_first():
    text = '[[bin]]\nname = "a"\ncct = [2000, 3000]\n[[bin]]\nname = "b"\ncct = [3000, 4000]\n'
    at = {"cct": np.array([2000.0, 3000.0, 4000.0, 4000.1]), "x": np.full(4, 0.4)}
    assert read(text).sort(at)[0].tolist() == [0, 0, 1, -1]


def test_the_example_of_the_readme_is_read_and_names_what_it_says():
    text = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    (block,) = [b for b in re.findall(r"^```toml\n(.*?)^```$", text, re.S | re.M) if "[[bin]]" in b]
    assert read(block).names == ("W1 bright", "W2 bright", "W3 bright")
