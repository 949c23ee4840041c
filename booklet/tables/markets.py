"""The files of shared/safety/markets in, each market's limits, traits and languages out; no toy is judged here.

A market is one file: whoever adds a file adds a market, everywhere where markets are named.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from booklet.resources import folder
from booklet.tables.reader import TableFault, rows

FOLDER = "safety/markets"
STATUS = ("ok", "seen", "memory", "house")
NOT_RECHECKED = "not re-checked"


class Limit(NamedTuple):
    """One number of a market's law, or of a cautious habit, with where it comes from."""

    name: str  # "cord.noose"
    value: float
    unit: str  # "mm", "months", "N", "lbf" …
    bound: str  # "<", "<=", ">=": what is inside the limit
    first: int  # months of age, from
    last: int  # months of age, below
    status: str  # ok, seen, memory, house
    source: str
    edition: str  # of the standard, or the copy of the law; "" where it is not known
    looked_up: str  # day, or "not re-checked"

    def kept(self, size: float) -> bool:
        """Is a size (in the unit of the limit) inside it?"""
        if self.bound == "<":
            return size < self.value
        return size >= self.value if self.bound == ">=" else size <= self.value

    @property
    def text(self) -> str:
        """`300 mm`."""
        return f"{self.value:g} {self.unit}"


class Market(NamedTuple):
    """A place with laws of its own."""

    code: str
    order: int
    name: str  # English
    languages: tuple[str, ...]  # in which warnings are asked for
    traits: frozenset[str]  # words of shared/safety/rules.tsv
    limits: tuple[Limit, ...]

    def limit(self, name: str, months: int | None = None) -> Limit | None:
        """A limit by its name; of those that hold for some ages only, the one for this age."""
        for one in self.limits:
            if one.name == name and (months is None or one.first <= months < one.last):
                return one
        return None


@cache
def codes() -> tuple[str, ...]:
    """All markets, in the order of their files' `order`."""
    found = (path.stem for path in (folder("shared") / FOLDER).iterdir() if path.suffix == ".tsv")
    return tuple(sorted(found, key=lambda code: (market(code).order, code)))


@cache
def market(code: str) -> Market:
    """One market. KeyError where it has no file, TableFault for a row that cannot be used."""
    file = f"{FOLDER}/{code}.tsv"
    words: dict[str, str] = {}
    limits = []
    try:
        table = rows(file)
    except OSError as missing:
        raise KeyError(code) from missing
    for row in table:
        cell = row.cells
        if cell["status"] not in STATUS or not cell["looked_up"]:
            raise TableFault(file, row.line, f"a row needs a status ({', '.join(STATUS)}) and the day it was looked up")
        if not cell["unit"]:
            words[cell["name"]] = cell["value"]
            continue
        if cell["bound"] not in ("<", "<=", ">=") or not cell["source"]:
            raise TableFault(file, row.line, "a limit needs a bound (<, <= or >=) and a source")
        try:
            numbers = float(cell["value"]), int(cell["from"] or 0), int(cell["to"] or 12_000)
        except ValueError as fault:
            raise TableFault(file, row.line, f"value, from and to are numbers ({fault})") from fault
        rest = (cell["status"], cell["source"], cell["edition"], cell["looked_up"])
        limits.append(Limit(cell["name"], numbers[0], cell["unit"], cell["bound"], *numbers[1:], *rest))
    order = words.get("order", "")
    languages, traits = words.get("languages", "en").split(), words.get("traits", "").split()
    shown = words.get("name", code)
    return Market(code, int(order) if order.isdigit() else 99, shown, tuple(languages), frozenset(traits), tuple(limits))
