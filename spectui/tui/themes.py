"""Theme files: roles → colours at each colour depth, checked before use.

A theme is TOML: `name`, `ribbon` ("colour" or "dim"), a table `colours` (role = "#rrggbb", used at truecolour and,
by the nearest of the fixed cube and ramp, at 256 colours unless a table `256` gives role = 0-255) and a table `16`
(role = 0-15). 16 colours are chosen by role and not by nearest colour: the nearest of a dark grey is black, and the
fill would vanish.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from rich.color import Color, ColorSystem
from rich.style import Style

from spectui import places
from spectui.charts.cells import Span
from spectui.core.errors import UsageError
from spectui.tui.terminal import Depth

ROLES = ("bg", "text", "bright", "dots", "dim", "faint", "fill", "selected", "panel", "ghost", "hatch")
DEFAULT = "night"
# Pairs that must differ, or something a reader needs would vanish.
_APART = (("fill", "bg"), ("dots", "fill"), ("dots", "bg"), ("selected", "bg"), ("dim", "selected"), ("text", "bg"))


class Theme(NamedTuple):
    """name; ribbon: "colour" or "dim"; depths: depth → role → Color (empty without colour)."""

    name: str
    ribbon: str
    depths: Mapping[Depth, Mapping[str, Color]]


def load(path: Path) -> Theme:
    """Read and check one theme file. Raises UsageError naming file, role and what was expected."""
    import tomllib

    try:
        table = tomllib.loads(path.read_bytes()[:100_000].decode("utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise UsageError(f"theme {path}: not read as TOML: {error}") from error
    return build(table, str(path), path.stem)


def build(table: Mapping[str, Any], source: str, name: str) -> Theme:
    """Make a theme from a parsed table. Raises UsageError."""
    unknown = set(table) - {"name", "ribbon", "colours", "256", "16"}
    if unknown:
        raise UsageError(f"theme {source}: unknown key {min(unknown)!r}: expected name, ribbon, [colours], [256], [16]")
    ribbon = table.get("ribbon", "colour")
    if ribbon not in ("colour", "dim"):
        raise UsageError(f'theme {source}: ribbon is {ribbon!r}: expected "colour" or "dim"')
    true = _roles(table, "colours", source, _hex, "a colour like #c6c6c6")
    fixed = {role: nearest(colour) for role, colour in true.items()}
    if "256" in table:
        fixed = _roles(table, "256", source, lambda value: _number(value, 255), "a number from 0 to 255")
    few = _roles(table, "16", source, lambda value: _number(value, 15), "a number from 0 to 15")
    theme = Theme(str(table.get("name", name)), ribbon, {"true": true, "256": fixed, "16": few, "none": {}})
    _check(theme, source)
    return theme


def _roles(
    table: Mapping[str, Any], part: str, source: str, parse: Callable[[Any], Color | None], expected: str
) -> dict[str, Color]:
    given = table.get(part)
    if not isinstance(given, Mapping):
        raise UsageError(f"theme {source}: no table [{part}]: expected {', '.join(ROLES)}, each {expected}")
    given = {"dots": given.get("bright"), **given}
    unknown = [role for role in given if role not in ROLES]
    if unknown:
        raise UsageError(f"theme {source}: unknown role {unknown[0]!r} in [{part}]: expected {', '.join(ROLES)}")
    found = {}
    for role in ROLES:
        colour = parse(given.get(role))
        if colour is None:
            came = f"is {given[role]!r}" if given.get(role) is not None else "is missing"
            raise UsageError(f"theme {source}: {role} in [{part}] {came}: expected {expected}")
        found[role] = colour
    return found


def _hex(value: Any) -> Color | None:
    text = value if isinstance(value, str) else ""
    if len(text) != 7 or text[0] != "#":
        return None
    try:
        red, green, blue = (int(text[at : at + 2], 16) for at in (1, 3, 5))
    except ValueError:
        return None
    return Color.from_rgb(red, green, blue)


def _number(value: Any, most: int) -> Color | None:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= most:
        return None
    return Color.from_ansi(value)


_CUBE = (0, 95, 135, 175, 215, 255)


def nearest(colour: Color) -> Color:
    """Return the nearest of the 240 fixed colours: the 6 x 6 x 6 cube and the grey ramp.

    Rich has its own rounding, which takes greys of the ramp for their neighbours.
    """
    wanted = colour.get_truecolor()
    steps = [min(range(6), key=lambda i, part=part: abs(_CUBE[i] - part)) for part in wanted]  # type: ignore[misc]
    grey = min(max(round((sum(wanted) / 3 - 8) / 10), 0), 23)
    choices = {
        16 + 36 * steps[0] + 6 * steps[1] + steps[2]: tuple(_CUBE[i] for i in steps),
        232 + grey: (8 + 10 * grey,) * 3,
    }
    number = min(choices, key=lambda n: sum((a - b) ** 2 for a, b in zip(choices[n], wanted, strict=True)))
    return Color.from_ansi(number)


def _check(theme: Theme, source: str) -> None:
    for depth, colours in theme.depths.items():
        for one, other in _APART if colours else ():
            # Not by ==: a colour that was downgraded remembers the name it came from.
            if (colours[one].number, colours[one].triplet) == (colours[other].number, colours[other].triplet):
                where = "" if depth == "true" else f" at {depth} colours"
                raise UsageError(
                    f"theme {source}: {one} and {other} are the same colour{where}: expected two that differ"
                )


def available() -> dict[str, Path]:
    """Return name of the file → path of every theme: the bundled ones first, a user's own of the same name wins."""
    found: dict[str, Path] = {}
    for folder in (places.themes(), places.config() / "themes"):
        try:
            paths = sorted(folder.glob("*.toml"))
        except OSError:
            continue
        found.update((path.stem, path) for path in paths)
    return found


def choose(name: str) -> tuple[Theme, str | None]:
    """Return the theme called `name`, or the default one and a sentence that says why."""
    path = places.themes() / f"{DEFAULT}.toml"
    if name == DEFAULT:
        own = places.config() / "themes" / f"{DEFAULT}.toml"
        if not own.exists():
            return load(path), None
    try:
        wanted = available().get(name)
        if wanted is None:
            raise UsageError(f"theme {name!r} is not there: expected one of {', '.join(available())}")
        return load(wanted), None
    except UsageError as error:
        return load(path), f"{error}; showing {DEFAULT}"


class Paint:
    """Turns roles into terminal styles for one theme at one colour depth."""

    def __init__(self, theme: Theme, depth: Depth) -> None:
        self.theme, self.depth = theme, depth
        self._colours = theme.depths[depth]
        self.style = lru_cache(maxsize=512)(self._style)

    @property
    def colourful(self) -> bool:
        """True where the ribbon may be drawn in colour."""
        return self.depth != "none" and self.theme.ribbon == "colour"

    def _style(self, ink: str, ground: str, bold: bool, reverse: bool) -> Style:
        if self.depth == "none":
            return Style(
                bold=bold or None, dim=ink in ("dim", "faint", "hatch", "ghost") or None, reverse=reverse or None
            )
        if ground == "selected" and ink in ("dim", "text"):
            # Of 16 colours the tile is a middle grey: only the brightest reads well on it.
            ink = "bright" if self.depth == "16" else "text"
        return Style(
            color=self._colour(ink, "text"),
            bgcolor=self._colour(ground, "bg"),
            bold=bold or None,
            reverse=reverse or None,
        )

    def _colour(self, role: str, otherwise: str) -> Color:
        if role.startswith("#"):
            colour = Color.parse(role)
            if self.depth == "256":
                return nearest(colour)
            return colour.downgrade(ColorSystem.STANDARD) if self.depth == "16" else colour
        return self._colours.get(role, self._colours[otherwise])

    def of(self, span: Span) -> Style:
        """Return the style of a span."""
        return self.style(span.ink, span.ground, span.bold, span.reverse)
