"""Reads a user's bins (core/bins.py says how scans are sorted) from TOML:

title = "warm white, our choice"
[[bin]]                                        in order: where bins touch or overlap, the first one has the scan
name = "W1"
xy = [[0.43, 0.40], [0.44, 0.41], [0.45, 0.40]]   a polygon of x, y: its corners in turn, its edges included
u_prime_v_prime = [[0.25, 0.52], …]            or of u′, v′
centre_xy = [0.4339, 0.4033]                   a circle; or centre_u_prime_v_prime, or centre_nominal_cct = 3000
radius = 0.004                                 in the diagram of its centre; or steps = 3, u′v′ steps of 0.0011
nominal_cct = 3000                             the nominal class
cct = [2870, 3220]                             a range of any metric, both ends included; inf where there is no end
duv = [-0.003, 0.003]
[[class]]                                      divides every bin further; same keys
name = "F1"
ppfd = [200, 240]

Each bin takes what it needs of these; all that it says must hold.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Sequence
from math import isfinite, isnan
from typing import Any

from spectui.core.bins import UV, XY, Bin, Bins, Circle, Criterion, InNominal, Polygon, Range, centre
from spectui.core.chromaticity import NOT_AVAILABLE, OUTSIDE, STEP, u_prime_v_prime
from spectui.core.errors import UsageError
from spectui.core.metric import Metric
from spectui.core.metrics import catalogue
from spectui.files.safe import shown

LARGEST_BYTES = 1 << 20
MOST_BINS = 1000
_POLYGONS = {"xy": XY, "u_prime_v_prime": UV}
_CENTRES = ("centre_xy", "centre_u_prime_v_prime", "centre_nominal_cct")
_KEYS = ("name", *_POLYGONS, *_CENTRES, "radius", "steps", "nominal_cct")
_TOP = ("title", "notes", "bin", "class")


def read_bins(path: str | os.PathLike[str], *, more: Sequence[Metric] = ()) -> Bins:
    """Read a file of bins. more: metrics beyond the catalogue that ranges may name (a user's action spectra).

    Raises UsageError naming file, line, bin and key, and what was expected.
    """
    source = os.fspath(path)
    try:
        if not os.path.isfile(source) or os.stat(source).st_size > LARGEST_BYTES:
            raise UsageError(f"{source}: expected a file of bins, TOML of at most {LARGEST_BYTES >> 20} MiB")
        with open(source, "rb") as file:
            data = file.read(LARGEST_BYTES)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise UsageError(f"{source}: the bins cannot be read: {reason}") from None
    return parse_bins(data, source, more=more)


def parse_bins(data: bytes, source: str, *, more: Sequence[Metric] = ()) -> Bins:
    """Read bins from TOML; as `read_bins`."""
    import tomllib

    try:
        text = data.decode("utf-8-sig")
        found = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise UsageError(f"{source}: the bins are no TOML: {error}") from None
    for key in found:
        if key not in _TOP:
            raise UsageError(f"{_line(source, text, key)}unknown key {shown(key)}{_nearest(key, _TOP)}")
    metrics = {*catalogue(), *(m.key for m in more)}
    kinds = {}
    for kind in ("bin", "class"):
        tables = found.get(kind, [])
        if not isinstance(tables, list) or not all(isinstance(item, dict) for item in tables):
            raise UsageError(f"{_line(source, text, kind)}expected [[{kind}]] tables")
        if len(tables) > MOST_BINS:
            raise UsageError(f"{source}: expected at most {MOST_BINS} [[{kind}]] tables, got {len(tables)}")
        kinds[kind] = _bins(kind, tables, metrics, source, text)
    if not kinds["bin"]:
        raise UsageError(f"{source}: expected one [[bin]] or more, got none")
    try:
        return Bins(kinds["bin"], kinds["class"], _text(found.get("title", "")))
    except UsageError as error:
        raise UsageError(f"{source}: {error}") from None


def _bins(kind: str, tables: list[dict[str, Any]], metrics: set[str], source: str, text: str) -> tuple[Bin, ...]:
    made: list[Bin] = []
    for count, table in enumerate(tables, 1):
        key = "name"
        name = table.get("name")
        called = shown(name) if isinstance(name, str) and name else f"number {count}"
        try:
            said = _text(name if name is not None else "").strip()
            if not said:
                raise UsageError("expected a name in quotes")
            if said in (OUTSIDE, NOT_AVAILABLE) or any(said == one.name for one in made):
                raise UsageError(f"expected another name: {said!r} is taken")
            for key in table:
                if key not in _KEYS and key not in metrics:
                    raise UsageError(f"unknown key {shown(key)}{_nearest(key, (*_KEYS, *sorted(metrics)))}")
            tests: list[Criterion] = []
            for key, value in table.items():
                if (test := _test(key, value, table)) is not None:
                    tests.append(test)
            key = "name"
            if not tests:
                raise UsageError(f"expected a shape or the range of a metric: {', '.join(_KEYS[1:])}, cct, duv, …")
        except UsageError as error:
            where = _line(source, text, key, kind, count)
            about = "" if key == "name" or str(error).startswith("unknown key") else f"{key}: "
            raise UsageError(f"{where}{kind} {called}: {about}{error}") from None
        made.append(Bin(said, tuple(tests)))
    return tuple(made)


def _test(key: str, value: Any, table: dict[str, Any]) -> Criterion | None:
    """Return what one key of a bin asks, None where it belongs to another key."""
    if key == "name":
        return None
    if key in _POLYGONS:
        if not isinstance(value, list):
            raise UsageError("expected a list of corners, [[x, y], …]")
        return Polygon.build(_POLYGONS[key], [_pair(item, "corners as pairs of numbers") for item in value])
    if key in _CENTRES:
        return _circle(key, value, table)
    if key in ("radius", "steps"):
        if not any(other in table for other in _CENTRES):
            raise UsageError(f"expected a centre with it: {', '.join(_CENTRES)}")
        return None
    if key == "nominal_cct":
        centre(value)
        return InNominal(value)
    lo, hi = _pair(value, "a range [lo, hi]", finite=False)
    if not lo < hi:
        raise UsageError(f"expected a range [lo, hi] with lo below hi, got {_written(value)}")
    return Range(key, lo, hi)


def _circle(key: str, value: Any, table: dict[str, Any]) -> Circle:
    if sum(other in table for other in _CENTRES) > 1 or ("radius" in table) == ("steps" in table):
        raise UsageError("expected one centre with either radius or steps")
    steps = "steps" in table
    size = _number(table["steps" if steps else "radius"])
    if not (isfinite(size) and size > 0):
        raise UsageError(f"expected a {'number of steps' if steps else 'radius'} above 0, got {size:g}")
    at = centre(value) if key == "centre_nominal_cct" else _pair(value, "a pair of numbers")
    if not (0 <= at[0] <= 1 and 0 < at[1] <= 1):
        raise UsageError(f"expected a chromaticity of 0-1, got {_written(value)}")
    if key == "centre_u_prime_v_prime" or (key == "centre_xy" and not steps):
        return Circle(UV if key == "centre_u_prime_v_prime" else XY, at, STEP * size if steps else size)
    u, v = u_prime_v_prime(*at)
    return Circle(UV, (float(u), float(v)), STEP * size if steps else size)


def _pair(value: Any, expected: str, finite: bool = True) -> tuple[float, float]:
    if not isinstance(value, list) or len(value) != 2:
        raise UsageError(f"expected {expected}, got {_written(value)}")
    pair = _number(value[0]), _number(value[1])
    if any(isnan(x) or (finite and not isfinite(x)) for x in pair):
        raise UsageError(f"expected {expected}, got {_written(value)}")
    return pair


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or (abs(value) > 1e300 and value not in _ENDLESS):
        raise UsageError(f"expected a number, got {_written(value)}")
    return float(value)


_ENDLESS = (float("inf"), float("-inf"))


def _text(value: Any) -> str:
    if not isinstance(value, str) or len(value) > 200:
        raise UsageError(f"expected text in quotes of at most 200 characters, got {_written(value)}")
    return value


def _written(value: Any) -> str:
    return shown(str(value))


def _nearest(key: str, known: Iterable[str]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(key, list(known), 1)
    return f": did you mean {near[0]!r}?" if near else ""


def _line(source: str, text: str, key: str, kind: str = "", count: int = 0) -> str:
    """Return the file, and the line of a key (within the count-th [[kind]]); of the [[kind]] where it has no such."""
    begins = re.compile(rf"\s*\[\[\s*{kind}\s*\]\]") if kind else None
    pattern = re.compile(rf'\s*(\[\[?\s*)?["\']?{re.escape(key)}["\']?\s*[=\].]')
    met, head = 0, 0
    for at, line in enumerate(text.split("\n"), 1):
        if begins and begins.match(line):
            met, head = met + 1, at if met + 1 == count else head
        elif met == count and pattern.match(line):
            return f"{source}: line {at}: "
    return f"{source}: line {head}: " if head else f"{source}: "
