"""The caution stands beside every number about ultraviolet or the blue-light hazard."""

import numpy as np
import pytest

from spectui.core.metrics import catalogue, metrics
from spectui.core.scan import Scan
from spectui.report.text import UV_CAUTION, needs_caution, one


def scan(uv: float) -> Scan:
    nm = np.arange(280.0, 801.0)
    return Scan.build(nm, np.where(nm < 400, uv, 0.1 * ((nm > 440) & (nm < 460))), "W/m2/nm", {"title": "invented"})


@pytest.mark.parametrize("key", ["e_actinic", "e_blue_hazard", "pfd_uv_b", "uvb_share"])
def test_a_pointer_asked_for_by_itself(key: str) -> None:
    result = metrics(scan(0.01), [key])[0]
    assert needs_caution(result)
    assert UV_CAUTION in one(result, catalogue())


def test_no_caution_where_there_is_no_reason() -> None:
    assert not needs_caution(metrics(scan(0.0), ["ppfd"])[0])
    assert not needs_caution(metrics(scan(0.0))[0])
    assert needs_caution(metrics(scan(0.01))[0])
