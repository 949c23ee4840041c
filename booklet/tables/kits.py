"""The tables of shared/kits in, keys, habits and sheets of labels out; no kit is read here."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from functools import cache
from typing import NamedTuple

from booklet.tables.reader import Row, TableFault, forms, rows

TYPES = ("text", "number", "percent", "amount", "money", "mass", "names", "map", "list", "file")
PLACES = ("kit", "pattern", "colourway", "card", "item", "supply")


class Key(NamedTuple):
    """One key of a kit file."""

    name: str
    type: str


class Habit(NamedTuple):
    """What is reckoned with where a kit file says nothing."""

    spare: Decimal  # percent
    waste: Decimal  # percent
    tolerance: Decimal  # percent
    step: Decimal  # an amount for one kit is rounded up to it, in its unit


class Sheet(NamedTuple):
    """A sheet of labels, in mm."""

    name: str
    paper: tuple[float, float]  # width, height
    columns: int
    rows: int
    label: tuple[float, float]
    pitch: tuple[float, float]  # from one label's edge to the next one's
    margin: tuple[float, float]  # left, top

    def fault(self) -> str:
        """What is wrong with its measures, or ""."""
        if min(self.columns, self.rows) < 1 or self.columns * self.rows > 200:
            return "a sheet has 1 to 200 labels"
        if min(*self.paper, *self.label) <= 0 or min(*self.margin) < 0:
            return "paper and labels are larger than nothing, and margins are not less than it"
        if self.pitch[0] < self.label[0] or self.pitch[1] < self.label[1]:
            return "the pitch is smaller than the label: labels overlap"
        for side, count in ((0, self.columns), (1, self.rows)):
            if self.margin[side] + (count - 1) * self.pitch[side] + self.label[side] > self.paper[side] + 0.05:
                return "the labels reach over the edge of the paper"
        return ""


def fold(text: str) -> str:
    """A key or an item's name as it is compared: small letters, hyphens as blanks, one blank."""
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())


@cache
def keys(where: str) -> dict[str, Key]:
    """Every spelling of the keys that are allowed in a place."""
    found: dict[str, Key] = {}
    aliases: list[tuple[str, Key]] = []
    for row in rows("kits/keys.tsv"):
        places = row.cells["where"].split()
        if row.cells["type"] not in TYPES or not places or not set(places) <= set(PLACES):
            raise TableFault(row.file, row.line, f"a key needs a type ({', '.join(TYPES)}) and places ({', '.join(PLACES)})")
        if where in places:
            key = Key(row.cells["key"], row.cells["type"])
            found[fold(key.name)] = key
            aliases += [(fold(alias), key) for alias in forms(row.cells["aliases"])]
    for alias, key in aliases:
        found.setdefault(alias, key)
    return found


@cache
def habits() -> dict[tuple[str, str], Habit]:
    """What is added and rounded, by kind and unit."""
    found = {}
    for row in rows("kits/defaults.tsv"):
        habit = Habit(*(_decimal(row, name) for name in Habit._fields))
        if min(habit[:3]) < 0 or habit.step <= 0:
            raise TableFault(row.file, row.line, "percents are 0 or more, and a step is more than 0")
        found[row.cells["kind"], row.cells["unit"]] = habit
    return found


@cache
def sheets() -> dict[str, Sheet]:
    """The sheets of labels by name."""
    found = {}
    for row in rows("kits/sheets.tsv"):
        paper, label, pitch, margin = (
            (float(_decimal(row, one)), float(_decimal(row, other)))
            for one, other in (("paper_width", "paper_height"), ("width", "height"), ("pitch_x", "pitch_y"), ("left", "top"))
        )
        name = row.cells["name"]
        sheet = Sheet(name, paper, int(_decimal(row, "columns")), int(_decimal(row, "rows")), label, pitch, margin)
        if fault := sheet.fault():
            raise TableFault(row.file, row.line, fault)
        found[name] = sheet
    return found


def _decimal(row: Row, name: str) -> Decimal:
    try:
        value = Decimal(row.cells[name])
    except InvalidOperation as fault:
        raise TableFault(row.file, row.line, f"{name} is a number, not {row.cells[name]!r}") from fault
    if not value.is_finite():
        raise TableFault(row.file, row.line, f"{name} is a number, not {row.cells[name]!r}")
    return value
