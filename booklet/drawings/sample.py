"""A legend entry in, a small drawing of its symbol out, exactly as the chart draws it; its words are found by the pages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from booklet.drawings.curves import wedge
from booklet.drawings.drawing import Drawing, Guide, LegendEntry, Mark, Placed, Point
from booklet.drawings.fit import Style, fit
from booklet.tables.stitches import Stitch
from booklet.tables.symbols import Symbol

APART = 0.9  # between neighbouring feet or heads, in symbol widths: a little closer than on the chart, so that a V stays a V
MARGIN = 0.12


def sample(entry: LegendEntry, style: Style, stitches: Mapping[str, Stitch], symbols: Mapping[str, Symbol]) -> Drawing:
    """Draw one symbol at the style's smallest size, in the style's own ink. KeyError for a symbol that no table has."""
    if entry.role == "start":
        guide = Guide("start", wedge((0.0, -0.4), (-1.0, 0.0)))
        return _fitted(Placed("", "symbol", (), (), (guide,), (-0.4, -0.8, 0.4, 0.0), (1, 1)), style, stitches, symbols)
    height = symbols[entry.symbol].height if entry.role != "loop" else _plain_height(entry, stitches, symbols)
    marks = _marks(entry, height or 1.0)
    wide = APART * max(entry.feet, entry.heads)
    frame = (-wide / 2 - MARGIN, -height - MARGIN, wide / 2 + MARGIN, MARGIN + 0.1)
    if entry.role == "standing_chain" or marks[0].shape == "chain":
        frame = (-0.6, -max(height, 0.5) - MARGIN, 0.6, MARGIN)
    return _fitted(Placed("", "symbol", marks, (), (), frame, (1, 1)), style, stitches, symbols)


def _fitted(placed: Placed, style: Style, stitches: Mapping[str, Stitch], symbols: Mapping[str, Symbol]) -> Drawing:
    drawn = fit(placed, style._replace(most_mm=style.least_mm, width_mm=1000.0, height_mm=1000.0), stitches, symbols)
    return replace(drawn, form="symbol", marks=(), legend=())


def _plain_height(entry: LegendEntry, stitches: Mapping[str, Stitch], symbols: Mapping[str, Symbol]) -> float:
    stitch = stitches.get(entry.kind)
    found = symbols.get(stitch.symbol if stitch else entry.kind)
    return found.height if found else 1.0


def _marks(entry: LegendEntry, height: float) -> tuple[Mark, ...]:
    top, foot = (0.0, -height), (0.0, 0.0)
    if entry.role == "standing_chain":
        return (_mark(entry.stitch, (foot,), top, "upright"),)
    if entry.role == "loop":
        return (_mark(entry.kind, (foot,), top, "")._replace(loop=entry.loop),)
    if entry.heads > 1:
        return tuple(_mark(entry.kind, (foot,), (x, -height), "leg") for x in _spread(entry.heads))
    if entry.feet > 1:
        return (_mark(entry.stitch, tuple((x, 0.0) for x in _spread(entry.feet)), top, ""),)
    if entry.kind == "chain":
        return (_mark("chain", (), top, "chain"),)
    return (_mark(entry.stitch, (foot,), top, ""),)


def _mark(kind: str, feet: tuple[Point, ...], head: Point, shape: str) -> Mark:
    return Mark(0, kind, 1, *head, 0.0, 1.0, feet, (head,), shape=shape)


def _spread(n: int) -> list[float]:
    return [APART * (i - (n - 1) / 2) for i in range(n)]
