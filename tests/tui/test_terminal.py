"""What the environment says about a terminal."""

from __future__ import annotations

import pytest

from spectui.tui.terminal import Terminal, refusal, terminal

UTF8 = {"LANG": "en_GB.UTF-8"}


@pytest.mark.parametrize(
    ("env", "expected"),
    [
        ({"TERM": "xterm-256color", "COLORTERM": "truecolor", **UTF8}, Terminal("true", False)),
        ({"TERM": "xterm-256color", **UTF8}, Terminal("256", False)),
        ({"TERM": "screen-256color", "LC_ALL": "C.UTF-8"}, Terminal("256", False)),
        ({"TERM": "xterm", **UTF8}, Terminal("16", False)),
        ({"TERM": "vt100", **UTF8}, Terminal("none", False)),
        ({"TERM": "xterm-256color", "NO_COLOR": "1", **UTF8}, Terminal("none", False)),
        ({"TERM": "xterm-256color", "NO_COLOR": "0", **UTF8}, Terminal("none", False)),
        # An empty NO_COLOR says nothing.
        ({"TERM": "xterm-256color", "NO_COLOR": "", **UTF8}, Terminal("256", False)),
        ({"TERM": "linux", "COLORTERM": "truecolor", **UTF8}, Terminal("16", True)),
        ({"TERM": "linux", "NO_COLOR": "1", **UTF8}, Terminal("none", True)),
        ({"TERM": "xterm-256color", "LANG": "de_DE.ISO-8859-1"}, Terminal("256", True)),
        ({"TERM": "xterm-256color", "LANG": "de_DE@euro"}, Terminal("256", True)),
        ({"TERM": "xterm-256color", "LANG": "C"}, Terminal("256", True)),
        ({"TERM": "xterm-256color"}, Terminal("256", True)),
        ({"TERM": "xterm-256color", "LC_ALL": "C", **UTF8}, Terminal("256", True)),
        ({"TERM": "xterm-256color", "LC_CTYPE": "en_US.utf8", "LANG": "C"}, Terminal("256", False)),
    ],
)
def test_depth_and_characters(env: dict[str, str], expected: Terminal) -> None:
    assert terminal(env) == expected


def test_no_terminal_is_one_line_with_what_to_do_instead(capsys: pytest.CaptureFixture[str]) -> None:
    from spectui.tui.app import run

    assert run([]) == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert "spectui metrics PATH" in told
    assert "spectui --help" in told
    assert refusal() is not None
