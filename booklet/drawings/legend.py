"""The marks of a chart in, the entries of its key out; words are found by the pages, small drawings by `sample`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from booklet.drawings.drawing import LegendEntry, Mark
from booklet.drawings.laps import drawn_symbol, loop_symbol, symbol_name
from booklet.tables.stitches import Stitch
from booklet.tables.symbols import Symbol


def legend(
    marks: Sequence[Mark], stitches: Mapping[str, Stitch], symbols: Mapping[str, Symbol], starts: bool = False
) -> tuple[LegendEntry, ...]:
    """Every symbol of these marks once, plain stitches first; composed ones under the stitch id that makes them.

    `starts`: the chart has wedges at the first stitches. Stitches of wrong-side rows are named as they look on the right side.
    """
    found: dict[LegendEntry, None] = {}
    fans: dict[tuple[int, tuple[tuple[float, float], ...]], int] = {}
    for mark in marks:
        if mark.shape == "leg":
            key = (mark.round, mark.feet)
            fans[key] = fans.get(key, 0) + 1
    other_way = False
    for mark in marks:
        heads = fans[(mark.round, mark.feet)] if mark.shape == "leg" else 1
        feet = max(1, len(mark.feet))
        symbol, kind = drawn_symbol(mark, stitches, symbols).name, mark.kind
        if symbol != symbol_name(kind, stitches, symbols):
            kind = next((stitch.id for stitch in stitches.values() if stitch.symbol == symbol), kind)
            other_way = True
        role = {"upright": "standing_chain"}.get(mark.shape, "stitch")
        plain = _plain(kind, stitches)
        entry = LegendEntry(_composed(kind, plain, feet, heads, stitches), symbol, plain, feet, heads, "", role)
        found.setdefault(entry)
        loop = loop_symbol(mark, symbols)
        if loop is not None:
            found.setdefault(LegendEntry(loop.name, loop.name, plain, 1, 1, loop.name.removesuffix("_loop"), "loop"))
            other_way = other_way or mark.turned
    if other_way:
        found.setdefault(LegendEntry("turned", "", "", role="turned"))
    if starts:
        found.setdefault(LegendEntry("start", "", "", role="start"))
    order = list(stitches)

    def rank(entry: LegendEntry) -> tuple[int, int, int, int]:
        place = order.index(entry.kind) if entry.kind in stitches else len(order)
        return (entry.role != "stitch", entry.feet + entry.heads > 2, place, entry.heads * 10 + entry.feet)

    return tuple(sorted(found, key=rank))


def _plain(kind: str, stitches: Mapping[str, Stitch]) -> str:
    stitch = stitches.get(kind)
    return stitch.base if stitch is not None and stitch.family in ("increase", "decrease") else kind


def _composed(kind: str, plain: str, feet: int, heads: int, stitches: Mapping[str, Stitch]) -> str:
    """The stitch id of an increase or decrease: the mark's own, else the first in the table that fits, else the plain one."""
    if kind != plain or (feet == 1 and heads == 1):
        return kind
    for stitch in stitches.values():
        if stitch.base == plain and stitch.family in ("increase", "decrease") and (stitch.uses, stitch.leaves) == (feet, heads):
            return stitch.id
    return kind
