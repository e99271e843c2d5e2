"""The ribbon and the band names."""

from __future__ import annotations

import colour
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.cells import Form, line_width, plain
from spectui.charts.ribbon import bands_line, ribbon
from spectui.charts.spectral_colours import colour_of, colours, linear_rgb, oklab
from spectui.charts.view import View

VIEW = View(380, 800)
DIFFERENCES = {"blue": ("−12", True), "green": ("−16", True), "red": ("−13", True), "far_red": ("≈ 0", False)}
FORMS = [Form(), Form(color=False), Form(ascii=True), Form(ascii=True, color=False)]


@settings(max_examples=60, deadline=None)
@given(st.integers(10, 200), st.floats(200, 1000), st.floats(5, 900), st.sampled_from(FORMS), st.booleans())
def test_widths_and_glyphs_in_every_view(width: int, lo: float, span: float, form: Form, dim: bool) -> None:
    view = View(lo, lo + span)
    for line in (ribbon(view, width, form, dim), bands_line(view, width, form, DIFFERENCES)):
        assert line_width(line) == width
        if form.ascii:
            assert plain(line).isascii()
        if form.shapes or dim:
            assert not any(part.ink.startswith("#") for part in line)


def test_the_ribbon_is_coloured_in_steps_of_two_and_hatched_where_little_is_seen() -> None:
    line = ribbon(VIEW, 79)
    assert plain(line) == " " * 6 + "╱" * 3 + "█" * 58 + "╱" * 12
    steps = [len(part.text) for part in line if part.ink.startswith("#")]
    assert all(step % 2 == 0 for step in steps) and len(steps) > 20


def test_without_colour_the_ribbon_has_gaps_at_the_band_edges() -> None:
    assert plain(ribbon(VIEW, 79, Form(color=False))) == plain(ribbon(VIEW, 79, Form(), True))
    text = plain(ribbon(VIEW, 79, Form(color=False)))
    assert [text[at] for at in (9, 26, 44, 61)] == [" "] * 4 and set(text[9:67]) == {" ", "━"}
    assert plain(ribbon(VIEW, 79, Form(ascii=True))) == text.replace("━", "=").replace("╱", "/")


def test_names_and_differences_at_the_design_width() -> None:
    line = plain(bands_line(VIEW, 79, Form(), DIFFERENCES, "B−A"))
    assert line == "B−A   uv 400   blue −12   500   green −16   600    red −13   700   far red ≈ 0 "
    assert plain(bands_line(VIEW, 79)).rstrip() == (
        "      uv 400     blue     500     green     600      red     700   far red  800"
    )
    assert [line.index(nm) for nm in ("400", "500", "600", "700")] == [9, 26, 44, 61]


def test_only_differences_that_weigh_are_bold() -> None:
    bold = [part.text.strip() for part in bands_line(VIEW, 79, Form(), DIFFERENCES) if part.bold]
    assert bold == ["−12", "−16", "−13"]


def test_an_axis_that_begins_elsewhere_says_where() -> None:
    assert plain(bands_line(View(200, 400), 79)).split() == ["200", "uv", "400"]
    assert plain(bands_line(View(340, 850), 79)).split()[0] == "340"
    assert plain(bands_line(View(380, 800), 79)).split()[0] == "uv"


def test_far_red_is_shortened_before_it_is_left_out() -> None:
    cut_short = plain(bands_line(View(380, 750), 79, Form(), DIFFERENCES))
    assert cut_short.rstrip().endswith(" 700 FR ≈ 0")


def test_what_does_not_fit_is_left_out_and_nothing_is_cut() -> None:
    for width in range(10, 90):
        words = plain(bands_line(VIEW, width, Form(), DIFFERENCES)).replace("far red", "far_red").split()
        assert set(words) <= {"uv", "blue", "green", "red", "far_red", "FR", "≈", "0", "−12", "−16", "−13"} | {
            "400", "500", "600", "700", "800",
        }  # fmt: skip
    zoomed = plain(bands_line(View(640, 680), 79))
    assert zoomed.split() == ["640", "red", "680"]


def test_oklab_agrees_with_colour_science() -> None:
    xyz = np.array([[0.9505, 1.0, 1.089], [0.2, 0.1, 0.5], [0.3, 0.4, 0.02]])
    assert oklab(xyz) == pytest.approx(colour.XYZ_to_Oklab(xyz), abs=1e-4)
    assert linear_rgb(oklab(xyz[:1])) == pytest.approx(np.ones((1, 3)), abs=2e-3)


def test_colours_have_the_hue_of_their_wavelength_and_one_lightness() -> None:
    rgb = np.array([[int(c[i : i + 2], 16) for i in (1, 3, 5)] for c in colours()]) / 255
    strongest = {nm: "rgb"[int(np.argmax(rgb[nm - 380]))] for nm in (460, 530, 650)}
    assert strongest == {460: "b", 530: "g", 650: "r"}
    lab = oklab(colour.sRGB_to_XYZ(rgb))
    assert np.ptp(lab[470 - 380 : 640 - 380, 0]) < 0.02
    assert lab[0, 0] < 0.45 and lab[-1, 0] < 0.45
    assert np.abs(np.diff(rgb, axis=0)).max() < 0.35
    assert colour_of(200) == colours()[0] and colour_of(2000) == colours()[-1]
