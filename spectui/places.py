"""Where the bundled samples and themes are, and where a user's own settings are kept."""

from __future__ import annotations

import os
from pathlib import Path


def samples() -> Path:
    """Return the folder of the bundled scenario."""
    return _bundled("samples")


def themes() -> Path:
    """Return the folder of the bundled themes."""
    return _bundled("themes")


def config() -> Path:
    """Return the user's folder of settings (it may not exist yet): $XDG_CONFIG_HOME/spectui or ~/.config/spectui."""
    home = os.environ.get("XDG_CONFIG_HOME", "")
    base = Path(home) if os.path.isabs(home) else Path(os.path.expanduser("~")) / ".config"
    return base / "spectui"


def _bundled(name: str) -> Path:
    """An installed wheel carries the folder inside the package, a checkout beside it."""
    package = Path(__file__).resolve().parent
    inside = package / name
    return inside if inside.is_dir() else package.parent / name
