"""Chromaticity of scans: nominal class, steps from the nearest nominal centre, bin of a user's table; N at once.

Nominal classes of ANSI C78.377 (targets, tolerances and centres as in its table; the Duv tolerance from memory). The
quadrangles are tested in CCT and Duv: their sides are lines of constant CCT, and of constant Duv within a class.
Steps: CIE TN 001:2014 recommends u′v′ circles in place of MacAdam ellipses; 0.0011 in u′v′ a step (from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from spectui.core.metric import Array, Metric
from spectui.core.metrics import metrics
from spectui.core.results import Result
from spectui.core.scan import Scan

if TYPE_CHECKING:
    from spectui.core.bins import Bins

STEP = 0.0011
DUV_TOLERANCE = 0.006
# A point this near to an edge lies on it: far below what is measured, far above the rounding of a computation.
EDGE = 1e-9
OUTSIDE, NOT_AVAILABLE = "outside", "not available"
KEYS = ("x", "y", "u_prime", "v_prime", "cct", "duv")


class Nominal(NamedTuple):
    """A nominal class: its name [K], target CCT and tolerance [K], centre x and y, target Duv."""

    cct: int
    target: float
    tolerance: float
    x: float
    y: float
    duv: float


NOMINAL: tuple[Nominal, ...] = (
    Nominal(2200, 2238, 102, 0.5018, 0.4153, 0.0000),
    Nominal(2500, 2460, 120, 0.4806, 0.4141, 0.0000),
    Nominal(2700, 2725, 145, 0.4578, 0.4101, 0.0000),
    Nominal(3000, 3045, 175, 0.4339, 0.4033, 0.0001),
    Nominal(3500, 3465, 245, 0.4078, 0.3930, 0.0005),
    Nominal(4000, 3985, 275, 0.3818, 0.3797, 0.0010),
    Nominal(4500, 4503, 243, 0.3613, 0.3670, 0.0015),
    Nominal(5000, 5029, 283, 0.3446, 0.3551, 0.0020),
    Nominal(5700, 5667, 355, 0.3287, 0.3425, 0.0024),
    Nominal(6500, 6532, 510, 0.3123, 0.3283, 0.0031),
)
_NAMES = np.array([n.cct for n in NOMINAL], dtype=np.float64)
_TARGETS = np.array([n.target for n in NOMINAL])
_TOLERANCES = np.array([n.tolerance for n in NOMINAL])
_DUVS = np.array([n.duv for n in NOMINAL])


def duv_of(cct: ArrayLike) -> Array:
    """Return the target Duv of white light of a CCT [K], any shape: 57700/T² − 44.6/T + 0.0085 from 2870 K, else 0.

    For a CCT between the nominal ones (ANSI C78.377, flexible CCT; the formula from memory).
    """
    t = np.asarray(cct, dtype=np.float64)
    return np.where(t >= 2870.0, 57700.0 / (t * t) - 44.6 / t + 0.0085, np.where(t > 0, 0.0, np.nan))


def u_prime_v_prime(x: ArrayLike, y: ArrayLike) -> tuple[Array, Array]:
    """Return CIE 1976 u′, v′ of CIE 1931 x, y, any shape."""
    x, y = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    below = -2.0 * x + 12.0 * y + 3.0
    return 4.0 * x / below, 9.0 * y / below


_U, _V = u_prime_v_prime([n.x for n in NOMINAL], [n.y for n in NOMINAL])


def nominal(cct: Array, duv: Array) -> Array:
    """Return the nominal class [K] of CCT [K] and Duv (N,), NaN outside every one.

    Sides belong to their class; where two classes share one, the class whose target CCT is nearer in mired.
    """
    t, d = np.asarray(cct)[:, np.newaxis], np.asarray(duv)[:, np.newaxis]
    inside = (np.abs(t - _TARGETS) <= _TOLERANCES + EDGE) & (np.abs(d - _DUVS) <= DUV_TOLERANCE + EDGE)
    away = np.where(inside, np.abs(1.0 / t - 1.0 / _TARGETS), np.inf)
    return np.where(inside.any(axis=1), _NAMES[np.argmin(away, axis=1)], np.nan)


def steps(u_prime: Array, v_prime: Array) -> tuple[Array, Array]:
    """Return (steps, nominal class [K] of the centre they are counted from: the nearest) of u′, v′ (N,)."""
    u, v = np.asarray(u_prime), np.asarray(v_prime)
    away = np.hypot(u[:, np.newaxis] - _U, v[:, np.newaxis] - _V)
    nearest = np.argmin(away, axis=1)
    found = away[np.arange(away.shape[0]), nearest] / STEP
    return found, np.where(np.isnan(found), np.nan, _NAMES[nearest])


@dataclass(frozen=True, slots=True, eq=False)
class Chromaticity:
    """The chromaticity of one scan; None where a number is not available, and `unavailable` says why.

    nominal_cct: None outside every nominal class too. steps are counted from the nominal centre `steps_from`.
    bin: the bin's name, OUTSIDE where the scan lies in none; None where that cannot be told, or no table was given.
    """

    scan: Scan
    x: float | None
    y: float | None
    u_prime: float | None
    v_prime: float | None
    cct: float | None
    duv: float | None
    nominal_cct: int | None
    steps: float | None
    steps_from: int | None
    bin: str | None
    unavailable: str | None

    def as_dict(self) -> dict[str, Any]:
        """Return the scan's object of `chromaticity --json`; `index` only where the file holds several scans."""
        head: dict[str, Any] = {"source": self.scan.source}
        if self.scan.index is not None:
            head["index"] = self.scan.index
        return head | {name: getattr(self, name) for name in FIELDS}


FIELDS = (*KEYS, "nominal_cct", "steps", "steps_from", "bin", "unavailable")


def chromaticity(
    scans: Scan | Sequence[Scan], bins: Bins | None = None, *, more: Sequence[Metric] = ()
) -> list[Chromaticity]:
    """Return the chromaticity of each scan, in their order, sorted into the bins of a table.

    bins: a user's table, or None. more: metrics beyond the catalogue that its ranges name (a user's action spectra).
    """
    wanted = KEYS if bins is None else tuple(dict.fromkeys((*KEYS, *bins.keys)))
    results = metrics(scans, wanted, more=more)
    columns = {key: np.array([_number(r, key) for r in results], dtype=np.float64) for key in wanted}
    classes = nominal(columns["cct"], columns["duv"])
    # Steps are those of white light: 113 steps of a purple light would say nothing.
    white = ~np.isnan(columns["cct"])
    away, centre = steps(np.where(white, columns["u_prime"], np.nan), np.where(white, columns["v_prime"], np.nan))
    names, reasons = _sorted(results, columns, bins)
    return [
        Chromaticity(
            r.scan,
            r["x"].value,
            r["y"].value,
            r["u_prime"].value,
            r["v_prime"].value,
            r["cct"].value,
            r["duv"].value,
            _whole(classes[k]),
            float(away[k]) if white[k] else None,
            _whole(centre[k]),
            names[k],
            "; ".join(dict.fromkeys(t for t in (r["cct"].unavailable, reasons[k]) if t)) or None,
        )
        for k, r in enumerate(results)
    ]


def counts(found: Sequence[Chromaticity], bins: Bins) -> dict[str, int]:
    """Return how many scans lie in each bin of the table, in its order, then outside and not available."""
    tally = dict.fromkeys((*bins.names, OUTSIDE, NOT_AVAILABLE), 0)
    for one in found:
        tally[NOT_AVAILABLE if one.bin is None else one.bin] += 1
    return tally


def _sorted(
    results: Sequence[Result], columns: Mapping[str, Array], bins: Bins | None
) -> tuple[list[str | None], list[str | None]]:
    """Return (the bin's name, why there is none) of each result."""
    if bins is None:
        return [None] * len(results), [None] * len(results)
    names: list[str | None] = []
    reasons: list[str | None] = []
    for r, at, blocked in zip(results, *bins.sort(columns), strict=True):
        names.append(bins.names[at] if at >= 0 else None if blocked >= 0 else OUTSIDE)
        reasons.append(_blocked(r, bins, int(blocked)) if blocked >= 0 else None)
    return names, reasons


def _blocked(result: Result, bins: Bins, which: int) -> str:
    """Say what the bin that cannot be decided needs; a lack of colour stands alone, it is said already."""
    kind, one = bins.of(which)
    key = next(k for k in one.keys if result[k].value is None)
    reason = result[key].unavailable or ""
    return reason if reason == result["cct"].unavailable else f"{kind} {one.name} needs {key}: {reason}"


def _number(result: Result, key: str) -> float:
    value = result[key].value
    return np.nan if value is None else value


def _whole(value: float) -> int | None:
    return None if np.isnan(value) else int(value)
