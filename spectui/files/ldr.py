"""The labelled data records of JCAMP-DX: `##LABEL= text`, blocks within blocks, comments after `$$`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from spectui.core.errors import FileError, NotAScan
from spectui.files.quote import unquote
from spectui.files.safe import safe, shown

PROGRAM = "spectui"
DATA_TYPE = "UV/VIS SPECTRUM"
UNCERTAINTY = "expanded_uncertainty"
DEEPEST = 16
# ##TITLE= comes first by the standard; some writers put the version before it.
_FIRST = ("TITLE", "JCAMPDX")

# Labels as `plain_label` spells them, and the key each stands for. A user label of the same key wins.
KEYS = {
    "TITLE": "title",
    "ORIGIN": "origin",
    "OWNER": "owner",
    "SPECTROMETERDATASYSTEM": "instrument",
    "COMMENTS": "notes",
}


class Record(NamedTuple):
    """One labelled record: `label` in its plain spelling, `name` as written, the lines of its text, its file line."""

    label: str
    name: str
    lines: list[str]
    line: int

    @property
    def quoted(self) -> bool:
        """True where a user label holds a JSON string."""
        joined = "".join(self.lines).strip() if self.name.startswith("$") and self.lines[0].lstrip()[:1] == '"' else ""
        return joined != unquote(joined)

    @property
    def text(self) -> str:
        """The text without outer space; a user label's JSON string may go over several lines."""
        if self.quoted:
            return unquote("".join(self.lines).strip())
        return "\n".join(line.strip() for line in self.lines).strip()


@dataclass
class Block:
    """From ##TITLE= to ##END=: the records of one block, without those of the blocks in it."""

    line: int
    records: list[Record] = field(default_factory=list)
    ended: bool = False

    def get(self, label: str) -> Record | None:
        """Return the first record of a plain label that says something."""
        for record in self.records:
            if record.label == label and any(map(str.strip, record.lines)):
                return record
        return None


def plain_label(name: str) -> str:
    """Return a label as labels are compared: in capitals, without spaces, hyphens, underscores and slashes."""
    return re.sub(r"[\s\-_/]", "", name).upper()


def looks_like(head: bytes) -> bool:
    """True where the first bytes of a file are those of a JCAMP-DX file: after comments, its first label."""
    for line in head.removeprefix(b"\xef\xbb\xbf").splitlines():
        if line.strip() and not line.lstrip().startswith(b"$$"):
            name, equals, _ = line.partition(b"=")
            return name[:2] == b"##" and equals == b"=" and plain_label(name[2:].decode("latin-1")) in _FIRST
    return False


def blocks(lines: Sequence[str], source: str) -> list[Block]:
    """Return the blocks of a file in the order in which they begin. Raises FileError naming the line."""
    found: list[Block] = []
    inside: list[Block] = []
    early: list[Record] = []
    for number, line in enumerate(lines, 1):
        line = line.partition("$$")[0]
        if line[:1].isspace() and line.lstrip().startswith("##"):
            line = line.lstrip()
        if not line.startswith("##"):
            if inside and inside[-1].records:
                inside[-1].records[-1].lines.append(line)
            elif not found and line.strip():
                raise NotAScan(source, "expected ##TITLE= to come first", number)
            continue
        name, equals, text = line[2:].partition("=")
        if not equals:
            raise FileError(source, f"expected ##LABEL=text, got a label without =: {shown(line)}", number)
        record = Record(plain_label(name), name.strip(), [text], number)
        if record.label == "TITLE":
            if len(inside) >= DEEPEST:
                raise FileError(source, f"blocks nested deeper than {DEEPEST}", number)
            inside.append(Block(number, early))
            found.append(inside[-1])
            early = []
        elif not inside and record.label == "JCAMPDX":
            early = [record]
            continue
        elif not inside:
            raise FileError(source, f"##{safe(record.name)[:40]}= outside of a block: ##TITLE= comes first", number)
        if record.label == "END":
            inside.pop().ended = True
        else:
            inside[-1].records.append(record)
    return found


def even_grid(first: float, last: float, count: int, factor: float = 1.0) -> NDArray[np.float64]:
    """Return the wavelengths (count,) [nm] of an even table, FIRSTX and LASTX times `factor` being in nm.

    They are rounded to 1e-9 nm, so that a grid of decimal fractions comes out as those very fractions.
    """
    step = (last - first) / (count - 1)
    return np.asarray(np.round((first + np.arange(count) * step) * factor, 9), dtype=np.float64)
