"""Spectral scans of grow lights: read, judged, compared. Everything is loaded when it is first used."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from spectui.core.bins import Bins as Bins
    from spectui.core.chromaticity import Chromaticity as Chromaticity
    from spectui.core.chromaticity import chromaticity as chromaticity
    from spectui.core.compare import Comparison as Comparison
    from spectui.core.compare import compare as compare
    from spectui.core.errors import SpectuiError as SpectuiError
    from spectui.core.metrics import evaluate as evaluate
    from spectui.core.metrics import metrics as metrics
    from spectui.core.rendition import Rendition as Rendition
    from spectui.core.rendition import rendition as rendition
    from spectui.core.results import Result as Result
    from spectui.core.results import Value as Value
    from spectui.core.scan import Flag as Flag
    from spectui.core.scan import Scan as Scan
    from spectui.core.verify import Check as Check
    from spectui.core.verify import Verification as Verification
    from spectui.core.verify import verify as verify
    from spectui.files.bins import read_bins as read_bins
    from spectui.files.read import read as read

_HOMES = {
    "Bins": "spectui.core.bins",
    "Chromaticity": "spectui.core.chromaticity",
    "chromaticity": "spectui.core.chromaticity",
    "Comparison": "spectui.core.compare",
    "compare": "spectui.core.compare",
    "Rendition": "spectui.core.rendition",
    "rendition": "spectui.core.rendition",
    "SpectuiError": "spectui.core.errors",
    "evaluate": "spectui.core.metrics",
    "metrics": "spectui.core.metrics",
    "Result": "spectui.core.results",
    "Value": "spectui.core.results",
    "Flag": "spectui.core.scan",
    "Scan": "spectui.core.scan",
    "read_bins": "spectui.files.bins",
    "Check": "spectui.core.verify",
    "Verification": "spectui.core.verify",
    "verify": "spectui.core.verify",
    "read": "spectui.files.read",
}
__all__ = ["__version__", *_HOMES]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'spectui' has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_HOMES[name]), name)
