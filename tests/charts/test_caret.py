"""The caret's reading is whole at every place, and its jumps find peaks and not noise."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.charts.caret import caret_line, next_edge, next_peak, peaks
from spectui.charts.cells import Form, line_width, plain
from spectui.charts.view import View, column, fit
from spectui.core.scan import Scan
from tests.charts.lights import NM, A, B, line, red_blue, scan, sodium, white

FORMS = [Form(), Form(color=False), Form(ascii=True)]
VIEW = fit([A, B])


def test_the_reading_at_the_design_width() -> None:
    assert plain(caret_line(A, B, VIEW, 453, 79)).rstrip() == (
        " " * 18 + "▲ 453 nm   A 0.642  B 0.552  B−A −0.090  −14 %"
    )
    assert plain(caret_line(A, B, VIEW, 453, 79, Form(ascii=True))).strip() == (
        "^ 453 nm   A 0.642  B 0.552  B-A -0.090  -14 %"
    )
    assert plain(caret_line(A, B, VIEW, 740, 79)).rstrip().endswith("nm   A 0.080  B 0.086  B−A +0.006  +7.3 % ▲")


@settings(max_examples=80, deadline=None)
@given(st.floats(380, 800), st.integers(64, 200), st.sampled_from(FORMS))
def test_the_reading_is_never_cut(nm: float, width: int, form: Form) -> None:
    text = plain(caret_line(A, B, VIEW, nm, width, form))
    assert len(text) == width
    assert text[column(VIEW, nm, width)] == ("^" if form.ascii else "▲")
    words = text.replace("▲", " ").replace("^", " ").split()
    assert words[1] == "nm" and words[2] == "A" and words[4] == "B" and words[6] == ("B-A" if form.ascii else "B−A")


def test_at_the_design_width_the_reading_stands_on_one_side() -> None:
    for nm in range(380, 801):
        text = plain(caret_line(A, B, VIEW, nm, 79)).strip()
        assert text[0] == "▲" or text[-1] == "▲", nm


@settings(deadline=None)
@given(st.floats(380, 800))
def test_in_half_a_screen_the_reading_is_parted_and_not_cut(nm: float) -> None:
    text = plain(caret_line(A, B, VIEW, nm, 58, without_a=True))
    assert text.replace("▲", " ").split()[1:3] == ["nm", "B"] and "B−A" in text
    assert len(text) == 58 and text[column(VIEW, nm, 58)] == "▲"


def test_where_a_scan_does_not_reach_it_reads_as_a_dash() -> None:
    narrow = scan(np.full(261, 0.1), nm=NM[50:311])
    assert "A 0.011  B –  B−A – ▲" in plain(caret_line(A, narrow, VIEW, 700, 79))
    outside = plain(caret_line(A, None, View(600, 700, top=0.7), 453, 79))
    assert "▲" not in outside and "453 nm" in outside


def test_two_units_have_no_difference() -> None:
    text = plain(caret_line(A, scan(red_blue(), unit=None), VIEW, 661, 79))
    assert "B 1.40 relative" in text and "B−A –" in text


def test_a_difference_within_the_uncertainty_is_not_bold() -> None:
    def sure(wide: float) -> bool:
        one, two = (Scan.build(NM, white(f), "W/m2/nm", expanded_uncertainty=np.full(421, wide)) for f in (1.0, 0.9))
        return any(part.bold and "%" in part.text for part in caret_line(one, two, VIEW, 453, 79))

    assert sure(0.001) and not sure(0.1)
    assert not any(part.bold and "0.000" in part.text for part in caret_line(A, A, VIEW, 453, 79))


def test_jumps_find_the_peaks_of_lamps() -> None:
    assert [round(nm) for nm in peaks(scan(red_blue()))] == [448, 661]
    assert next_peak(scan(red_blue()), 500, 1) == 661 and next_peak(scan(red_blue()), 500, -1) == 448
    assert next_peak(scan(red_blue()), 661, 1) is None
    found = peaks(scan(sodium()))
    for nm in (498, 568, 615, 766):
        assert min(abs(nm - at) for at in found) <= 1


@pytest.mark.parametrize("seed", range(5))
def test_jumps_leave_noise_out(seed: int) -> None:
    noise = np.random.default_rng(seed).normal(0, 1, NM.size)
    assert peaks(scan(noise * 0.01)) == ()
    assert len(peaks(scan(white() + noise * 0.004))) == 4
    assert [round(nm, -1) for nm in peaks(scan(line(NM, 600, 40, 1) + noise * 0.003))] == [600]


def test_flat_tops_and_dull_scans() -> None:
    values = np.zeros(421)
    values[100:111] = 1.0
    assert peaks(scan(values)) == (485.0,)
    assert peaks(scan(np.zeros(421))) == () and peaks(scan(np.arange(421.0))) == ()
    assert peaks(scan(np.array([1.0, 2.0]), nm=np.array([400.0, 500.0]))) == ()


def test_jumps_to_band_edges() -> None:
    assert next_edge(453, 1) == 500 and next_edge(453, -1) == 400 and next_edge(500, 1) == 600
    assert next_edge(800, 1) is None and next_edge(280, -1) is None


def test_the_line_without_scans_is_the_wavelength() -> None:
    text = caret_line(None, None, View(380, 800), 500, 40)
    assert line_width(text) == 40 and plain(text).split() == ["▲", "500", "nm"]
