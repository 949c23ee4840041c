"""Comes in: shared/signs.tsv. Goes out: the sign beside a standard sentence, and the strokes of each; nothing is drawn here."""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple

from booklet.tables.reader import TableFault, rows

_DATA = re.compile(r"(?:[MLHVCAZ][-0-9. ]*)*")


class Sign(NamedTuple):
    """Shapes on a field of 24 x 24, as SVG path data."""

    strokes: str
    fills: str
    sentences: tuple[str, ...]  # ids of the sentences that it stands beside; `id*` is all that begin so


@cache
def signs() -> dict[str, Sign]:
    """Every sign by its name. TableFault for a row that cannot be used."""
    found = {}
    for row in rows("signs.tsv"):
        made = Sign(row.cells["strokes"], row.cells["fills"], tuple(row.cells["sentences"].split()))
        if row.cells["sign"] in found or not made.strokes or not all(map(_DATA.fullmatch, made[:2])):
            raise TableFault("signs.tsv", row.line, "a sign stands once, and its shapes are absolute path data: M L H V C A Z and numbers")
        found[row.cells["sign"]] = made
    return found


@cache
def sign_of(sentence: str) -> str:
    """The name of the sign beside a sentence of sentences.tsv, by its id; "" where it has none."""
    for name, made in signs().items():
        for wanted in made.sentences:
            if sentence == wanted or (wanted.endswith("*") and sentence.startswith(wanted[:-1])):
                return name
    return ""
