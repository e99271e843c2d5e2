"""The packings of JCAMP-DX by hand and by an encoder of the tests' own."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from spectui.core.errors import FileError
from spectui.files import asdf, jcamp

SQZ = {**{n: c for n, c in enumerate("@ABCDEFGHI")}, **{-n: c for n, c in enumerate("abcdefghi", 1)}}
DIF = {**{n: c for n, c in enumerate("%JKLMNOPQR")}, **{-n: c for n, c in enumerate("jklmnopqr", 1)}}
DUP = "_STUVWXYZs"


def values(text: str) -> list[float]:
    return asdf.line(text).values


def test_affn_by_hand() -> None:
    assert asdf.line("  400.5 1 -2.5, +3E-02\t4.5e+01;.5 6. ") == ("400.5", [1, -2.5, 0.03, 45, 0.5, 6], False)
    assert asdf.line("") == ("", [], False)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # By hand, the same six ordinates in each form: 99 100 98 98 98 -5 (the scheme of the 1988 paper).
        ("1 99 100 98 98 98 -5", [99, 100, 98, 98, 98, -5]),
        ("1+99+100+98+98+98-5", [99, 100, 98, 98, 98, -5]),
        ("1I9A00I8I8I8e", [99, 100, 98, 98, 98, -5]),
        ("1I9A00I8Ue", [99, 100, 98, 98, 98, -5]),
        ("1I9Jk%%j03", [99, 100, 98, 98, 98, -5]),
        ("1I9JkTU", [99, 100, 98, 96, 94, 92]),
        ("1I9JkS%Tj03", [99, 100, 98, 98, 98, -5]),
        ("1 @ a1 A2", [0, -11, 12]),
        ("1%", None),
        ("1 5S5", [5] * 15),
        ("1 5 ? ?", [5, math.nan, math.nan]),
        ("1 5?T", [5, math.nan, math.nan]),
        ("599.860E548F2", [5548, 62]),
        ("1A.5", [1.5]),
    ],
)
def test_packings_by_hand(text: str, expected: list[float] | None) -> None:
    if expected is None:
        with pytest.raises(ValueError, match="refers to the value before"):
            asdf.line(text)
        return
    assert str(values(text)) == str([float(value) for value in expected])


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("1 2 #", "'#' is no digit of any packing"),
        ("1 2_0", "no digit"),
        ("4##0 2", "'#' is no digit"),
        ("1 nan", "no digit|refers"),
        ("1 1.2.3", "expected a number"),
        ("A1 2", "begin with its X"),
        ("? 2", "begin with its X"),
        ("1 T", "refers to the value before"),
        ("1 ?J", "refers to the value before"),
        ("1 5S99999999", "repeats a value more than"),
        ("1 2 +", "no digit"),
    ],
)
def test_lines_that_are_no_numbers(text: str, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        asdf.line(text)


def test_the_worth_of_the_last_place() -> None:
    assert [asdf.last_place(text) for text in ("400", "400.25", "1.5E-3", "2e+02")] == [1, 0.01, 0.0001, 100]


def encode(numbers: list[int], form: str, dup: bool, per_line: int, gap: int | None = None) -> list[str]:
    """Pack integers over X = 0, 1, 2 …; an independent encoder: it never calls what it tests."""

    def letter(table: dict[int, str], n: int) -> str:
        digits = str(abs(n))
        return table[int(math.copysign(1, n)) * int(digits[0])] + digits[1:]

    def item(at: int, first: bool) -> str:
        n = numbers[at]
        if at == gap:
            return "?"
        if form == "DIF" and not first and at - 1 != gap:
            return letter(DIF, n - numbers[at - 1])
        if form in ("SQZ", "DIF"):
            return letter(SQZ, n)
        return f"{n:+d}" if form == "PAC" else f" {n}"

    def packed(items: list[str]) -> str:
        out: list[str] = []
        at = 0
        while at < len(items):
            run = 1
            while dup and at + run < len(items) and items[at + run] == items[at]:
                run += 1
            if run > 1:
                out.append(items[at] + DUP[int(str(run)[0])] + str(run)[1:])
            else:
                out.append(items[at])
            at += run
        return "".join(out)

    lines: list[str] = []
    at = 0
    check = False
    while at < len(numbers) or check:
        start = at - 1 if check else at
        chunk = numbers[start : start + per_line + check]
        # The first ordinate of a line is a value of its own, never part of a run.
        items = [item(start + i, i == 0) for i in range(len(chunk))]
        lines.append(f"{start}{items[0]}{packed(items[1:])}")
        at = start + len(chunk)
        check = form == "DIF" and len(items) > 1 and items[-1] != "?" and items[-1][0] in DIF.values()
    return lines


def document(lines: list[str], n: int, factor: str = "1") -> bytes:
    head = f"##TITLE=x\n##JCAMP-DX=4.24\n##XUNITS=NANOMETERS\n##YUNITS=COUNTS\n##FIRSTX=400\n##LASTX={400 + n - 1}\n"
    head += f"##XFACTOR=1\n##YFACTOR={factor}\n##NPOINTS={n}\n##XYDATA=(X++(Y..Y))\n"
    moved = []
    for line in lines:
        digits = line[: next((i for i, c in enumerate(line) if not c.isdigit()), len(line))]
        moved.append(f"{int(digits) + 400}{line[len(digits) :]}")
    return (head + "\n".join(moved) + "\n##END=\n").encode()


packed_numbers = st.lists(st.one_of(st.integers(-3, 3), st.integers(-(10**9), 10**9)), min_size=2, max_size=60)


@settings(max_examples=300, deadline=None)
@given(packed_numbers, st.sampled_from(["AFFN", "PAC", "SQZ", "DIF"]), st.booleans(), st.integers(1, 20))
def test_every_packing_gives_the_integers_back(numbers: list[int], form: str, dup: bool, per_line: int) -> None:
    [scan] = jcamp.read(document(encode(numbers, form, dup and form != "AFFN", per_line), len(numbers), "0.5"), "x")
    assert scan.values.tolist() == [n * 0.5 for n in numbers]
    assert scan.wavelength.tolist() == [400.0 + i for i in range(len(numbers))]


@settings(max_examples=100, deadline=None)
@given(packed_numbers, st.sampled_from(["AFFN", "PAC", "SQZ", "DIF"]), st.integers(2, 20), st.data())
def test_a_missing_value_in_every_packing(numbers: list[int], form: str, per_line: int, data: st.DataObject) -> None:
    numbers = [*numbers, 1, 2]
    gap = data.draw(st.integers(0, len(numbers) - 1))
    text = document(encode(numbers, form, False, per_line, gap), len(numbers))
    with pytest.raises(FileError, match="--skip-gaps"):
        jcamp.read(text, "x")
    [scan] = jcamp.read(text, "x", skip_gaps=True)
    assert scan.values.tolist() == [float(n) for at, n in enumerate(numbers) if at != gap]
    assert [flag.code for flag in scan.flags] == ["gaps_skipped"]


def test_the_encoder_itself_by_hand() -> None:
    assert encode([99, 100, 98, 98, 98, -5], "DIF", True, 9) == ["0I9Jk%Tj03", "5e"]
    assert encode([99, 100, 98, 98], "SQZ", True, 2) == ["0I9A00", "2I8I8"]


def test_a_broken_y_check_names_the_line() -> None:
    text = document(["0I9Jk", "2I7J"], 4)
    with pytest.raises(FileError, match="line 12: Y check: the line begins with 97, the line before ends with 98"):
        jcamp.read(text, "x")


@pytest.mark.parametrize("form", ["AFFN", "PAC", "SQZ", "DIF"])
def test_a_lost_line_is_found(form: str) -> None:
    numbers = list(range(7, 37))
    lines = encode(numbers, form, False, 5)
    del lines[2]
    with pytest.raises(FileError, match="Y check" if form == "DIF" else "NPOINTS= is 30, but the table has 25"):
        jcamp.read(document(lines, len(numbers)), "x")
    if form != "DIF":
        lines.append(lines[-1])  # as many points as before
        with pytest.raises(FileError, match="line 13: X check: the line begins with 415, expected 410"):
            jcamp.read(document(lines, len(numbers)), "x")
