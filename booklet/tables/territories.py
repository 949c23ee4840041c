"""shared/territories.tsv in, the paper of each territory and the units that it puts first out; no edition is known here."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from booklet.tables.reader import TableFault, rows

FILE = "territories.tsv"
WORLD = "001"  # every territory that has no row of its own; a code of UN M49
UNITS = ("metric", "imperial")


class Territory(NamedTuple):
    """One row."""

    layout: str  # "a4", "letter"
    first: str  # metric or imperial: what stands first where both are printed
    line: int  # in the table


@cache
def territories() -> dict[str, Territory]:
    """All rows by their code. TableFault for unknown units, or where the world has no row."""
    found: dict[str, Territory] = {}
    for row in rows(FILE):
        if row.cells["first"] not in UNITS:
            raise TableFault(row.file, row.line, f"no units {row.cells['first']!r}: {', '.join(UNITS)}")
        found[row.cells["territory"]] = Territory(row.cells["layout"], row.cells["first"], row.line)
    if WORLD not in found:
        raise TableFault(FILE, 1, f"no row {WORLD}, for the territories that have none of their own")
    return found


def territory(code: str) -> Territory:
    """The row of a territory or market; that of the world where it has none."""
    return territories().get(code.upper(), territories()[WORLD])
