"""The table shared/safety/rules.tsv in, its rows with their conditions out; which of them hold is decided in figures/safety."""

from __future__ import annotations

from collections.abc import Set
from functools import cache
from typing import NamedTuple

from booklet.tables.reader import Row, TableFault, rows

FILE = "safety/rules.tsv"
NONE = -1  # a mark that forbids every mark
Alternative = tuple[frozenset[str], frozenset[str]]  # one of the first must hold, or one of the second must not


class Rule(NamedTuple):
    """One row."""

    rule: str  # "R04a"; several rows may share it
    about: str  # part, pack, cord, bag, piece, page
    per: str  # market, once
    needs: frozenset[str]  # facts that must all hold
    never: frozenset[str]  # facts of which none may hold
    either: tuple[Alternative, ...]  # all of them must be met
    code: str  # page of shared/diagnostics, sentence of notes.tsv
    severity: str  # error, warning, note
    level: str  # block, warn, note, info
    wording: str  # id of a prescribed text, ""
    mark: int  # months; 0 = asks for none, NONE = forbids one
    limit: str  # name of a market's limit, ""
    text: str  # which sentence of that code, ""
    source: str

    def holds(self, facts: Set[str]) -> bool:
        """Are all conditions met?"""
        if not self.needs <= facts or self.never & facts:
            return False
        return all(have & facts or not lack <= facts for have, lack in self.either)


@cache
def rules() -> tuple[Rule, ...]:
    """All rows, in the order in which they are tried."""
    return tuple(_rule(row) for row in rows(FILE))


def _rule(row: Row) -> Rule:
    cell = row.cells
    known = {
        "about": ("part", "pack", "cord", "bag", "piece", "page"),
        "per": ("market", "once"),
        "severity": ("error", "warning", "note"),
        "level": ("block", "warn", "note", "info"),
    }
    for column, ways in known.items():
        if cell[column] not in ways:
            raise TableFault(FILE, row.line, f"{column} is one of {', '.join(ways)}, not {cell[column]!r}")
    if not cell["when"] or not cell["code"] or not cell["source"]:
        raise TableFault(FILE, row.line, "a rule needs its conditions, a code and a source")
    mark = cell["mark"]
    if mark not in ("", "none") and not mark.isdigit():
        raise TableFault(FILE, row.line, f"mark is a number of months or none, not {mark!r}")
    words = [word.split("|") for word in cell["when"].split()]
    single = [ways[0] for ways in words if len(ways) == 1]
    return Rule(
        cell["rule"],
        cell["about"],
        cell["per"],
        frozenset(word for word in single if word[0] != "!"),
        frozenset(word[1:] for word in single if word[0] == "!"),
        tuple(_either(ways) for ways in words if len(ways) > 1),
        cell["code"],
        cell["severity"],
        cell["level"],
        cell["wording"],
        NONE if mark == "none" else int(mark or 0),
        cell["limit"],
        cell["text"],
        cell["source"],
    )


def _either(ways: list[str]) -> Alternative:
    return frozenset(way for way in ways if way[0] != "!"), frozenset(way[1:] for way in ways if way[0] == "!")
