"""What the screen remembers of a user from one start to the next: the theme and the hours of light a day."""

from __future__ import annotations

from dataclasses import dataclass, replace

from spectui.core.errors import SpectuiError, UsageError
from spectui.places import config
from spectui.tui.themes import DEFAULT


@dataclass(frozen=True, slots=True)
class Memory:
    """theme: by name. hours: of light a day for DLI, None for those that each file states."""

    theme: str = DEFAULT
    hours: float | None = None


def load() -> tuple[Memory, tuple[str, ...]]:
    """Return what was remembered, and a sentence where the file could not be read or is malformed."""
    path = config() / "desk.toml"
    if not path.exists():
        return Memory(), ()
    from spectui.settings import toml

    try:
        table = toml(path)
    except UsageError as error:
        return Memory(), (str(error),)
    found, told = Memory(), []
    theme, hours = table.get("theme", DEFAULT), table.get("hours")
    if isinstance(theme, str):
        found = replace(found, theme=theme)
    else:
        told.append(f"{path}: theme: expected a name in quotes")
    if isinstance(hours, int | float) and not isinstance(hours, bool) and 0 < hours <= 24:
        found = replace(found, hours=float(hours))
    elif hours is not None:
        told.append(f"{path}: hours: expected a number from 0 to 24")
    return found, tuple(told)


def save(memory: Memory) -> str | None:
    """Write what is to be remembered; return a sentence where that failed."""
    import json

    from spectui.files.atomic import write_text

    text = f"theme = {json.dumps(memory.theme)}\n"
    if memory.hours is not None:
        text += f"hours = {memory.hours:g}\n"
    path = config() / "desk.toml"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_text(path, text, force=True)
    except (SpectuiError, OSError) as error:
        return f"not kept: {error}"
    return None
