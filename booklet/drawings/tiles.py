"""A panel that is larger than a page in, its sheets out: clear symbols, an overlap, and register marks to join them by."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from booklet.drawings.drawing import LEAST_MM, Drawing, Guide, Label, Ops, Placed, Tile
from booklet.drawings.fit import Style, fit
from booklet.drawings.marks import LABEL
from booklet.tables.stitches import Stitch
from booklet.tables.symbols import Symbol

Frame = tuple[float, float, float, float]

OVERLAP = 3.0  # symbol widths that neighbouring sheets share: a whole round of the tallest usual stitch stays readable
ARM = 0.7  # of a register mark
MOST = 20  # sheets across or down: shared/limits.toml keeps rounds far below that


def sheets(
    placed: Placed, style: Style, page_mm: tuple[float, float], stitches: Mapping[str, Stitch], symbols: Mapping[str, Symbol]
) -> tuple[Drawing, ...]:
    """The panel as one drawing where it fits the page with symbols of 3 mm, else divided. It is never shrunk below that.

    Sheets come in reading order, each with its place in `tile`. ValueError for a page too small for two symbols.
    """
    whole = fit(placed, style, stitches, symbols)
    if whole.width_mm <= page_mm[0] + 0.01 and whole.height_mm <= page_mm[1] + 0.01:
        return (whole,)
    scale = max(style.least_mm, LEAST_MM)
    mirrored = style.left_handed
    across = _cuts(placed.frame[0], placed.frame[2], page_mm[0] / scale)
    down = _cuts(placed.frame[1], placed.frame[3], page_mm[1] / scale)
    guides = (*placed.guides, Guide("register", _register(across, down)))
    # A mirrored chart is read from the other side: its sheets are counted from the left of the page all the same.
    columns = across[::-1] if mirrored else across
    single = style._replace(width_mm=page_mm[0], height_mm=page_mm[1], least_mm=scale, most_mm=scale)
    found = []
    for row, (top, bottom) in enumerate(down, 1):
        for column, (left, right) in enumerate(columns, 1):
            tile = Tile(column, row, len(across), len(down))
            piece = _piece(replace(placed, guides=guides), (left, top, right, bottom), tile, mirrored)
            found.append(replace(fit(piece, single, stitches, symbols), tile=tile))
    return tuple(found)


def _piece(placed: Placed, frame: Frame, tile: Tile, mirrored: bool) -> Placed:
    """What lies in the frame, with the sheet's name in a corner where nothing is drawn, if there is one."""
    left, top, right, bottom = frame
    marks = tuple(
        mark
        for mark in placed.marks
        if any(left - 1 <= x <= right + 1 and top - 1 <= y <= bottom + 1 for x, y in (*mark.heads, *mark.feet))
    )
    half = LABEL / 2
    labels = tuple(
        label
        for label in placed.labels
        if left + half <= label.x <= right - half and top + half <= label.y <= bottom - half
    )
    corners = [(x, y) for y in (top + 0.8, bottom - 0.8) for x in ((right - 0.8, left + 0.8) if mirrored else (left + 0.8, right - 0.8))]
    free = [corner for corner in corners if all(math.dist(corner, (mark.x, mark.y)) > 1.6 for mark in marks)]
    name = tuple(Label(tile.name, *corner, LABEL, "sheet") for corner in free[:1])
    return replace(placed, marks=marks, labels=(*labels, *name), frame=frame)


def _cuts(low: float, high: float, room: float) -> list[tuple[float, float]]:
    """The stretches of equal length, each within the room, that overlap and cover everything."""
    if high - low <= room + 1e-9:
        return [(low, high)]
    if room <= OVERLAP + 2:
        raise ValueError("the page is too small for a sheet of a chart")
    count = min(MOST, math.ceil((high - low - OVERLAP) / (room - OVERLAP)))
    each = (high - low - OVERLAP) / count
    return [(low + k * each, low + (k + 1) * each + OVERLAP) for k in range(count)]


def _register(across: list[tuple[float, float]], down: list[tuple[float, float]]) -> Ops:
    """Crosses in the middle of every overlap: two sheets lie right where these lie on each other."""
    xs = [(a[1] + b[0]) / 2 for a, b in pairwise(across)]
    ys = [(a[1] + b[0]) / 2 for a, b in pairwise(down)]
    spots = [(x, y) for x in xs for top, bottom in down for y in (top + ARM * 1.3, bottom - ARM * 1.3)]
    spots += [(x, y) for y in ys for left, right in across for x in (left + ARM * 1.3, right - ARM * 1.3)]
    ops: list[tuple[str, tuple[float, ...]]] = []
    for x, y in dict.fromkeys(spots):
        ops += [("M", (x - ARM, y)), ("L", (x + ARM, y)), ("M", (x, y - ARM)), ("L", (x, y + ARM))]
    return tuple(ops)
