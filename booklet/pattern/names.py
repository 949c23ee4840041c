"""Parts, notions and yarns of a pattern in, the words by which a sentence may call them out."""

from __future__ import annotations

from collections.abc import Iterable

from booklet.pattern.match import Names
from booklet.pattern.model import Notion, Yarn
from booklet.pattern.templates import key


def names(titles: Iterable[str], notions: tuple[Notion, ...], yarns: tuple[Yarn, ...]) -> Names:
    """The names of a pattern. A notion may be called by its last word (`eyes`), a yarn by its colour."""
    parts = {key(title): title for title in reversed(list(titles)) if key(title)}
    things: dict[tuple[str, ...], str] = {}
    for notion in notions:
        words = key(notion.name)
        if words:
            things[words] = notion.name
    for words, name in list(things.items()):
        things.setdefault(words[-1:], name)
    threads: dict[tuple[str, ...], str] = {}
    for yarn in yarns:
        threads[key(yarn.code)] = yarn.code
    for yarn in yarns:
        for word in (yarn.colour, yarn.name):
            if key(word):
                threads.setdefault(key(word), yarn.code)
    return Names(parts, things, threads)
