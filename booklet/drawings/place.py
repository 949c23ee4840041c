"""A PartGraph in, the panels of its chart out, in symbol widths; no words, no paper, no ink."""

from __future__ import annotations

from collections.abc import Mapping

from booklet.drawings.circles import circle_panel, legible
from booklet.drawings.drawing import Placed
from booklet.drawings.laps import Lap, Laps, read_laps
from booklet.drawings.lines import line_panel
from booklet.graph.graph import PartGraph
from booklet.tables.stitches import Stitch
from booklet.tables.symbols import Symbol

# A concentric ring in which a stitch has more room than this cannot be followed any more (measured on our own
# drawings: the eye loses the neighbour). A last even ring may be wider, since nothing has to be counted in it.
WIDEST = 2.25
WIDEST_EVEN = 3.0
EVEN = 4  # even rings in a row that a disc may end with; more are unrolled


def place(part: PartGraph, stitches: Mapping[str, Stitch], symbols: Mapping[str, Symbol]) -> tuple[Placed, ...]:
    """Lay out a part: disc, oval, strip, closing end or rows, as its rounds ask for. () for a part without rounds."""
    laps = read_laps(part, stitches, symbols)
    panels: list[Placed] = []
    first = 0
    while first < len(laps.laps):
        stop = _stretch(laps.laps, first)
        if laps.laps[first].way.startswith("row"):
            panels.append(line_panel(laps, first, stop))
        else:
            panels += _rounds(laps, first, stop)
        first = stop
    return tuple(panels)


def _stretch(laps: tuple[Lap, ...], first: int) -> int:
    """Where rows end and rounds begin, or the other way round."""
    rows = laps[first].way.startswith("row")
    return next((k for k in range(first, len(laps)) if laps[k].way.startswith("row") != rows), len(laps))


def _rounds(laps: Laps, first: int, stop: int) -> list[Placed]:
    panels: list[Placed] = []
    while first < stop:
        # A part that goes on from a strip or from rows may still narrow at once: then a closing end is the better view.
        end = first if _narrows(laps.laps, first, stop) and first > 0 else _outward(laps, first, stop)
        if end > first:
            oval = first == 0 and laps.part.worked.startswith("oval")
            panels.append(circle_panel(laps, first, end, oval=oval))
            first = end
            continue
        begin, end = _closing(laps, first, stop)
        if begin > first:
            panels.append(line_panel(laps, first, begin))
        if end > begin:
            panels.append(circle_panel(laps, begin, end, closing=True))
        first = end
    return panels


def _size(lap: Lap) -> int:
    return len(lap.members)


def _narrows(laps: tuple[Lap, ...], first: int, stop: int) -> bool:
    """Does the piece get smaller before it gets larger again?"""
    below = _size(laps[first - 1]) if first else 0
    for lap in laps[first:stop]:
        if _size(lap) != below:
            return _size(lap) < below
        below = _size(lap)
    return False


def _outward(laps: Laps, first: int, stop: int) -> int:
    """How far a disc goes: while it grows and can be followed, and a few even rings more."""
    grown = first + 1
    sizes = [_size(lap) for lap in laps.laps]
    while grown < stop and sizes[grown] > sizes[grown - 1]:
        grown += 1
    end = first
    for k in range(first, stop):
        if k > first and sizes[k] < sizes[k - 1]:
            break
        end = k + 1
    even = 0
    for k in range(first + 1, end):
        even = even + 1 if sizes[k] == sizes[k - 1] else 0
        if even > EVEN:
            end = k - even + 1
            break
    oval = first == 0 and laps.part.worked.startswith("oval")
    if first > 0 or end == first:
        limit = WIDEST
    else:
        limit = WIDEST
    legible_end = first + legible(laps, first, end, False, oval, limit)
    # One even ring more, if it is the last of the growing half: it shows where the sides begin.
    if legible_end < end and legible_end > first and sizes[legible_end] == sizes[legible_end - 1]:
        legible_end = max(legible_end, first + legible(laps, first, legible_end + 1, False, oval, WIDEST_EVEN))
    return min(legible_end, end)


def _closing(laps: Laps, first: int, stop: int) -> tuple[int, int]:
    """The longest end of the stretch from `first` that narrows and can be followed: (begin, end); what is before is a strip."""
    sizes = [_size(lap) for lap in laps.laps]
    end = first + 1
    while end < stop and sizes[end] <= sizes[end - 1]:
        end += 1
    begin = first
    while begin < end and sizes[begin] == (sizes[begin - 1] if begin else -1) and end - begin > EVEN:
        begin += 1
    for start in range(begin, end):
        if start > 0 and sizes[start] <= sizes[start - 1] and legible(laps, start, end, True, False, WIDEST):
            # A strip of one or two rows before it would be harder to follow than the whole as a strip.
            return start, end
    return end, end
