"""Searching the shelf: every word must stand somewhere in an entry."""

from __future__ import annotations

from collections.abc import Iterable

from spectui.shelf.folder import Entry


def matches(entry: Entry, words: str) -> bool:
    """Tell whether each word of `words` is in the entry's path, title or metadata; case does not matter.

    An entry with an error is found by its path and by the words of its error.
    """
    wanted = words.casefold().split()
    if not wanted:
        return True
    parts: list[str] = [str(entry.path)]
    if entry.scan is not None:
        parts += [entry.scan.title, *entry.scan.meta.values()]
    if entry.error is not None:
        parts.append(entry.error)
    text = "\n".join(parts).casefold()
    return all(word in text for word in wanted)


def search(entries: Iterable[Entry], words: str) -> list[int]:
    """Return the places of the entries that match, in order."""
    return [at for at, entry in enumerate(entries) if matches(entry, words)]
