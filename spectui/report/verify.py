"""A verification as text: the record of an installation, a heading for each source and rule, a line a check."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby
from textwrap import wrap

from spectui.core.verify.check import Check, Verification
from spectui.report.numbers import NONE, number, unit
from spectui.report.text import columns

STATEMENT = (
    "This is the record that ISO/IEC 17025:2017, 7.11.2, asks of software before its results are used. "
    "It validates the calculation of this installation, not an instrument."
)
_WIDTH = 80
NO = "NO"
# Below this a row of zeros is harder to read than a power of ten.
_TINY = 1e-9


def software() -> dict[str, str]:
    """Return what was verified and what it ran on: name → version."""
    import platform
    from importlib.metadata import PackageNotFoundError, version

    import numpy as np

    from spectui import __version__

    found = {"spectui": __version__, "numpy": np.__version__}
    try:
        found["colour-science"] = version("colour-science")
    except PackageNotFoundError:
        found["colour-science"] = "not installed"
    return found | {"python": platform.python_version(), "platform": platform.platform()}


def text(found: Verification, versions: Mapping[str, str]) -> str:
    """Return the whole record; its last line is the summary."""
    lines = list(table(found))
    lines += [*wrap(STATEMENT, _WIDTH), ""]
    lines += ["  ".join(f"{name} {value}" for name, value in versions.items())]
    return "\n".join([*lines, summary(found)]) + "\n"


def table(found: Verification) -> Iterator[str]:
    """Yield the checks: subject, source and rule of each group, then a line a check."""
    last = None
    for (subject, source, rule), group in groupby(found.checks, lambda c: (c.subject, c.source, c.rule)):
        if subject != last:
            yield subject
        last = subject
        for head, words in (("source: ", source), ("rule:   ", rule)):
            yield from wrap(words, _WIDTH, initial_indent=head, subsequent_indent=" " * len(head))
        yield from _lines(list(group))
        yield ""


def _lines(checks: list[Check]) -> list[str]:
    rows = [["quantity", "expected", "found", "tolerance", "", ""]]
    for check in checks:
        rows.append([check.quantity, *digits(check), unit(check.unit), word(check)])
    lines = columns(rows, left=(0, 4, 5)).splitlines()
    return lines + list(dict.fromkeys(check.unavailable for check in checks if check.unavailable))


def digits(check: Check) -> tuple[str, str, str]:
    """Return expected, found and tolerance as text, with the digits that the tolerance supports."""
    finest = check.tolerance or 5.0  # without a tolerance it is a count
    expected, found = (number(value, finest) for value in (check.expected, check.found))
    if check.tolerance == 0:
        return expected, found, NONE
    return expected, found, number(check.tolerance, finest if finest > _TINY else None)


def word(check: Check) -> str:
    """Return the verdict on a check in words."""
    return "ok" if check.ok else NO if check.ran else "not run"


def summary(found: Verification) -> str:
    """Return the verdict in one line: how many checks, and which do not hold."""
    total = f"{len(found.checks)} checks"
    if found.ok:
        return f"{total}, all hold"
    parts = []
    if found.failed:
        names = "; ".join(check.quantity for check in found.failed)
        parts.append(f"{len(found.failed)} do{'es' if len(found.failed) == 1 else ''} not hold: {names}")
    if found.not_run:
        parts.append(f"{len(found.not_run)} {found.not_run[0].unavailable}")
    return ", ".join([total, *parts]) if parts else "no checks"
