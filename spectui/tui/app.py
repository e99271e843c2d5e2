"""The door to the screen. Light: a refusal costs no import of Textual."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from spectui.tui.terminal import refusal, terminal


def run(paths: Sequence[str], unit: str | None = None) -> int:
    """Show files and folders on the screen until the user quits; return the exit code.

    paths: none means this folder. unit: of scans that declare none. Raises FileError where none of the paths exists.
    """
    why_not = refusal()
    if why_not is not None:
        print(why_not, file=sys.stderr)
        return 2
    import gc

    # Modules and their classes are garbage to no one: looking at them while they load costs a tenth of the start.
    gc.disable()
    from spectui.tui.program import build

    app = build(paths, terminal(), unit)
    app.run(mouse=False)
    if app.return_code is None:
        # Textual ends so when its input thread dies, for instance of a stray byte: that is no success.
        print("spectui: the terminal sent something unreadable and the screen was closed", file=sys.stderr)
        return 1
    return app.return_code
