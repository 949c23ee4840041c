"""The table shared/safety/care.tsv in, what each material bears in the wash out; which materials a piece has is not known here."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from booklet.tables.language import fold
from booklet.tables.reader import TableFault, forms, rows

FILE = "safety/care.tsv"
ACTIONS = ("normal", "mild", "very mild", "hand")  # from strong to weak
BLEACH = ("any", "oxygen", "no")
TUMBLE = ("normal", "low", "no")
PROFESSIONAL = ("P", "F", "no")


class Care(NamedTuple):
    """The most that a material bears."""

    wash_c: int  # degrees Celsius, 0 = not in water
    action: str  # normal, mild, very mild, hand
    bleach: str  # any, oxygen, no
    tumble: str  # normal, low, no
    iron: int  # dots, 0 = no
    professional: str  # P, F, no


@cache
def _materials() -> tuple[dict[str, tuple[str, Care]], dict[str, tuple[str, Care]]]:
    words: dict[str, tuple[str, Care]] = {}
    kinds: dict[str, tuple[str, Care]] = {}
    for row in rows(FILE):
        cell = row.cells
        known = cell["action"] in ACTIONS and cell["bleach"] in BLEACH and cell["tumble"] in TUMBLE
        if not known or cell["professional"] not in PROFESSIONAL or not (cell["wash"] + cell["iron"]).isdigit():
            raise TableFault(FILE, row.line, "not a way of washing: see the head of the file")
        care = Care(int(cell["wash"]), cell["action"], cell["bleach"], cell["tumble"], int(cell["iron"]), cell["professional"])
        words |= dict.fromkeys(map(fold, forms(cell["words"])), (cell["material"], care))
        kinds |= dict.fromkeys(cell["kinds"].split(), (cell["material"], care))
    return words, kinds


def fibres(text: str) -> tuple[tuple[str, Care], ...]:
    """The materials that a yarn's words name: `50% wool, 50% acrylic`. A longer name hides a shorter one inside it."""
    known, _ = _materials()
    rest = f" {' '.join(''.join(sign if sign.isalpha() else ' ' for sign in fold(text)).split())} "
    found = []
    for form in sorted(known, key=len, reverse=True):
        if f" {form} " in rest:
            rest = rest.replace(f" {form} ", "  ")
            found.append(known[form])
    return tuple(dict.fromkeys(found))


def of_kind(kind: str) -> tuple[str, Care] | None:
    """The material of a notion, by its row of notions.tsv; None where it does not matter."""
    return _materials()[1].get(kind)


def weakest(cares: tuple[Care, ...]) -> Care:
    """What all of them bear. ValueError without any."""
    return Care(
        min(care.wash_c for care in cares),
        max((care.action for care in cares), key=ACTIONS.index),
        max((care.bleach for care in cares), key=BLEACH.index),
        max((care.tumble for care in cares), key=TUMBLE.index),
        min(care.iron for care in cares),
        max((care.professional for care in cares), key=PROFESSIONAL.index),
    )
