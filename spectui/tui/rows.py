"""The lines of the shelf."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from spectui.core.results import Result
from spectui.core.scan import Scan

# What a shelf row shows of a scan that is not in a pane.
SHELF_KEYS = ("ppfd", "r_fr")


@dataclass(frozen=True, slots=True)
class Row:
    """A scan with its short result, a file with its error, or a file not read yet."""

    path: Path
    index: int | None = None
    scan: Scan | None = None
    error: str | None = None
    result: Result | None = None

    @property
    def pending(self) -> bool:
        """True until the file has been read."""
        return self.scan is None and self.error is None

    @property
    def name(self) -> str:
        """Return the scan's title, or the file's name."""
        return self.scan.title if self.scan is not None else self.path.name
