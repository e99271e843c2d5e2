"""The chromaticity half of the People screen: letters where the lights lie, classes, bins, axes, reasons."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.cells import Form, line_width, plain
from spectui.charts.chromaticity import UV, XY, Region, Spot, chromaticity, regions_of, spot_of, text_chromaticity
from spectui.charts.diagram import WHOLE, around, in_space, near_white, whites
from spectui.charts.grid import equal
from spectui.core.bins import Bin, Bins, Circle, InNominal, Polygon, Range
from spectui.core.chromaticity import NOMINAL, nominal, u_prime_v_prime
from spectui.core.colour import nearest
from spectui.core.metrics import metrics
from tests.charts.colour_lights import SPOTS
from tests.charts.lights import A
from tests.charts.test_rendition import FORMS, SIZES, kept, texts

GUTTER = 6
SPOT = st.builds(Spot, st.floats(0.05, 0.6), st.floats(0.05, 0.58), st.floats(1500, 9000), st.floats(-0.02, 0.02))


@settings(deadline=None, max_examples=15)
@given(st.sampled_from(SIZES), st.sampled_from(FORMS), SPOT, st.one_of(st.none(), SPOT), st.sampled_from([UV, XY]))
def test_every_line_fills_its_width(size: tuple[int, int], form: Form, a: Spot, b: Spot | None, space: str) -> None:
    for whole in (None, False, True):
        lines = chromaticity(a, b, *size, form, space=space, whole=whole)
        assert len(lines) == size[1] and {line_width(line) for line in lines} == {size[0]}
        assert not form.ascii or all(plain(line).isascii() for line in lines)


@settings(deadline=None, max_examples=40)
@given(SPOT, st.sampled_from([(39, 20), (59, 31), (119, 31)]), st.sampled_from(FORMS), st.sampled_from([UV, XY]))
def test_a_stands_at_its_chromaticity_within_half_a_cell(
    a: Spot, size: tuple[int, int], form: Form, space: str
) -> None:
    lines = texts(chromaticity(a, None, *size, form, space=space))
    across, rows = size[0] - GUTTER, size[1] - 1 - 3
    white = near_white(a)
    window = equal(WHOLE[space] if white is None else around(whites(space), in_space(space, [white])), across, rows)
    plot = [line[GUTTER:] for line in lines[1 : 1 + rows]]
    row = next(k for k, line in enumerate(plot) if "A" in line)
    column = plot[row].index("A")
    ((x, y),) = in_space(space, [(a.u_prime, a.v_prime)])  # type: ignore[list-item]
    assert abs((x - window.left) / (window.right - window.left) * across - column - 0.5) <= 0.5 + 1e-9
    assert abs((window.upper - y) / (window.upper - window.lower) * rows - row - 0.5) <= 0.5 + 1e-9


@pytest.mark.parametrize("space", [UV, XY])
@pytest.mark.parametrize("whole", [False, True])
def test_the_letter_agrees_with_the_axes(space: str, whole: bool) -> None:
    """Read like a user: between the labels left and below, the letter is at its numbers within half a cell."""
    spot = Spot(0.2105, 0.4873, 5000, 0.002)
    lines = texts(chromaticity(spot, None, 79, 40, space=space, whole=whole))
    rows = {k: float(line[:4]) for k, line in enumerate(lines) if line[5:6] == "┤"}
    axis = next(k for k, line in enumerate(lines) if line[5:6] == "└")
    ticks = [k for k, char in enumerate(lines[axis]) if char == "┴"]
    labels = [float(word) for word in lines[axis + 1].split()[1:]]
    ((x, y),) = in_space(space, [(0.2105, 0.4873)])
    row = next(k for k, line in enumerate(lines[1:axis], 1) if "A" in line[GUTTER:])
    column = lines[row].index("A", GUTTER)
    (c0, v0), (c1, v1) = (ticks[0], labels[0]), (ticks[-1], labels[-1])
    per_column = (v1 - v0) / (c1 - c0)
    assert abs(v0 + (column - c0) * per_column - x) <= 1.1 * per_column
    (r0, w0), (r1, w1) = min(rows.items()), max(rows.items())
    assert abs(w0 + (row - r0) * (w1 - w0) / (r1 - r0) - y) <= 1.1 * abs((w1 - w0) / (r1 - r0))


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("size", [(39, 20), (59, 31), (79, 20), (119, 31)])
def test_every_class_is_named(size: tuple[int, int], form: Form) -> None:
    text = "\n".join(texts(chromaticity(SPOTS["a"], None, *size, form)))
    for n in NOMINAL:
        assert f"{n.cct}" in text


def test_the_whole_diagram_names_wavelengths_in_their_order() -> None:
    lines = texts(chromaticity(SPOTS["a"], None, 59, 31, whole=True))
    words = [int(w) for line in lines[1:-3] for w in re.findall(r"\d{3}", line[GUTTER:])]
    assert len(words) >= 7 and {450, 480, 520} <= set(words)


def test_a_light_far_from_white_shows_the_whole_diagram() -> None:
    lines = texts(chromaticity(SPOTS["pink"], None, 59, 31))
    assert any("no colour temperature: too far from white" in line for line in lines[:3])
    assert lines[-1].startswith("spectrum in nm")
    zoomed = texts(chromaticity(SPOTS["pink"], None, 59, 31, whole=False))
    assert any("A›" in line for line in zoomed)


def test_a_light_without_chromaticity_says_why_in_its_place() -> None:
    lines = texts(chromaticity(SPOTS["dark"], None, 59, 31))
    assert " ".join(" ".join(lines).split()).startswith("A no chromaticity: too little visible light for a colour")
    assert not "".join(lines[4:]).strip()
    both = texts(chromaticity(SPOTS["dark"], SPOTS["a"], 59, 31))
    assert any("B" in line[GUTTER:] for line in both[4:]) and "C78.377" in both[-1]


def test_two_lights_in_one_cell_are_both_there_and_it_is_said() -> None:
    lines = texts(chromaticity(SPOTS["a"], SPOTS["a"], 59, 31))
    assert any("AB" in line for line in lines) and "A and B share a cell" in lines[-1]
    assert "share" not in texts(chromaticity(SPOTS["a"], SPOTS["sodium"], 59, 31))[-1]


def test_bins_of_a_table_as_shapes() -> None:
    table = Bins(
        (
            Bin("P", (Polygon.build(("x", "y"), [[0.43, 0.40], [0.44, 0.41], [0.45, 0.40]]),)),
            Bin("C", (Circle(("u_prime", "v_prime"), (0.25, 0.52), 0.004),)),
            Bin("N", (InNominal(3000),)),
            Bin("R", (Range("cct", 2900, 3100), Range("duv", -0.002, 0.002))),
            Bin("F", (Range("ppfd", 200, 400),)),
        )
    )
    shapes = {region.name: region.corners for region in regions_of(table)}
    assert list(shapes) == ["P", "C", "N", "R"]
    u, v = u_prime_v_prime(0.43, 0.40)
    assert shapes["P"][0] == pytest.approx((float(u), float(v)))
    assert all(((x - 0.25) ** 2 + (y - 0.52) ** 2) ** 0.5 == pytest.approx(0.004) for x, y in shapes["C"])
    import numpy as np

    for name, duv in (("N", 0.006), ("R", 0.002)):
        corner = np.array(shapes[name])
        mired, found = nearest(corner[:, 0], corner[:, 1] / 1.5)
        assert np.abs(found - (0.0001 if name == "N" else 0)).max() == pytest.approx(duv, abs=1e-6)
        if name == "N":  # just within its corners lies the class
            mired, found = mired + 0.01 * (mired.mean() - mired), 0.0001 + 0.999 * (found - 0.0001)
            assert set(nominal(1e6 / mired, found).tolist()) == {3000.0}


def test_bins_are_drawn_with_their_names() -> None:
    region = Region("W1", [(0.22, 0.49), (0.24, 0.49), (0.24, 0.51), (0.22, 0.51)])
    lines = texts(chromaticity(SPOTS["a"], None, 59, 31, Form(ascii=True), bins=[region]))
    assert any("W1" in line for line in lines) and sum(line.count(":") for line in lines) > 20
    assert "your bins" in lines[-1]
    for name in ("\x1b[2Jx", "淡い色", "a\u0301"):
        for form in FORMS:
            drawn = chromaticity(SPOTS["a"], None, 59, 31, form, bins=[region._replace(name=name)])
            assert {line_width(line) for line in drawn} == {59} and "\x1b" not in "".join(texts(drawn))
            assert not form.ascii or all(line.isascii() for line in texts(drawn))


def test_the_commands_print_the_same_diagram() -> None:
    result = metrics(A, ("u_prime", "v_prime", "cct", "duv"))[0]
    lines = text_chromaticity(result)
    assert lines == [line.rstrip() for line in texts(chromaticity(spot_of(result), None, 79, 28, Form(color=False)))]


@pytest.mark.parametrize(("name", "size"), [("chromaticity80", (79, 20)), ("chromaticity120", (59, 31))])
@pytest.mark.parametrize("form", [Form(), Form(ascii=True)])
def test_the_half_is_as_it_was_kept(name: str, size: tuple[int, int], form: Form) -> None:
    lines = chromaticity(SPOTS["a"], SPOTS["sodium"], *size, form)
    kept(f"{name}{'-ascii' if form.ascii else ''}.txt", lines)
