"""The number packings of JCAMP-DX (McDonald & Wilks 1988, Appl. Spectrosc. 42:151).

AFFN   free format, decimals and exponents (an exponent has its sign: `E-05`), divided by space or comma
PAC    `+` or `-` is the divider: `100+101-99`
SQZ    the first digit is a letter that carries the sign: @ABCDEFGHI for +0…9, abcdefghi for -1…-9
DIF    the same with %JKLMNOPQR and jklmnopqr for the difference from the value before
DUP    STUVWXYZs: the item before it stands 1…9 (or, with more digits, more) times in all
`?` is a value that is missing.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from spectui.files.safe import shown

LONGEST_RUN = 1_000_000
NAN = float("nan")

# Anything that plain float() on the parts of a line would take wrongly, or not at all.
_PACKED = re.compile(r"[A-DF-Za-df-z@%?_]|[Ee](?![+-])|[0-9.][+-]|[^\x00-\x7f]")
_TOKEN = re.compile(
    r"(?P<plain>[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[Ee][+-][0-9]{1,3}(?![0-9]))?)"
    r"|(?P<squeezed>[@A-Ia-i])(?P<sq>[0-9]*\.?[0-9]*)"
    r"|(?P<difference>[%J-Rj-r])(?P<di>[0-9]*\.?[0-9]*)"
    r"|(?P<repeat>[S-Zs])(?P<re>[0-9]*)"
    r"|(?P<gap>\?)"
    r"|(?P<divider>[\s,;]+)"
)
_DIGITS = {letter: f"{n}" for letters in ("@ABCDEFGHI", "%JKLMNOPQR") for n, letter in enumerate(letters)}
_DIGITS |= {letter: f"-{n}" for letters in ("abcdefghi", "jklmnopqr") for n, letter in enumerate(letters, 1)}
_TIMES = {letter: f"{n}" for n, letter in enumerate("STUVWXYZs", 1)}


class Line(NamedTuple):
    """One line of a table: `x` as written, the values as numbers (NaN is missing).

    differs: the last value was written as a difference, so the next line begins with it once more as a check.
    """

    x: str
    values: list[float]
    differs: bool


def line(text: str) -> Line:
    """Take one line `X Y Y Y …` apart; raises ValueError saying what was met."""
    if _PACKED.search(text) is None:
        parts = text.replace(",", " ").replace(";", " ").split()
        try:
            numbers = [float(part) for part in parts]
            return Line(parts[0] if parts else "", numbers[1:], False)
        except ValueError:
            pass  # the way below knows what to say
    x: str | None = None
    values: list[float] = []
    step: float | None = None  # the difference to repeat, None where the last item was a value
    at, apart = 0, True  # apart: what comes next is divided from what came before
    while at < len(text):
        found = _TOKEN.match(text, at)
        if found is None:
            raise ValueError(f"{shown(text[at])} is no digit of any packing")
        at = found.end()
        if found["divider"] is not None:
            apart = True
            continue
        if not apart and found["plain"] is not None and found["plain"][0] not in "+-":
            raise ValueError(f"expected a number, got {shown(text[: found.end()].split()[-1])}")
        apart = False
        if x is None:
            if found["plain"] is None:
                raise ValueError(f"expected the line to begin with its X, got {shown(found[0])}")
            x = found["plain"]
        elif found["plain"] is not None:
            values.append(float(found["plain"]))
            step = None
        elif found["gap"] is not None:
            values.append(NAN)
            step = None
        elif found["squeezed"] is not None:
            values.append(float(_DIGITS[found["squeezed"]] + found["sq"]))
            step = None
        elif not values or (values[-1] != values[-1] and found["difference"] is not None):
            raise ValueError(f"{shown(found[0])} refers to the value before it, and there is none")
        elif found["difference"] is not None:
            step = float(_DIGITS[found["difference"]] + found["di"])
            values.append(values[-1] + step)
        else:
            times = int(_TIMES[found["repeat"]] + found["re"])
            if len(values) + times > LONGEST_RUN:
                raise ValueError(f"{shown(found[0])} repeats a value more than {LONGEST_RUN} times")
            for _ in range(times - 1):
                values.append(values[-1] if step is None else values[-1] + step)
    return Line(x or "", values, step is not None)


def last_place(text: str) -> float:
    """Return the worth of the last digit of a decimal number as written: `400.25` → 0.01, `1.5E-3` → 0.0001."""
    mantissa, _, exponent = text.upper().partition("E")
    return float(10.0 ** max(-300, min(300, int(exponent or 0) - len(mantissa.partition(".")[2]))))
