"""The nominal classes of ANSI C78.377 and the steps of CIE TN 001, against core/chromaticity.py."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import NamedTuple

import numpy as np

from spectui.core import chromaticity
from spectui.core.colour import nearest
from spectui.core.metric import Array
from spectui.core.verify.check import Check, attempted

SOURCE = "ANSI C78.377"
SUBJECT = "Chromaticity classes"


class Class(NamedTuple):
    """As printed: nominal CCT, target CCT and its tolerance, centre x and y, target Duv."""

    nominal: str
    target: str
    tolerance: str
    x: str
    y: str
    duv: str


CLASSES = (
    Class("2200", "2238", "102", "0.5018", "0.4153", "0.0000"),
    Class("2500", "2460", "120", "0.4806", "0.4141", "0.0000"),
    Class("2700", "2725", "145", "0.4578", "0.4101", "0.0000"),
    Class("3000", "3045", "175", "0.4339", "0.4033", "0.0001"),
    Class("3500", "3465", "245", "0.4078", "0.3930", "0.0005"),
    Class("4000", "3985", "275", "0.3818", "0.3797", "0.0010"),
    Class("4500", "4503", "243", "0.3613", "0.3670", "0.0015"),
    Class("5000", "5029", "283", "0.3446", "0.3551", "0.0020"),
    Class("5700", "5667", "355", "0.3287", "0.3425", "0.0024"),
    Class("6500", "6532", "510", "0.3123", "0.3283", "0.0031"),
)
DUV_TOLERANCE = "0.006"
STEP = "0.0011"
_STEPS = (1, 3, 5, 7)
_CIRCLES = "CIE TN 001:2014, circles in u'v'; 0.0011 a step from memory"
_NEAREST = "nearest point of the Planckian locus (1 nm) to the printed x and y"
_ROUND = "by hand"
_EXACTLY = 1e-6


class Kind(NamedTuple):
    """A check of every class: what is expected of it and what is found."""

    quantity: str
    source: str
    rule: str
    tolerance: float
    unit: str
    expected: Callable[[Class], float]
    found: Callable[[Class], float]


def checks() -> Iterator[Check]:
    """Yield the checks of every class, one rule after the other, then those of the steps."""
    for kind in _KINDS:
        for one in CLASSES:
            head = f"{kind.quantity}, {one.nominal} K", kind.source, kind.rule
            check = Check(*head, kind.expected(one), None, kind.tolerance, unit=kind.unit, subject=SUBJECT)
            yield attempted(check, partial(kind.found, one))
    for n in _STEPS:
        check = Check(f"{n}-step circle, 4000 K", _CIRCLES, _ROUND, float(n), None, _EXACTLY, subject=SUBJECT)
        yield attempted(check, partial(_step, n))


def planned() -> int:
    """Return how many checks there are."""
    return len(_KINDS) * len(CLASSES) + len(_STEPS)


def _centre(one: Class) -> tuple[Array, Array]:
    return chromaticity.u_prime_v_prime([float(one.x)], [float(one.y)])


def _centre_cct(one: Class) -> float:
    u, v = _centre(one)
    return 1e6 / float(nearest(u, v / 1.5)[0][0])


def _centre_duv(one: Class) -> float:
    u, v = _centre(one)
    return float(nearest(u, v / 1.5)[1][0])


def _target_duv(one: Class) -> float:
    return float(chromaticity.duv_of(float(one.target)))


def _centre_steps(one: Class) -> float:
    count, centre = chromaticity.steps(*_centre(one))
    return float(count[0]) if centre[0] == float(one.nominal) else np.nan


def _within(places: tuple[tuple[float, float], ...], one: Class) -> float:
    """Return how many places (shares of both tolerances away from the target) are in the class."""
    away = np.array(places)
    cct = float(one.target) + float(one.tolerance) * away[:, 0]
    duv = float(one.duv) + float(DUV_TOLERANCE) * away[:, 1]
    return float((chromaticity.nominal(cct, duv) == float(one.nominal)).sum())


def _step(n: int) -> float:
    """Return the steps of a point n steps away from the centre of a class, in some direction."""
    u, v = _centre(CLASSES[5])
    away, turn = n * float(STEP), 0.7 * n
    return float(chromaticity.steps(u + away * np.cos(turn), v + away * np.sin(turn))[0][0])


_KINDS = (
    Kind(
        "centre CCT",
        f"{SOURCE}; its centres meet their targets within 2 K",
        _NEAREST,
        2.0,
        "K",
        lambda one: float(one.target),
        _centre_cct,
    ),
    Kind(
        "centre Duv",
        f"{SOURCE}; four digits of x and y give Duv within 9e-5",
        _NEAREST,
        9e-5,
        "1",
        lambda one: float(one.duv),
        _centre_duv,
    ),
    Kind(
        "target Duv",
        f"{SOURCE}, formula from memory: it gives the centres within 9e-5",
        "57700/T^2 − 44.6/T + 0.0085, 0 below 2870 K",
        9e-5,
        "1",
        lambda one: float(one.duv),
        _target_duv,
    ),
    Kind(
        "corners within",
        f"{SOURCE}; Duv ± {DUV_TOLERANCE} from memory",
        "how many corners in CCT and Duv, 1 % inside, are in the class",
        0.0,
        "1",
        lambda one: 4.0,
        partial(_within, ((-0.99, -0.99), (-0.99, 0.99), (0.99, -0.99), (0.99, 0.99))),
    ),
    Kind(
        "sides within",
        f"{SOURCE}; Duv ± {DUV_TOLERANCE} from memory",
        "how many middles of the sides in CCT and Duv, 1 % outside, are in the class",
        0.0,
        "1",
        lambda one: 0.0,
        partial(_within, ((-1.01, 0.0), (1.01, 0.0), (0.0, -1.01), (0.0, 1.01))),
    ),
    Kind("steps of the centre", _CIRCLES, _ROUND, _EXACTLY, "1", lambda one: 0.0, _centre_steps),
)
