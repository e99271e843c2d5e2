"""Reads an action spectrum that the user supplies (core/actions.py says what it is).

Text: `# name:`, `# source:` and `# per: photon|energy` (all three required), `# title:` and `# unit:` if wanted, then
perhaps a line of column names, then rows of wavelength [nm] and one or two weights, split by commas, semicolons, tabs
or spaces; a decimal comma where the delimiter is none.
"""

from __future__ import annotations

import os
import re

from spectui.core.actions import Action
from spectui.core.errors import FileError, ScanError

LARGEST_BYTES = 4 * 1024 * 1024
KEYS = ("name", "title", "source", "per", "unit")
_REQUIRED = {"name": "a short word", "source": "the publication", "per": "photon or energy"}
_HEADER = re.compile(r"#\s*([A-Za-z_]+)\s*:\s*(.*)")


def read_action(path: str | os.PathLike[str]) -> Action:
    """Read one action spectrum; raises FileError naming the line, what was expected and what came."""
    source = os.fspath(path)
    try:
        with open(path, "rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except OSError as error:
        raise FileError(source, error.strerror or str(error)) from None
    if len(data) > LARGEST_BYTES:
        raise FileError(source, f"expected an action spectrum, got more than {LARGEST_BYTES // 1024} KiB")
    return parse_action(data, source)


def parse_action(data: bytes, source: str) -> Action:
    """Read an action spectrum from its bytes (UTF-8 with or without BOM, else Latin-1)."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    header: dict[str, str] = {}
    rows: list[list[float]] = []
    named = False
    for number, line in enumerate(re.split(r"\r\n|\r|\n", text), start=1):
        stripped = line.strip()
        if stripped.startswith("#"):
            match = _HEADER.match(stripped)
            key = match[1].lower() if match else ""
            if match and key in KEYS:
                if key in header:
                    raise FileError(source, f"# {key}: stands twice", number)
                header[key] = match[2].strip()
        elif stripped:
            row = _numbers(stripped)
            if row is None and not rows and not named and stripped[0] not in "0123456789+-.,":
                named = True  # the one line of column names
            elif row is None:
                raise FileError(source, f"expected a wavelength and one or two weights, got {stripped[:60]!r}", number)
            else:
                expected = len(rows[0]) if rows else 0
                if len(row) not in (2, 3) or (expected and len(row) != expected):
                    wanted = f"{expected} numbers as in the first row" if expected else "2 or 3 numbers"
                    raise FileError(source, f"expected {wanted}, got {len(row)}", number)
                rows.append(row)
    for key, meaning in _REQUIRED.items():
        if not header.get(key):
            raise FileError(source, f"no `# {key}:` line: an action spectrum needs {meaning} there")
    if not rows:
        raise FileError(source, "expected rows of wavelength and weight, got none")
    try:
        return Action.build(
            header["name"],
            [row[0] for row in rows],
            [row[1:] for row in rows],
            source=header["source"],
            per=header["per"].lower(),
            title=header.get("title", ""),
            unit=header.get("unit", ""),
        )
    except ScanError as error:
        raise FileError(source, str(error)) from None


def _numbers(line: str) -> list[float] | None:
    """Return the numbers of a row, None where no delimiter makes it one."""
    for delimiter in (";", "\t", ",", None):
        if delimiter is not None and delimiter not in line:
            continue
        fields = line.split(delimiter)
        try:
            return [float(field if delimiter == "," else field.replace(",", ".")) for field in fields]
        except ValueError:
            continue
    return None
