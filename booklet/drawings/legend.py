"""The marks of a chart in, the entries of its key out, and each symbol as a small drawing; words are found by the pages."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from booklet.drawings.drawing import Drawing, LegendEntry, Mark, Path
from booklet.drawings.laps import GAP, symbol_name
from booklet.drawings.strokes import Stroke, strokes
from booklet.drawings.text import path_text
from booklet.tables.stitches import Stitch
from booklet.tables.symbols import Symbol


def legend(marks: Sequence[Mark], stitches: Mapping[str, Stitch], symbols: Mapping[str, Symbol]) -> tuple[LegendEntry, ...]:
    """Every symbol of these marks once, plain stitches first; composed ones under the stitch id that makes them."""
    found: dict[LegendEntry, None] = {}
    fans: dict[tuple[int, tuple[tuple[float, float], ...]], int] = {}
    for mark in marks:
        if mark.shape == "leg":
            key = (mark.round, mark.feet)
            fans[key] = fans.get(key, 0) + 1
    for mark in marks:
        heads = fans[(mark.round, mark.feet)] if mark.shape == "leg" else 1
        feet = max(1, len(mark.feet))
        symbol = symbol_name(mark.kind, stitches, symbols)
        role = {"upright": "standing_chain"}.get(mark.shape, "stitch")
        plain = _plain(mark.kind, stitches)
        entry = LegendEntry(_composed(mark.kind, plain, feet, heads, stitches), symbol, plain, feet, heads, "", role)
        found.setdefault(entry)
        if mark.loop:
            found.setdefault(LegendEntry(f"{mark.loop}_loop", f"{mark.loop}_loop", plain, 1, 1, mark.loop, "loop"))
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


def symbol_drawing(
    entry: LegendEntry, symbol: Symbol, symbol_mm: float, ink: str = "#22201f", line: float = 0.085, loop: Symbol | None = None
) -> Drawing:
    """One entry of a legend as a drawing of its own, at the size of a chart. `loop` is the symbol of an entry for a loop."""
    found = [stroke for mark in _sample(entry, symbol, symbol_mm) for stroke in strokes(mark, symbol, loop if entry.loop else None)]
    width = round(line * symbol_mm, 3)
    paths = []
    for filled in (False, True):
        text = "".join(path_text(stroke.ops) for stroke in found if stroke.filled == filled)
        if text:
            paths.append(Path(ink, 0.0 if filled else width, text))
    return Drawing("", "symbol", _box(found, width), symbol_mm, True, (), tuple(paths), ())


def _sample(entry: LegendEntry, symbol: Symbol, size: float) -> list[Mark]:
    """The marks that show an entry: a V's legs, a Λ, or one stitch that stands alone."""

    def mark(feet: list[float], head: float, high: float, shape: str) -> Mark:
        points = tuple((x * size, 0.0) for x in feet)
        top = (head * size, -high * size)
        return Mark(0, entry.kind, 1, *top, 0.0, size, points, (top,), None, "", entry.loop, shape)

    high = symbol.height + GAP
    if entry.role == "standing_chain":
        return [mark([0.0], 0.0, 0.9, "upright")]
    if symbol.name == "chain":
        return [mark([0.0], 0.0, symbol.height, "chain")]
    if entry.heads > 1:
        return [mark([0.0], k - (entry.heads - 1) / 2, high, "leg") for k in range(entry.heads)]
    return [mark([k - (entry.feet - 1) / 2 for k in range(entry.feet)], 0.0, high, "")]


def _box(found: list[Stroke], width: float) -> tuple[float, float, float, float]:
    numbers = [value for stroke in found for _, values in stroke.ops for value in values]
    xs, ys = numbers[0::2], numbers[1::2]
    return min(xs) - width, min(ys) - width, max(xs) + width, max(ys) + width
