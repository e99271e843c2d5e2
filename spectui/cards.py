"""Which cards a user has chosen, in which order: named sets, kept in cards.toml of the settings folder."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field, replace

from spectui.core.errors import SpectuiError, UsageError
from spectui.core.metrics import FIRST_CARDS
from spectui.places import config

DEFAULT = "default"


@dataclass(frozen=True, slots=True)
class Cards:
    """current: the name of the set in use. sets: name → metric keys in their order; the default set is always there."""

    current: str = DEFAULT
    sets: dict[str, tuple[str, ...]] = field(default_factory=lambda: {DEFAULT: FIRST_CARDS})

    @property
    def keys(self) -> tuple[str, ...]:
        """The cards in use."""
        return self.sets[self.current]

    def changed(self, keys: tuple[str, ...]) -> Cards:
        """Return the sets with the current one changed."""
        return replace(self, sets={**self.sets, self.current: keys})

    def kept(self, name: str) -> Cards:
        """Return the sets with the current cards also kept under `name`, which is then in use."""
        return Cards(name, {**self.sets, name: self.keys})

    def dropped(self) -> Cards:
        """Return the sets without the current one; the default set goes back to what a new user sees."""
        rest = {name: keys for name, keys in self.sets.items() if name != self.current}
        return Cards(DEFAULT, {DEFAULT: FIRST_CARDS, **rest})

    def next(self) -> Cards:
        """Return the sets with the next one in use."""
        names = list(self.sets)
        return replace(self, current=names[(names.index(self.current) + 1) % len(names)])


def load(known: Collection[str]) -> tuple[Cards, tuple[str, ...]]:
    """Return the user's cards, and a sentence for each thing in the file that was not taken.

    known: the metric keys there are. Never raises: a broken file gives the first cards.
    """
    path = config() / "cards.toml"
    if not path.exists():
        return Cards(), ()
    from spectui.settings import toml

    try:
        table = toml(path)
    except UsageError as error:
        return Cards(), (f"{error}; showing the first cards",)
    sets: dict[str, tuple[str, ...]] = {DEFAULT: FIRST_CARDS}
    told = []
    given = table.get("sets")
    for name, keys in (given if isinstance(given, dict) else {}).items():
        if not isinstance(keys, list) or not keys:
            told.append(f"{path}: set {name!r}: expected a list of metric keys")
            continue
        unknown = [key for key in keys if key not in known]
        told += [f"{path}: set {name!r}: unknown card {key!r} left out" for key in unknown]
        sets[name] = tuple(dict.fromkeys(key for key in keys if key in known)) or FIRST_CARDS
    current = table.get("current", DEFAULT)
    if current not in sets:
        told.append(f"{path}: current is {current!r}: expected one of {', '.join(sets)}")
        current = DEFAULT
    return Cards(current, sets), tuple(told)


def save(cards: Cards) -> str | None:
    """Write the cards; return a sentence where that failed."""
    import json

    from spectui.files.atomic import write_text

    # A JSON string without lone surrogates is a TOML basic string.
    lines = [f"current = {json.dumps(cards.current)}", "", "[sets]"]
    lines += [f"{json.dumps(name)} = {json.dumps(list(keys))}" for name, keys in cards.sets.items()]
    path = config() / "cards.toml"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_text(path, "\n".join(lines) + "\n", force=True)
    except (SpectuiError, OSError) as error:
        return f"cards not kept: {error}"
    return None
