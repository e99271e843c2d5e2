"""Scans side by side: first what differs in how they were taken, then bands and metrics against the first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import isfinite
from typing import Any, NamedTuple

import numpy as np

from spectui.core.errors import UsageError
from spectui.core.metric import Array, Metric
from spectui.core.metrics import metrics
from spectui.core.photons import BANDS
from spectui.core.quality import DEFAULTS, Limits
from spectui.core.results import Result
from spectui.core.scan import Scan
from spectui.core.units import IRRADIANCE, RELATIVE

SCALES = ("none", "ppfd", "peak")
# What must be the same, or said, before two lights are compared fairly; in order of weight.
CONDITIONS = (
    "distance_m", "dim_percent", "lit_minutes", "hours_run", "ambient", "place", "instrument", "instrument_serial",
    "calibration", "calibrated_on", "calibration_due", "integration_ms", "temperature_c", "fixture",
)  # fmt: skip


class Condition(NamedTuple):
    """One circumstance that differs between scans or is unsaid in some: `values` as in the files, None where unsaid."""

    key: str
    values: tuple[str | None, ...]

    @property
    def unsaid(self) -> bool:
        """True where at least one scan does not say it."""
        return None in self.values


@dataclass(frozen=True, slots=True)
class Row:
    """One quantity of every scan against the first: None where not available, with its reason in `unavailable`."""

    unit: str
    values: tuple[float | None, ...]
    difference: tuple[float | None, ...]
    percent: tuple[float | None, ...]
    exceeds_uncertainty: tuple[bool | None, ...]
    unavailable: tuple[str | None, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Comparison:
    """Scans against the first of them. `results` are those of the scans as scaled; their flags those as measured."""

    scale: str
    results: tuple[Result, ...]
    conditions: tuple[Condition, ...]
    rows: dict[str, Row]
    bands: dict[str, Row]

    def as_dict(self) -> dict[str, Any]:
        """Return the JSON object of `compare --json`."""
        return {
            "scale": self.scale,
            "sources": [r.scan.source for r in self.results],
            "conditions": [{"key": c.key, "values": list(c.values)} for c in self.conditions],
            "metrics": {key: {"unit": row.unit, **_lists(row)} for key, row in self.rows.items()},
            "bands": [
                {"band": name, "range_nm": list(BANDS[name]), "unit": row.unit, **_lists(row)}
                for name, row in self.bands.items()
            ],
        }


def _lists(row: Row) -> dict[str, list[Any]]:
    fields = ("values", "difference", "percent", "exceeds_uncertainty")
    named = {name: list(getattr(row, name)) for name in fields}
    return named | ({"unavailable": list(row.unavailable)} if any(row.unavailable) else {})


def compare(
    *scans: Scan,
    scale: str = "none",
    keys: Iterable[str] | None = None,
    hours: float | None = None,
    more: Sequence[Metric] = (),
    limits: Limits = DEFAULTS,
) -> Comparison:
    """Compare scans with the first, the reference.

    scale: "none", or "ppfd" or "peak": the others are multiplied until theirs equals the reference's.
    Every number is an integral over the scan's own samples: no common grid, so neither scan is degraded.
    difference = other - reference; percent = 100 · difference / reference. Raises UsageError for fewer than two scans,
    an unknown scale or key, and a scan that cannot be scaled.
    """
    if len(scans) < 2:
        raise UsageError(f"expected two or more scans to compare, got {len(scans)}")
    if scale not in SCALES:
        raise UsageError(f"unknown scale {scale!r}: expected one of {', '.join(SCALES)}")
    scaled = (scans[0], *(_scaled(scan, scans[0], scale) for scan in scans[1:]))
    wanted = None if keys is None else list(keys)
    band_keys = [f"pfd_{name}" for name in BANDS]
    both = None if wanted is None else list(dict.fromkeys((*wanted, *band_keys)))
    results = tuple(metrics(scaled, both, hours=hours, more=more, limits=limits))
    if scale != "none":
        # Trust is a matter of the scan as it was taken: a stated PPFD, say, holds for the light before it is scaled.
        measured = metrics(scans, [], limits=limits)
        results = tuple(replace(r, flags=m.flags) for r, m in zip(results, measured, strict=True))
    shown = list(results[0].values) if wanted is None else wanted
    return Comparison(
        scale,
        results,
        conditions(*scans),
        {key: row(results, key) for key in shown},
        {name: row(results, f"pfd_{name}") for name in BANDS},
    )


def conditions(*scans: Scan) -> tuple[Condition, ...]:
    """Return the circumstances that differ between scans, or that at least one of them does not say."""
    found = []
    for key in CONDITIONS:
        said = tuple(scan.meta.get(key) or None for scan in scans)
        if None in said or len({_same(text) for text in said}) > 1:
            found.append(Condition(key, said))
    units = tuple(scan.unit for scan in scans)
    if len(set(units)) > 1:
        found.append(Condition("unit", units))
    ranges = tuple("{:g}-{:g}".format(*scan.range_nm) for scan in scans)
    if len(set(ranges)) > 1:
        found.append(Condition("range_nm", ranges))
    return tuple(found)


def _same(text: str | None) -> object:
    """0.3 and 0.30 are one distance; words are compared without regard to case."""
    try:
        return float(text or "")
    except ValueError:
        return (text or "").strip().casefold()


def row(results: tuple[Result, ...], key: str) -> Row:
    """Return one metric of every result against the first."""
    found = [r[key] for r in results]
    first = found[0].value
    differences = tuple(None if first is None or v.value is None else v.value - first for v in found)
    return Row(
        found[0].unit,
        tuple(v.value for v in found),
        differences,
        tuple(_percent(d, first) for d in differences),
        (None,) * len(found),
        tuple(v.unavailable for v in found),
    )


def _percent(difference: float | None, reference: float | None) -> float | None:
    if difference is None or not reference:
        return None
    percent = 100.0 * difference / reference
    return percent if isfinite(percent) else None


def _scaled(scan: Scan, reference: Scan, scale: str) -> Scan:
    if scale == "none":
        return scan
    if scan.unit != reference.unit and not {scan.unit, reference.unit} <= {IRRADIANCE, RELATIVE}:
        raise UsageError(
            f"{scan.title}: cannot be scaled by {scale}: it is in {scan.unit}, {reference.title} in {reference.unit}"
        )
    sizes = []
    for each in (reference, scan):
        size = float(each.values.max()) if scale == "peak" else _ppfd(each)
        if not size > 0:
            raise UsageError(f"{each.title}: cannot be scaled by {scale}: it is not above zero")
        sizes.append(size)
    values = scan.values * (sizes[0] / sizes[1])
    values.flags.writeable = False
    wide = None if scan.expanded_uncertainty is None else scan.expanded_uncertainty * (sizes[0] / sizes[1])
    return scan.with_(values=values, unit=reference.unit, expanded_uncertainty=wide)


def _ppfd(scan: Scan) -> float:
    from spectui.core.metrics import evaluate

    size = float(evaluate(scan.wavelength, scan.values, ["ppfd"])["ppfd"])
    if size != size or scan.unit not in (IRRADIANCE, RELATIVE):
        reason = metrics(scan, ["ppfd"])[0]["ppfd"].unavailable
        raise UsageError(f"{scan.title}: cannot be scaled by ppfd: {reason}")
    return size


def difference(a: Scan, b: Scan) -> tuple[Array, Array]:
    """Return (wavelength, b - a) over the range both cover, at the samples of both: exact for piecewise linear scans.

    Raises UsageError where the ranges do not overlap.
    """
    lo, hi = max(a.range_nm[0], b.range_nm[0]), min(a.range_nm[1], b.range_nm[1])
    if lo >= hi:
        raise UsageError(f"{a.title} and {b.title} share no wavelengths")
    nm = np.union1d(a.wavelength, b.wavelength)
    nm = nm[(nm >= lo) & (nm <= hi)]
    return nm, np.interp(nm, b.wavelength, b.values) - np.interp(nm, a.wavelength, a.values)
