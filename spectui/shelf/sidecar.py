"""What the user says about a scan, kept beside it in NAME.spectui.toml and tied to it by the digest of its bytes.

The scan file itself is never changed. A sidecar whose digest no longer matches its scan is told and not applied.
"""

from __future__ import annotations

import os
from dataclasses import dataclass, fields, replace
from typing import Any

from spectui.core.errors import FileError
from spectui.core.scan import DOUBT, Flag, Scan

SUFFIX = ".spectui.toml"
LARGEST = 1 << 20
_TEXTS = ("digest", "unit", "place", "position_m", "notes", "when")
_SHORT_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}


@dataclass(frozen=True, slots=True)
class Sidecar:
    """The user's own words about one scan file.

    digest: `sha256:` and hex of the scan file's bytes. unit: for a file that declares none. position_m: `x, y[, z]`.
    when: the time of the last change, ISO 8601. skip_gaps: empty cells of this file are accepted.
    """

    digest: str = ""
    unit: str | None = None
    place: str | None = None
    position_m: str | None = None
    notes: str | None = None
    when: str | None = None
    skip_gaps: bool = False


def beside(path: str | os.PathLike[str]) -> str:
    """Return the path of a scan's sidecar; the scan's whole name is in it, so that a.csv and a.tsv do not share one."""
    return os.fspath(path) + SUFFIX


def digest(path: str | os.PathLike[str]) -> str:
    """Return what ties a sidecar to the scan file at `path`; raises FileError where it cannot be read."""
    import hashlib

    try:
        with open(path, "rb") as file:
            return "sha256:" + hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise FileError(os.fspath(path), f"cannot be read: {error.strerror}") from None


def read(path: str | os.PathLike[str]) -> Sidecar | None:
    """Return the sidecar of the scan file at `path`, matching or not, None where there is none.

    Raises FileError where it is malformed: no TOML, an unknown key, a value of another type.
    """
    import tomllib

    name = beside(path)
    try:
        with open(name, "rb") as file:
            data = file.read(LARGEST + 1)
    except FileNotFoundError:
        return None
    except OSError as error:
        raise FileError(name, f"cannot be read: {error.strerror}") from None
    if len(data) > LARGEST:
        raise FileError(name, f"expected a sidecar of at most {LARGEST} bytes")
    try:
        said = tomllib.loads(data.decode())
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise FileError(name, f"expected TOML: {error}") from None
    for key, value in said.items():
        if key not in (*_TEXTS, "skip_gaps"):
            raise FileError(name, f"unknown key {key!r}: expected {', '.join((*_TEXTS, 'skip_gaps'))}")
        expected: type = bool if key == "skip_gaps" else str
        if not isinstance(value, expected):
            wanted = "true or false" if expected is bool else "a text in quotes"
            raise FileError(name, f"{key}: expected {wanted}, got {value!r}")
    if not said.get("digest"):
        raise FileError(name, "expected `digest`, which ties it to its scan")
    return Sidecar(**said)


def write(path: str | os.PathLike[str], **changes: Any) -> Sidecar:
    """Change what is said about the scan file at `path` and return it; the fields not named stay as they are.

    Raises FileError where the scan cannot be read, where the sidecar there is malformed or belongs to other content
    (it is the user's work: it is not overwritten), or where nothing can be written.
    """
    from spectui.files.atomic import write_text

    now = digest(path)
    known = read(path) or Sidecar(digest=now)
    if known.digest != now:
        raise FileError(beside(path), "belongs to other content of this scan: move it away, then say it again")
    changed = replace(known, **changes)
    write_text(beside(path), text(changed), force=True)
    return changed


def text(sidecar: Sidecar) -> str:
    """Return the TOML document of a sidecar; fields that say nothing are left out."""
    lines = []
    for field in fields(sidecar):
        value = getattr(sidecar, field.name)
        if value:
            lines.append(f"{field.name} = {'true' if value is True else _quoted(value)}")
    return "\n".join(lines) + "\n"


def apply(scan: Scan, sidecar: Sidecar) -> Scan:
    """Return the scan with what its sidecar says: place, position and notes, and a unit where the file has none."""
    meta = dict(scan.meta)
    for key, value in (("place", sidecar.place), ("position_m", sidecar.position_m)):
        if value:
            meta[key] = value
    if sidecar.notes:
        meta["notes"] = f"{meta['notes']}; {sidecar.notes}" if meta.get("notes") else sidecar.notes
    if sidecar.unit is None:
        return scan.with_(meta=meta)
    from spectui.core.units import parse_unit

    unit = parse_unit(sidecar.unit)
    if scan.given_unit is not None:
        if unit == scan.given_unit:
            return scan.with_(meta=meta)
        words = f"unit {unit} said beside the scan, {scan.given_unit} in force; the first is not applied"
        return scan.with_(meta=meta, flags=(*scan.flags, Flag("sidecar_unit", DOUBT, words)))
    return Scan.build(
        scan.wavelength,
        scan.values,
        unit,
        meta,
        expanded_uncertainty=scan.expanded_uncertainty,
        flags=scan.flags,
        source=scan.source,
        index=scan.index,
    )


def _quoted(value: str) -> str:
    """A TOML basic string: control characters escaped, lone surrogates (a file name's odd byte) replaced."""
    clean = value.encode("utf-8", "replace").decode()
    cells = (_SHORT_ESCAPES.get(c) or (f"\\u{ord(c):04x}" if ord(c) < 32 or 127 <= ord(c) < 160 else c) for c in clean)
    return f'"{"".join(cells)}"'
