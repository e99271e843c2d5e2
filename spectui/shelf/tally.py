"""Counting what is wrong or unsaid over a folder: unsaid facts are told once a folder, not on every row."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from spectui.core.scan import DOUBT, FAULT, UNSAID, Flag


class Tally(NamedTuple):
    """How many scans, how many of them with a fault, with a doubt, and of each unsaid fact how many do not say it."""

    scans: int
    faults: int
    doubts: int
    unsaid: Mapping[str, int]

    @property
    def unsaid_facts(self) -> int:
        """How many facts are missing in all."""
        return sum(self.unsaid.values())


def tally(flags: Iterable[tuple[Flag, ...]]) -> Tally:
    """Count over scans, given the flags of each. The order of the facts is that of their first appearance."""
    scans = faults = doubts = 0
    unsaid: Counter[str] = Counter()
    for found in flags:
        scans += 1
        ranks = {flag.rank for flag in found}
        faults += FAULT in ranks
        doubts += DOUBT in ranks
        unsaid.update({flag.code.removesuffix("_unsaid"): 1 for flag in found if flag.rank == UNSAID})
    return Tally(scans, faults, doubts, dict(unsaid))


def by_folder(flags: Iterable[tuple[str, tuple[Flag, ...]]]) -> dict[str, Tally]:
    """Count for each folder apart: pairs of a folder and the flags of one of its scans."""
    grouped: dict[str, list[tuple[Flag, ...]]] = {}
    for folder, found in flags:
        grouped.setdefault(folder, []).append(found)
    return {folder: tally(found) for folder, found in grouped.items()}
