"""Results as one JSON document: numbers unrounded, a missing one null, each scan on a line of its own."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any


def document(content: dict[str, Any]) -> str:
    """Return a JSON document in ASCII, which any pipe carries; objects in top-level lists stand on their own lines."""
    parts = []
    for key, value in content.items():
        if isinstance(value, list) and value and isinstance(value[0], dict):
            text = "[\n" + ",\n".join(_dumps(item) for item in value) + "\n]"
        else:
            text = _dumps(value)
        parts.append(f"{_dumps(key)}: {text}")
    return "{" + ",\n".join(parts) + "}\n"


def failed(errors: Iterable[tuple[str | None, str]]) -> str:
    """Return the document of a call that has no other answer: (source or None, message) of each error."""
    return document({"errors": [{"source": source, "message": message} for source, message in errors]})


def _dumps(value: Any) -> str:
    return json.dumps(value, allow_nan=False)
