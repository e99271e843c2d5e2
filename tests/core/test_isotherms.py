"""From CCT and Duv to a chromaticity and back."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from spectui.core.chromaticity import NOMINAL, u_prime_v_prime
from spectui.core.colour import nearest
from spectui.core.isotherms import place


@given(st.floats(1050, 24000), st.floats(-0.03, 0.03))
def test_it_is_the_inverse_of_the_nearest_point(cct: float, duv: float) -> None:
    u, v = place([cct], [duv])
    mired, found = nearest(u, v / 1.5)
    assert abs(1e6 / mired[0] - cct) < 2e-7 * cct and abs(found[0] - duv) < 1e-9


def test_the_nominal_centres_lie_there() -> None:
    """Published centres (ANSI C78.377, x, y with four decimals): within their rounding and that of the target Duv."""
    for n in NOMINAL:
        assert np.allclose(np.ravel(place(n.target, n.duv)), u_prime_v_prime(n.x, n.y), atol=1.2e-4)
