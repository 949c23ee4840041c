"""A word and the known ones in, the nearest of them out; whether to believe it is the caller's."""

from __future__ import annotations

from collections.abc import Iterable

_LONGEST = 60  # characters of a word that are compared; the comparison is quadratic


def nearest(word: str, known: Iterable[str], cutoff: float = 0.6) -> str:
    """The nearest known word, "" if none is near."""
    from difflib import get_close_matches  # 8 ms to import, and most patterns have no slip

    found = get_close_matches(word[:_LONGEST], list(known), 1, cutoff)
    return found[0] if found else ""
