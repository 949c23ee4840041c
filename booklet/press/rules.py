"""Comes in: shared/press. Goes out: the objections with their gravity and words, and the names of paper; nothing is judged here."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from booklet.editions.edition import PRINTINGS
from booklet.tables.reader import TableFault, rows

GRAVITIES = ("error", "warning", "note", "-")


class Rule(NamedTuple):
    """A row of preflight.tsv."""

    severity: dict[str, str]  # by purpose
    message: str
    help: str
    why: str


@cache
def rules() -> dict[str, Rule]:
    """Every objection by its code. TableFault for a row that cannot be used."""
    file = "press/preflight.tsv"
    found = {}
    for row in rows(file):
        severity = {purpose: row.cells[purpose] for purpose in PRINTINGS}
        if row.cells["code"] in found or not set(severity.values()) <= set(GRAVITIES):
            raise TableFault(file, row.line, f"a code stands once, and its gravity is one of {' '.join(GRAVITIES)}")
        found[row.cells["code"]] = Rule(severity, row.cells["message"], row.cells["help"], row.cells["why"])
    return found


def paper_name(width: float, height: float, slack_mm: float = 0.3) -> str:
    """The name of a trimmed size in mm, lying or upright; "" without one."""
    for name, short, long in _papers():
        for one, other in ((short, long), (long, short)):
            if abs(width - one) <= slack_mm and abs(height - other) <= slack_mm:
                return name
    return ""


def papers() -> dict[str, tuple[float, float]]:
    """Every size with a name, in mm."""
    return {name: (width, height) for name, width, height in _papers()}


@cache
def _papers() -> tuple[tuple[str, float, float], ...]:
    file = "press/paper.tsv"
    try:
        return tuple((row.cells["name"], float(row.cells["width"]), float(row.cells["height"])) for row in rows(file))
    except (KeyError, ValueError) as fault:
        raise TableFault(file, 1, f"a size is a name and two numbers: {fault}") from fault
