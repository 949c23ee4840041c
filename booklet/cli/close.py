"""A mistyped name and the known ones in, a hint out; nothing is printed here."""

from __future__ import annotations

from collections.abc import Iterable


def closest(word: str, known: Iterable[str]) -> str:
    """The known name that a typist may have meant, or ""."""
    from booklet.tables.nearest import nearest as near

    return near(word, known)


def nearest(word: str, known: Iterable[str]) -> str:
    """For example ` Did you mean 'check'?`, or the list of all names where none is close."""
    names = list(known)
    found = closest(word, names)
    if found:
        return f" Did you mean {found!r}?"
    return f" There are: {', '.join(names)}." if len(names) <= 20 else ""
