"""The rendition half of the People screen: the closed curve, the bars, the numbers, at both sizes and in every form."""

from __future__ import annotations

from cmath import rect
from math import atan2, hypot, nan, pi
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.cells import Form, line_width, plain
from spectui.charts.rendition import OF_BINS, Numbers, closed_curve, rendition, text_rendition, vector_graphic
from spectui.charts.rendition_bars import BINS, TESTS, bin_bars, colour_bars
from tests.charts.colour_lights import NUMBERS, PERFECT, WEAK_RED

KEPT = Path(__file__).parent / "kept"
FORMS = [Form(), Form(color=False), Form(ascii=True)]
# Halves of 80×24 and 120×36, the same screens for one alone, and odd sizes.
SIZES = [(39, 20), (59, 31), (79, 20), (119, 31), (199, 45), (30, 12), (57, 9)]
SHIFTS = st.lists(st.floats(-60, 60), min_size=BINS, max_size=BINS)
R = st.lists(st.one_of(st.just(nan), st.floats(-400, 100)), min_size=TESTS, max_size=TESTS)


def texts(lines: list) -> list[str]:
    return [plain(line) for line in lines]


@settings(deadline=None, max_examples=25)
@given(st.sampled_from(SIZES), st.sampled_from(FORMS), R, SHIFTS, st.booleans(), st.sampled_from(["tests", OF_BINS]))
def test_every_line_fills_its_width(
    size: tuple[int, int], form: Form, r: list[float], shifts: list[float], two: bool, beside: str
) -> None:
    light = Numbers(80.0, 90.0, 70.0, r, [80.0] * BINS, shifts, [s / 200 for s in shifts])
    lines = rendition(light, NUMBERS["sodium"] if two else None, *size, form, beside=beside)
    assert len(lines) == size[1] and {line_width(line) for line in lines} == {size[0]}
    assert not form.ascii or all(plain(line).isascii() for line in lines)
    assert form.color or {s.ground for line in lines for s in line} == {"bg"}


@given(SHIFTS, SHIFTS)
def test_the_vector_graphic_closes(chroma: list[float], hue: list[float]) -> None:
    curve = closed_curve(PERFECT._replace(chroma=chroma, hue=[h / 100 for h in hue]))
    assert hypot(curve[0][0] - curve[-1][0], curve[0][1] - curve[-1][1]) < 1e-9
    # In the middle of each bin it is the bin's own shift (by hand: along and across the hue of the middle).
    for k in range(BINS):
        x, y = curve[8 * k]
        theta = 2 * pi * (k + 0.5) / BINS
        turned = complex(x, y) * rect(1.0, -theta)
        assert abs(turned.real - 1 - chroma[k] / 100) < 1e-9 and abs(turned.imag - hue[k] / 100) < 1e-9


def test_a_light_like_its_reference_is_the_circle() -> None:
    assert all(abs(hypot(x, y) - 1) < 1e-12 for x, y in closed_curve(PERFECT))
    angles = [atan2(y, x) % (2 * pi) for x, y in closed_curve(PERFECT)[:-1]]
    assert abs(angles[0] - pi / 16) < 1e-12 and len(set(angles)) == len(angles)


def test_more_chroma_lies_outside_the_circle_and_less_inside() -> None:
    for shift, out in ((20.0, True), (-20.0, False)):
        curve = closed_curve(PERFECT._replace(chroma=(shift,) * BINS))
        assert all((hypot(x, y) > 1) is out for x, y in curve)


def test_a_bin_without_samples_breaks_the_curve() -> None:
    curve = closed_curve(PERFECT._replace(chroma=(nan, *(0.0,) * 15)))
    assert sum(x != x for x, _ in curve) == 8 + 8
    vector_graphic(PERFECT._replace(chroma=(nan,) * BINS), None, 40, 20)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("columns", [1, 2])
def test_a_negative_r9_goes_to_the_left_of_zero(form: Form, columns: int) -> None:
    rule = "|" if form.ascii else "│"
    for r9, sign in ((-12.34, -1), (-330.0, -1), (12.3, 1)):
        light = WEAK_RED._replace(r=(*WEAK_RED.r[:8], r9, *WEAK_RED.r[9:]))
        lines = texts(colour_bars(light, None, 60, form, columns))
        row = next(line[line.index("R9") :] for line in lines if "R9 " in line)
        left, right = row[:30].split(rule) if columns == 2 else row.split(rule)
        number = left[4:10].strip()
        assert number == {-12.34: "−12.34", -330.0: "−330.0", 12.3: "12.30"}[r9].replace(
            "−", "-" if form.ascii else "−"
        )
        assert bool(left[10:].strip()) is (sign < 0) and bool(right.strip()) is (sign > 0)
        assert sign > 0 or left[-1] != " "  # it begins at zero


@pytest.mark.parametrize("form", FORMS)
def test_a_bar_beyond_the_scale_says_so(form: Form) -> None:
    lines = texts(colour_bars(NUMBERS["sodium"], None, 50, form))
    row = next(line for line in lines if line.startswith("R9"))
    assert ("<" if form.ascii else "‹") in row and row.startswith("R9")
    assert "‹" not in "".join(texts(colour_bars(WEAK_RED, None, 50)))


def test_longer_bars_for_larger_numbers() -> None:
    lines = texts(colour_bars(NUMBERS["a"], None, 80, Form(ascii=True)))[1:]
    lengths = [line.count(":") for line in lines]
    order = sorted(range(TESTS), key=lambda k: NUMBERS["a"].r[k])
    assert [lengths[k] for k in order] == sorted(lengths)


def test_chroma_shifts_stand_up_and_hang_down() -> None:
    light = PERFECT._replace(chroma=(10.0, -10.0) * 8)
    lines = texts(bin_bars(light, None, 59, 13, Form(ascii=True)))
    assert lines[0].startswith("local chroma shift, %  -10 in bin 2, +10 in bin 1")
    for line in lines[1:4]:
        assert line[6:12] == "::    "
    for line in lines[4:7]:
        assert line[6:12] == "   :: "
    assert lines[7].split() == [str(k + 1) for k in range(BINS)]


def test_a_light_without_rendition_says_why_in_its_place() -> None:
    lines = texts(rendition(NUMBERS["pink"], None, 59, 31))
    assert "no colour rendition: too far from white" in lines[0] and not "".join(lines[2:]).strip()
    both = texts(rendition(NUMBERS["a"], NUMBERS["pink"], 59, 31))
    assert both[0].startswith("A  Rf") and both[1].startswith("B  no colour rendition") and "A solid" in both[-1]
    assert "B dotted" not in both[-1]


def test_the_numbers_are_those_of_the_report() -> None:
    from spectui.report.numbers import number

    text = "\n".join(texts(rendition(WEAK_RED, None, 119, 31)))
    for value in (WEAK_RED.rf, WEAK_RED.rg, WEAK_RED.ra, *WEAK_RED.r):
        assert number(value) in text


def test_the_commands_print_the_same_charts() -> None:
    lines = text_rendition(WEAK_RED, width=79)
    assert lines[0].startswith("A  Rf") and max(map(len, lines)) <= 79 and lines[-1].startswith("A solid")
    assert all(line.isascii() for line in text_rendition(WEAK_RED, NUMBERS["b"], 79, Form(ascii=True)))


@pytest.mark.parametrize(("name", "size"), [("rendition80", (79, 20)), ("rendition120", (59, 31))])
@pytest.mark.parametrize("form", [Form(), Form(ascii=True)])
def test_the_half_is_as_it_was_kept(name: str, size: tuple[int, int], form: Form) -> None:
    lines = rendition(WEAK_RED, NUMBERS["b"], *size, form)
    kept(f"{name}{'-ascii' if form.ascii else ''}.txt", lines)


def kept(name: str, lines: list) -> None:
    text = "".join(line.rstrip() + "\n" for line in texts(lines))
    path = KEPT / name
    assert text == path.read_text(encoding="utf-8"), f"to keep the new picture, write it to {path}"
