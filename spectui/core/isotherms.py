"""From CCT and Duv back to a chromaticity: where white light of a temperature lies, for charts and tables."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from spectui.core.metric import Array
from spectui.core.references import planck
from spectui.core.tables import table

_STEP_MIRED = 0.01


def place(cct: ArrayLike, duv: ArrayLike = 0.0) -> tuple[Array, Array]:
    """Return CIE 1976 u′, v′ of CCT [K] and Duv, any shapes that go together: the inverse of `colour.nearest`.

    From the point of the Planckian locus (a 1 nm sum over 360-780 nm or more) at right angles to it in CIE 1960 u, v.
    """
    t, d = np.broadcast_arrays(np.asarray(cct, dtype=np.float64), np.asarray(duv, dtype=np.float64))
    mired = 1e6 / t
    u, v = _locus(mired)
    (u0, v0), (u1, v1) = _locus(mired - _STEP_MIRED), _locus(mired + _STEP_MIRED)
    du, dv = u1 - u0, v1 - v0
    length = np.hypot(du, dv)
    # Positive above the locus, which runs to the right as it cools.
    return u - d * dv / length, 1.5 * (v + d * du / length)


def _locus(mired: Array) -> tuple[Array, Array]:
    rows = table("cie1931")
    xyz = planck(rows[:, 0], 1e6 / mired.ravel()) @ rows[:, 1:]
    below = (xyz * (1.0, 15.0, 3.0)).sum(axis=1)
    return (4.0 * xyz[:, 0] / below).reshape(mired.shape), (6.0 * xyz[:, 1] / below).reshape(mired.shape)
