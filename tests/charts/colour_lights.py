"""Rendition and chromaticity numbers of the invented lights, for the charts that draw them."""

from __future__ import annotations

import numpy as np

from spectui.charts.chromaticity import KEYS as SPOT_KEYS
from spectui.charts.chromaticity import Spot, spot_of
from spectui.charts.rendition import KEYS, Numbers, numbers_of
from spectui.core.metrics import metrics
from spectui.core.scan import Scan
from tests.charts import lights


def numbers(scan: Scan) -> Numbers:
    return numbers_of(metrics(scan, KEYS)[0])


def spot(scan: Scan) -> Spot:
    return spot_of(metrics(scan, SPOT_KEYS)[0])


A, B = lights.A, lights.B
SODIUM = lights.scan(lights.sodium(), "Sodium lamp")
PINK = lights.scan(lights.red_blue(), "Red-blue bar")
FAR_RED = lights.scan(lights.line(lights.NM, 735, 20, 1.0), "Far red bar")
NUMBERS = {name: numbers(scan) for name, scan in (("a", A), ("b", B), ("sodium", SODIUM), ("pink", PINK))}
SPOTS = {name: spot(scan) for name, scan in (("a", A), ("b", B), ("sodium", SODIUM), ("pink", PINK), ("dark", FAR_RED))}
# R9 a little below zero, as of a plain white LED.
WEAK_RED = NUMBERS["a"]._replace(r=(*NUMBERS["a"].r[:8], -12.34, *NUMBERS["a"].r[9:]))
PERFECT = Numbers(100, 100, 100, (100.0,) * 14, (100.0,) * 16, (0.0,) * 16, (0.0,) * 16)
assert not np.isnan(NUMBERS["a"].rf)
