"""The table shared/safety/type-sizes.tsv in, the least heights of a warning's letters for a panel out; no page is set here."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import NamedTuple

from booklet.tables.reader import TableFault, rows

MM = 25.4  # in an inch
FILE = "safety/type-sizes.tsv"


class Heights(NamedTuple):
    """Least heights of capital letters, mm."""

    signal: float  # WARNING
    hazard: float  # CHOKING HAZARD
    other: float  # all other words


@cache
def _sizes() -> tuple[tuple[float, Heights], ...]:
    found = []
    for row in rows(FILE):
        try:
            limit = float(row.cells["to"]) if row.cells["to"] else float("inf")
            inches = [float(Fraction(row.cells[name])) for name in Heights._fields]
        except ValueError as fault:
            raise TableFault(FILE, row.line, f"an area and three fractions of an inch ({fault})") from fault
        found.append((limit, Heights(*(inch * MM for inch in inches))))
    return tuple(found)


def heights(width_mm: float, height_mm: float) -> Heights:
    """For a rectangular panel of that size: the whole side counts, not only what is printed on it."""
    area = width_mm * height_mm / MM**2
    return next(sizes for limit, sizes in _sizes() if area <= limit)
