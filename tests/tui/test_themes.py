"""Theme files: checked before use at every depth, and a bad one is told and not shown."""

from __future__ import annotations

from pathlib import Path

import pytest

from spectui import places
from spectui.charts.cells import Span
from spectui.core.errors import UsageError
from spectui.tui import themes
from spectui.tui.themes import ROLES, Paint, choose, load

BUNDLED = sorted(places.themes().glob("*.toml"))
INKS = ("text", "bright", "dots", "dim", "faint", "fill", "hatch", "ghost")
GROUNDS = ("bg", "panel", "selected", "fill", "ghost")


def test_the_four_themes_are_there() -> None:
    assert [path.stem for path in BUNDLED] == ["daylight", "high-contrast", "lights-off", "night"]


@pytest.mark.parametrize("path", BUNDLED, ids=lambda path: path.stem)
def test_bundled_themes_hold_their_checks(path: Path) -> None:
    theme = load(path)
    assert theme.name == path.stem
    assert all(set(theme.depths[depth]) == set(ROLES) for depth in ("true", "256", "16"))


def test_greys_of_256_are_those_of_truecolour() -> None:
    for name in ("night", "daylight"):
        theme = load(places.themes() / f"{name}.toml")
        for role, colour in theme.depths["true"].items():
            fixed = theme.depths["256"][role]
            assert fixed.get_truecolor() == colour.get_truecolor(), (name, role)


def changed(tmp_path: Path, old: str, new: str) -> Path:
    text = (places.themes() / "night.toml").read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / "mine.toml"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('fill = "#585858"', 'fill = "#121212"', "fill and bg are the same colour"),
        ('dots = "#eeeeee"', 'dots = "#585858"', "dots and fill"),
        ('dots = "#eeeeee"', 'dots = "#121212"', "dots and bg"),
        ('selected = "#3a3a3a"', 'selected = "#121212"', "selected and bg"),
        ('dim = "#8a8a8a"', 'dim = "#3a3a3a"', "dim and selected"),
        # Two that differ by a hair are one at 256 colours.
        ('fill = "#585858"', 'fill = "#131313"', "fill and bg are the same colour at 256 colours"),
        ("fill = 8", "fill = 0", "fill and bg are the same colour at 16 colours"),
        ("dim = 7", "dim = 8", "dim and selected are the same colour at 16 colours"),
        ('fill = "#585858"', 'fill = "grey"', "fill in [colours] is 'grey': expected a colour like #c6c6c6"),
        ('fill = "#585858"', 'fill = "#58585"', "fill in [colours]"),
        ('hatch = "#626262"', "", "hatch in [colours] is missing"),
        ("bg = 0", "bg = 16", "bg in [16] is 16: expected a number from 0 to 15"),
        ("bg = 0", "bg = true", "bg in [16] is True"),
        ("[16]", "[sixteen]", "unknown key 'sixteen'"),
        ('ribbon = "colour"', 'ribbon = "rainbow"', "ribbon is 'rainbow'"),
        ("[colours]", "[colours", "not read as TOML"),
        ("bg = 0", "backdrop = 0", "unknown role 'backdrop'"),
    ],
)
def test_a_bad_theme_is_told(tmp_path: Path, old: str, new: str, told: str) -> None:
    path = changed(tmp_path, old, new)
    with pytest.raises(UsageError) as error:
        load(path)
    assert told in str(error.value)
    assert str(path) in str(error.value)


def test_a_users_theme_is_found_and_wins(settings: Path) -> None:
    (settings / "themes").mkdir(parents=True)
    text = (places.themes() / "night.toml").read_text(encoding="utf-8")
    (settings / "themes" / "dusk.toml").write_text(text.replace('"night"', '"dusk"'), encoding="utf-8")
    assert choose("dusk") == (load(settings / "themes" / "dusk.toml"), None)
    (settings / "themes" / "night.toml").write_text(text.replace("#c6c6c6", "#c6c6c7"), encoding="utf-8")
    theme, told = choose("night")
    assert told is None
    assert theme.depths["true"]["text"].get_truecolor().hex == "#c6c6c7"


def test_a_bad_theme_gives_the_default_one_and_a_sentence(settings: Path) -> None:
    (settings / "themes").mkdir(parents=True)
    (settings / "themes" / "dusk.toml").write_text("name = 1\n", encoding="utf-8")
    theme, told = choose("dusk")
    assert theme.name == "night"
    assert told is not None
    assert "dusk.toml" in told
    assert "showing night" in told
    assert "expected one of" in (choose("nowhere")[1] or "")


@pytest.mark.parametrize("depth", ["true", "256", "16"])
@pytest.mark.parametrize("path", BUNDLED, ids=lambda path: path.stem)
def test_every_role_has_colour(path: Path, depth: themes.Depth) -> None:
    paint = Paint(load(path), depth)
    for ink in (*INKS, "#3366ff"):
        for ground in GROUNDS:
            style = paint.of(Span("x", ink, ground))
            assert style.color is not None
            assert style.bgcolor is not None
    # On the selected tile what is dim reads as text; of 16 colours only the brightest reads there.
    expected = paint.of(Span("x", "bright" if depth == "16" else "text")).color
    assert paint.of(Span("x", "dim", "selected")).color == expected
    assert paint.of(Span("x", "text", "selected")).color == expected


@pytest.mark.parametrize("path", BUNDLED, ids=lambda path: path.stem)
def test_without_colour_no_style_has_one(path: Path) -> None:
    paint = Paint(load(path), "none")
    assert not paint.colourful
    for ink in (*INKS, "#3366ff"):
        for ground in GROUNDS:
            for bold in (False, True):
                style = paint.of(Span("x", ink, ground, bold))
                assert style.color is None
                assert style.bgcolor is None
                assert bool(style.bold) == bold


def test_lights_off_has_no_blue_and_no_red() -> None:
    for role, colour in load(places.themes() / "lights-off.toml").depths["true"].items():
        red, green, blue = colour.get_truecolor()
        assert green >= max(red, blue), role
    assert not Paint(load(places.themes() / "lights-off.toml"), "true").colourful
