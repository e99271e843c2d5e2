"""The user's own keys: a TOML file of `action_id = "key"` (or a list of keys), checked before use."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from spectui.tui.actions import ACTIONS, BY_ID

# The keys of a terminal that no multiplexer eats; every printable character is one too.
NAMED = (
    "enter", "esc", "tab", "space", "backspace", "delete", "up", "down", "left", "right",
    "home", "end", "pageup", "pagedown", *(f"f{number}" for number in range(1, 13)),
)  # fmt: skip


class Keymap(NamedTuple):
    """keys: action id → its keys. news: a sentence for each thing in the user's file that was not taken."""

    keys: dict[str, tuple[str, ...]]
    news: tuple[str, ...] = ()

    def action(self, key: str, where: str) -> str | None:
        """Return the id of the action that a key stands for on a kind of screen."""
        for action in ACTIONS:
            if action.where == where and key in self.keys[action.id]:
                return action.id
        return None

    def of(self, *ids: str) -> str:
        """Return the first key of each action, for the footer."""
        return " ".join(self.keys[name][0] for name in ids)


def load(path: Path) -> Keymap:
    """Read a keymap file. A missing one is the default; a malformed one is told and the default used."""
    if not path.exists():
        return build({})
    import tomllib

    try:
        table = tomllib.loads(path.read_bytes()[:100_000].decode("utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        return Keymap(build({}).keys, (f"{path}: not read as TOML: {error}; keys are the default ones",))
    return build(table, path.name)


def build(table: Mapping[str, Any], source: str = "keys.toml") -> Keymap:
    """Lay the user's keys over the default ones. Unknown ids, unknown keys and clashes are told and not taken."""
    keys = {action.id: action.keys for action in ACTIONS}
    news: list[str] = []
    changed: list[str] = []
    for name, value in table.items():
        given = tuple(value) if isinstance(value, list) else (value,)
        bad = [key for key in given if not _known(key)]
        if name not in BY_ID:
            news.append(f"{source}: unknown action {name!r}; the keys screen lists them")
        elif bad or not given:
            came = repr(bad[0]) if bad else "none"
            news.append(f"{source}: {name}: unknown key {came}: expected a character or a name like esc")
        else:
            keys[name] = given
            changed.append(name)
    # A changed action that meets another one loses and keeps its default; the last in the file loses first.
    while (clash := _clash(keys, changed)) is not None:
        loser, winner, key = clash
        keys[loser] = BY_ID[loser].keys
        changed.remove(loser)
        news.append(f"{source}: {loser} = {key!r} clashes with {winner}; {loser} keeps {' '.join(keys[loser])}")
    return Keymap(keys, tuple(news))


def _clash(keys: dict[str, tuple[str, ...]], changed: list[str]) -> tuple[str, str, str] | None:
    for loser in reversed(changed):
        for action in ACTIONS:
            if action.id != loser and action.where == BY_ID[loser].where:
                shared = [key for key in keys[loser] if key in keys[action.id]]
                if shared:
                    return loser, action.id, shared[0]
    return None


def _known(key: Any) -> bool:
    return isinstance(key, str) and (key in NAMED or (len(key) == 1 and key.isprintable() and key != " "))
