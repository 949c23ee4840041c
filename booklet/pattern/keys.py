"""Head entries as typed in, the same by their canonical keys out, unknown keys reported; values are read in fields."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.source.tree import Value
from booklet.tables.nearest import nearest
from booklet.tables.reader import forms, rows


class Key(NamedTuple):
    """One row of shared/head.tsv."""

    name: str
    type: str
    default: str


def fold(text: str) -> str:
    """A key as it is compared: small letters, hyphens as blanks, one blank, no emphasis."""
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").strip("* ").split())


@cache
def keys(where: str) -> dict[str, Key]:
    """Every spelling of the keys that are allowed in a place: head, yarn, notion or house."""
    found: dict[str, Key] = {}
    aliases: list[tuple[str, Key]] = []
    for row in rows("head.tsv"):
        if where not in row.cells["where"].split():
            continue
        name = Key(row.cells["key"], row.cells["type"], row.cells["default"])
        found[fold(name.name)] = name
        aliases += [(fold(alias), name) for alias in forms(row.cells["aliases"])]
        aliases += [(fold(word.partition(":")[2]), name) for word in forms(row.cells["translations"])]
    for alias, name in aliases:
        found.setdefault(alias, name)
    return found


def canonical(
    pairs: tuple[tuple[Value, Value], ...], where: str, problems: list[Diagnostic]
) -> dict[str, tuple[Key, Value, Value]]:
    """Entries by canonical key, with their row, key and value. The first of a double key counts; the reader reports it."""
    known = keys(where)
    there = {known[fold(name.text)].name for name, _ in pairs if fold(name.text) in known}
    found: dict[str, tuple[Key, Value, Value]] = {}
    for name, value in pairs:
        key = known.get(fold(name.text))
        if key is None:
            problems.append(_unknown(name, where, there))
        elif key.name in found:
            first = found[key.name][1]
            if first.text != name.text:  # two spellings of one key; the same spelling twice has been reported
                problems.append(diagnostic("double-key", name.span, key=name.text, line=first.span.line))
        else:
            found[key.name] = (key, name, value)
    return found


def _unknown(name: Value, where: str, there: set[str]) -> Diagnostic:
    """A key that is there already is not what was meant."""
    free = (spelling for spelling, key in keys(where).items() if key.name not in there)
    close = nearest(fold(name.text), free, 0.8)
    if not close:
        return diagnostic("unknown-key", name.span, key=name.text[:60], where=where)
    meant = keys(where)[close].name
    edits = (Edit(name.span, meant),)
    return diagnostic("unknown-key", name.span, edits=edits, help="meant", key=name.text[:60], meant=meant, where=where)
