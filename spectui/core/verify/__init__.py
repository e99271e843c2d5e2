"""Validate this installation: its results against published values, and against colour-science computed now.

It is the record that ISO/IEC 17025:2017, 7.11.2, asks of software. It validates the calculation, not an instrument.
Published numbers stand in published*.py and bins.py, apart from what computes. colour-science is imported in live.py
alone; without it those checks are reported as not run, and the verdict is no.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from spectui.core.metric import Array
from spectui.core.metrics import catalogue, evaluate
from spectui.core.units import UMOL_PER_JOULE_NM
from spectui.core.verify import bins, live, published
from spectui.core.verify.check import NOT_DEFINED, Check, Verification, attempted, words
from spectui.core.verify.lights import LIGHTS, Light
from spectui.core.verify.published import Group
from spectui.core.verify.published_hazards import HAZARDS
from spectui.core.verify.published_lamps import LAMPS

__all__ = ["NOT_DEFINED", "Check", "Verification", "checks", "groups", "planned", "verify"]

_HOURS = 16.0
_Key = tuple[str | float, ...]


def verify() -> Verification:
    """Run every check."""
    return Verification(tuple(checks()))


def planned() -> int:
    """Return how many checks `checks` yields."""
    return 1 + sum(len(group.rows) for group in groups()) + bins.planned() + live.planned()


def groups() -> tuple[Group, ...]:
    """Return the published values that metrics of the catalogue are held against; those that need no package first."""
    return (*published.PHOTONS, *published.EYE, *HAZARDS, *LAMPS)


def checks() -> Iterator[Check]:
    """Yield every check as it is done, so that a caller can show progress; a check that fails to run says why."""
    yield _constant()
    for group in groups():
        if group.lamps is None:
            yield from _of_group(group)
    yield from bins.checks()
    missing = _without_library()
    for group in groups():
        if group.lamps is not None:
            yield from _of_group(group, missing)
    for name in live.LAMPS:
        yield from live.checks(name, missing)


def _without_library() -> str | None:
    try:
        live.library()
    except Exception as error:  # whatever a broken installation raises
        return f"not run: {live.NAME} cannot be imported ({words(error)})"
    return None


def _constant() -> Check:
    text = published.PHOTON_CONSTANT
    check = Check(
        "photons per J and nm",
        "by hand: 1e-3/(h·c·N_A), exact SI 2019 constants",
        "to the last digit",
        float(text),
        None,
        half_a_digit(text),
        unit="umol/J/nm",
        subject=published.PHOTONS[0].subject,
    )
    return attempted(check, lambda: UMOL_PER_JOULE_NM)


def half_a_digit(printed: str) -> float:
    """Return half a unit of the last printed digit."""
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])


def _tolerance(group: Group, expected: str) -> float:
    if group.tolerance is None:
        return half_a_digit(expected)
    return float(group.tolerance) * (abs(float(expected)) if group.relative else 1.0)


def _of_group(group: Group, missing: str | None = None) -> Iterator[Check]:
    """Yield the checks of a group; where `missing` says why they cannot be run, the same unrun."""
    keys = tuple(dict.fromkeys(row.key for row in group.rows))
    seen: dict[_Key, dict[str, Array]] = {}

    def value(light: _Key, key: str) -> float:
        if light not in seen:
            seen[light] = evaluate(*_light(group, light), keys, hours=_HOURS, rule=group.how)
        return float(seen[light][key])

    def found(light: _Key, key: str) -> float:
        return value(light, key) * group.scale / (value(group.over, key) if group.over else 1.0)

    for row in group.rows:
        check = Check(
            row.quantity,
            group.source,
            group.rule,
            float(row.expected),
            None,
            _tolerance(group, row.expected),
            unit=group.unit or catalogue()[row.key].unit,
            subject=group.subject,
        )
        yield check.without(missing) if missing else attempted(check, partial(found, row.light, row.key))


def _light(group: Group, light: _Key) -> Light:
    if group.lamps is not None:
        return live.lamp(str(light[0]), group.lamps)
    return LIGHTS[str(light[0])](*light[1:])
