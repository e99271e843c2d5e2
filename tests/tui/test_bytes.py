"""What goes over the line, byte by byte: the program in a pseudo-terminal."""

from __future__ import annotations

import os
import re
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.tui.pseudo import COLOUR, Pseudo

RIGHT, DOWN = "\x1b[C", "\x1b[B"
STEP_BYTES, PAINT_BYTES = 600, 60_000


@pytest.fixture
def pair(scans: Path) -> list[str]:
    return [str(scans / "1-new.csv"), str(scans / "2-aged.csv")]


def opened(arguments: list[str], width: int = 120, height: int = 36, **environ: str) -> Iterator[Pseudo]:
    pseudo = Pseudo(arguments, width, height, **environ)
    try:
        pseudo.wait(b"trust ok")
        pseudo.quiet()
        yield pseudo
    finally:
        pseudo.close()


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
def test_first_paint_and_caret_steps_are_small(pair: list[str], size: tuple[int, int]) -> None:
    for pseudo in opened(pair, *size):
        assert len(pseudo.sent) <= PAINT_BYTES
        for _ in range(5):
            before = pseudo.type(RIGHT)
            assert b" nm" in pseudo.wait(b" nm", before)
            pseudo.quiet()
            assert 0 < len(pseudo.sent) - before <= STEP_BYTES
        # A key held five times draws once (test_app.py counts); on a busy machine the keys may come in two portions.
        before = pseudo.type(RIGHT * 5)
        pseudo.wait(b"565", before)
        pseudo.quiet()
        assert len(pseudo.sent) - before <= 2 * STEP_BYTES
        # A key that changes nothing sends nothing.
        before = pseudo.type("~")
        pseudo.quiet()
        assert len(pseudo.sent) == before
        pseudo.type("q")
        assert pseudo.end() == 0


@pytest.mark.parametrize(
    "environ", [{"NO_COLOR": "1"}, {"NO_COLOR": "1", "TERM": "linux"}, {"TERM": "vt100", "COLORTERM": ""}]
)
def test_no_color_sends_no_colour(pair: list[str], environ: dict[str, str]) -> None:
    for pseudo in opened(pair, **environ):
        for keys in (DOWN, "v", "v", "s", "?", "\x1b", "x", "\x1b", "p", "\x1b"):
            pseudo.type(keys)
            pseudo.quiet(0.15)
        assert b"Cards" in pseudo.sent
        assert COLOUR.search(pseudo.sent) is None
        # Weight is what is left.
        assert b"\x1b[1m" in pseudo.sent


def test_colour_is_of_the_terminals_depth(pair: list[str]) -> None:
    kinds = {
        "true": ({"COLORTERM": "truecolor"}, rb"\x1b\[[\d;]*38;2;"),
        "256": ({"COLORTERM": "", "TERM": "xterm-256color"}, rb"\x1b\[[\d;]*38;5;"),
        "16": ({"COLORTERM": "", "TERM": "xterm"}, rb"\x1b\[(?:\d+;)*(?:3|9)[0-7][;m]"),
        "empty NO_COLOR": ({"NO_COLOR": " ", "COLORTERM": ""}, None),
    }
    found = {}
    for name, (environ, _) in kinds.items():
        for pseudo in opened(pair, 80, 24, **environ):
            found[name] = pseudo.sent
    for name, (_, pattern) in kinds.items():
        if pattern is not None:
            assert re.search(pattern, found[name]), name
    assert b"38;2;" not in found["256"]
    assert b"38;2;" not in found["16"]
    assert b"38;5;" not in found["16"]


@pytest.mark.parametrize("environ", [{"TERM": "linux", "COLORTERM": ""}, {"LANG": "de_DE.ISO-8859-1"}, {"LANG": "C"}])
def test_the_ascii_set_where_there_is_no_other(pair: list[str], environ: dict[str, str]) -> None:
    for pseudo in opened(pair, 80, 24, **environ):
        for keys in ("?", "\x1b", "i", "\x1b", "x", "\x1b", "w", "\x1b"):
            pseudo.type(keys)
            pseudo.quiet(0.15)
        assert b"umol/m2/s" in pseudo.sent
        assert pseudo.sent.isascii()


def test_noise_on_the_line_does_not_end_the_screen(pair: list[str]) -> None:
    for pseudo in opened(pair, 80, 24):
        for noise in (b"\x1b[M \xff\xfe", b"\xff", b"\xf0", b"\x80\x90\xc3", b"\xed\xa0\x80"):
            pseudo.type(noise)
            pseudo.quiet(0.15)
        before = pseudo.type(".")
        pseudo.wait(b"A put from", before)
        pseudo.type("q")
        assert pseudo.end() == 0


def test_a_dumb_terminal_is_refused(pair: list[str]) -> None:
    for term in ("dumb", ""):
        pseudo = Pseudo(pair, TERM=term)
        try:
            assert pseudo.end() == 2
            assert pseudo.sent.count(b"\n") == 1
            assert b"spectui metrics PATH" in pseudo.sent
            assert b"spectui --help" in pseudo.sent
        finally:
            pseudo.close()


def test_no_mouse_is_asked_for(pair: list[str]) -> None:
    for pseudo in opened(pair):
        assert not re.search(rb"\x1b\[\?100[0-36]h", pseudo.sent)


@pytest.mark.parametrize(("number", "code"), [(signal.SIGTERM, 143), (signal.SIGHUP, 129)])
def test_a_signal_leaves_cleanly(pair: list[str], number: signal.Signals, code: int) -> None:
    for pseudo in opened(pair, 80, 24):
        os.kill(pseudo.pid, number)
        assert pseudo.end() == code
        assert b"\x1b[?1049l" in pseudo.sent  # the terminal is given back


def test_ctrl_c_is_an_interruption(pair: list[str]) -> None:
    for pseudo in opened(pair, 80, 24):
        pseudo.type("\x03")
        assert pseudo.end() == 130
