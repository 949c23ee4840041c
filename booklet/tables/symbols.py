"""Chart symbols: one file of shared/symbols in, frozen symbols out; no stitch is placed here."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from booklet.resources import folder
from booklet.tables.reader import Row, TableFault, rows

USUAL = "us"
Op = tuple[str, tuple[float, ...]]  # ("M", (x, y)), ("L", (x, y)), ("C", (x1, y1, x2, y2, x, y)); y grows upwards


class Figure(NamedTuple):
    """One line, arc or oval of a symbol, in widths of a single crochet."""

    ops: tuple[Op, ...]
    filled: bool = False
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Symbol:
    """How a stitch is drawn. The foot is the origin, the symbol grows along +y."""

    name: str
    height: float  # in widths of a single crochet
    alone: tuple[Figure, ...]  # one foot and one head of its own; () where leg and top serve
    leg: tuple[Figure, ...]  # from foot to head
    top: tuple[Figure, ...]  # origin at the head
    foot: tuple[Figure, ...]  # origin at the foot
    legs: int = 1  # legs that a single stitch shows
    spread: str = ""  # "lens": they meet at both ends; "fan": at the foot only
    behind: str = ""  # the symbol for the same stitch worked on the wrong side, where it is another one


@cache
def symbols(name: str = USUAL) -> dict[str, Symbol]:
    """Read a symbol set. KeyError for a set without a file, TableFault for a wrong row.

    A set need not have a row for every symbol: those that it lacks are taken from the usual set.
    """
    if name not in symbol_sets():
        raise KeyError(name)
    own: dict[str, Symbol] = {}
    for row in rows(f"symbols/{name}.tsv"):
        symbol = _symbol(row)
        if symbol.name in own:
            raise TableFault(row.file, row.line, f"the symbol {symbol.name} stands twice")
        own[symbol.name] = symbol
    found = own if name == USUAL or USUAL not in symbol_sets() else {**symbols(USUAL), **own}
    for symbol in own.values():
        if symbol.behind and symbol.behind not in found:
            raise TableFault(f"symbols/{name}.tsv", 1, f"{symbol.name}: there is no symbol {symbol.behind}")
    return found


@cache
def symbol_sets() -> tuple[str, ...]:
    """The names of the symbol sets, in alphabetical order."""
    return tuple(sorted(path.name[:-4] for path in (folder("shared") / "symbols").iterdir() if path.name.endswith(".tsv")))


def _symbol(row: Row) -> Symbol:
    cell = row.cells
    try:
        spread, _, legs = cell["legs"].partition(" ")
        if spread not in ("", "lens", "fan"):
            raise ValueError(f"legs: {spread} is neither lens nor fan")
        symbol = Symbol(
            cell["symbol"],
            float(cell["height"]),
            figures(cell["alone"]),
            figures(cell["leg"]),
            figures(cell["top"]),
            figures(cell["foot"]),
            int(legs or 1),
            spread,
            cell.get("behind", ""),
        )
    except (ValueError, KeyError) as fault:
        raise TableFault(row.file, row.line, f"cannot be read as a symbol ({fault})") from fault
    if not (symbol.alone or symbol.leg or symbol.foot):
        raise TableFault(row.file, row.line, f"the symbol {symbol.name} draws nothing")
    return symbol


def figures(cell: str) -> tuple[Figure, ...]:
    """Read a drawing: `line 0 0 0 1; oval 0 0.2 0.4 0.2`. ValueError where a word or number is wrong."""
    found = []
    for text in cell.split(";"):
        words = text.split()
        if not words:
            continue
        numbers = [float(word) for word in words[1:]]
        if not all(math.isfinite(number) for number in numbers):
            raise ValueError(f"{text.strip()}: not a number")
        found.append(_figure(words[0], numbers))
    return tuple(found)


def _figure(word: str, numbers: list[float]) -> Figure:
    if word == "line" and len(numbers) >= 4 and len(numbers) % 2 == 0:
        points = list(zip(numbers[::2], numbers[1::2], strict=True))
        return Figure((("M", points[0]), *(("L", point) for point in points[1:])))
    if word == "area" and len(numbers) >= 6 and len(numbers) % 2 == 0:
        points = list(zip(numbers[::2], numbers[1::2], strict=True))
        return Figure((("M", points[0]), *(("L", point) for point in points[1:])), filled=True, closed=True)
    if word in ("oval", "dot") and len(numbers) in (4, 5):
        x, y, wide, high, *turn = numbers
        return Figure(_arc(x, y, wide, high, 0, 360, turn[0] if turn else 0), word == "dot", True)
    if word == "arc" and len(numbers) == 5:
        x, y, radius, start, end = numbers
        return Figure(_arc(x, y, radius, radius, start, end, 0))
    raise ValueError(f"{word}: not a drawing word, or a wrong count of numbers ({len(numbers)})")


def _arc(x: float, y: float, wide: float, high: float, start: float, end: float, turn: float) -> tuple[Op, ...]:
    """An elliptical arc as cubic curves of at most a quarter turn each (error below 0.03 % of the radius)."""
    count = max(1, math.ceil(abs(end - start) / 90 - 1e-9))
    step = math.radians(end - start) / count
    reach = 4 / 3 * math.tan(step / 4)
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def at(along: float, across: float) -> tuple[float, float]:
        return x + along * wide * cos - across * high * sin, y + along * wide * sin + across * high * cos

    angle = math.radians(start)
    ops: list[Op] = [("M", at(math.cos(angle), math.sin(angle)))]
    for _ in range(count):
        c0, s0 = math.cos(angle), math.sin(angle)
        angle += step
        c1, s1 = math.cos(angle), math.sin(angle)
        ops.append(("C", (*at(c0 - reach * s0, s0 + reach * c0), *at(c1 + reach * s1, s1 - reach * c1), *at(c1, s1))))
    return tuple(ops)
