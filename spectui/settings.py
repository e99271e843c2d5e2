"""The user's own settings that commands and screen share: limits of doubt, action spectra, cards."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from spectui.core.errors import UsageError
from spectui.core.quality import DEFAULTS, Limits
from spectui.places import config

if TYPE_CHECKING:
    from spectui.core.metric import Metric

_LARGEST_BYTES = 100_000


def limits() -> Limits:
    """Return the limits of doubt: ours, with those of `limits.toml` in the settings folder. Raises UsageError."""
    path = config() / "limits.toml"
    if not path.exists():
        return DEFAULTS
    chosen = {}
    for key, value in toml(path).items():
        if key not in Limits._fields:
            raise UsageError(f"{path}: unknown limit {key!r}: {_nearest(key, Limits._fields)}")
        if isinstance(value, bool) or not isinstance(value, int | float) or not value >= 0:
            raise UsageError(f"{path}: {key}: expected a number of 0 or more, got {value!r}")
        chosen[key] = float(value)
    return DEFAULTS._replace(**chosen)


def actions(paths: Iterable[str] = ()) -> list[Metric]:
    """Return the metrics of the user's action spectra: files in `actions/` of the settings folder, then those named.

    Raises FileError for a malformed one, UsageError for a key that two of them give.
    """
    folder = config() / "actions"
    kept = sorted(p for p in folder.iterdir() if not p.name.startswith(".")) if folder.is_dir() else []
    files = [*map(str, kept), *paths]
    if not files:
        return []
    from spectui.files.action import read_action

    found: dict[str, Metric] = {}
    for file in files:
        metric = read_action(file).metric()
        if metric.key in found:
            raise UsageError(f"{file}: {metric.key} stands in two action spectra: change the name of one")
        found[metric.key] = metric
    return list(found.values())


def toml(path: Path) -> dict[str, Any]:
    """Read a settings file. Raises UsageError naming the file and the line."""
    import tomllib

    try:
        with open(path, "rb") as file:
            return tomllib.loads(file.read(_LARGEST_BYTES).decode("utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise UsageError(f"{path}: cannot be read as TOML: {error}") from None


def _nearest(word: str, known: Iterable[str]) -> str:
    from difflib import get_close_matches

    known = list(known)
    near = get_close_matches(word, known, 1)
    return f"did you mean {near[0]!r}?" if near else f"expected one of {', '.join(known)}"
