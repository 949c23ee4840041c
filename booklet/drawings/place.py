"""A PartGraph in, the panels of its chart out, in symbol widths; no words, no paper, no ink."""

from __future__ import annotations

from collections.abc import Mapping

from booklet.drawings.arches import BOWED, SPAN, arches
from booklet.drawings.circles import circle_panel, legible
from booklet.drawings.drawing import Placed
from booklet.drawings.laps import Lap, Laps, read_laps
from booklet.drawings.lines import line_panel
from booklet.drawings.square import squared
from booklet.graph.graph import PartGraph
from booklet.tables.stitches import Stitch
from booklet.tables.symbols import Symbol

# A concentric ring in which a stitch has more room than this cannot be followed any more (measured on our own
# drawings: the eye loses the neighbour). A last even ring may be wider, since nothing has to be counted in it.
WIDEST = 2.25
WIDEST_EVEN = 3.0
EVEN = 4  # drawn even rounds in a row that a panel of rings may hold; more are unrolled
NARROW = 30  # stitches: an unrolled tube up to this size fits across a small page, a wider one stays in rings


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
    """Panels of worked rounds: rings outwards while it grows, a closing end where it narrows, strips between."""
    panels: list[Placed] = []
    loose = first  # rounds from here on are not drawn yet: they will be a strip
    at = first
    while at < stop:
        kind, end = _run(laps, at, stop)
        if kind == "narrows":
            begin = _closing(laps, at, end)
            if end - begin < 3 and end < stop:
                begin = end
            form, at = "closing", begin
        else:
            form, end = "outward", _outward(laps, at, end, at == first)
        if at < end:
            if loose < at:
                panels.append(line_panel(laps, loose, at))
            oval = at == 0 and laps.part.worked.startswith("oval")
            panel = circle_panel(laps, at, end, closing=form == "closing", oval=oval)
            panels.append(squared(panel, laps.part) if panel.form == "round" and panel.way == "joined" else panel)
            loose = end
        at = max(at, end) if form == "closing" or at < end else _run(laps, at, stop)[1]
    if loose < stop:
        panels.append(line_panel(laps, loose, stop))
    return panels


def _size(lap: Lap) -> int:
    return len(lap.members)


def _width(laps: Laps, lap: Lap) -> float:
    """What a round is as wide as, in stitches: chains that hang in arches take less room than as many stitches."""
    hanging = [arch.chains for arch in arches(laps, lap) if arch.chains >= BOWED]
    return len(lap.members) - sum(chains - (SPAN * (chains + 1) - 1) for chains in hanging)


def _run(laps: Laps, at: int, stop: int) -> tuple[str, int]:
    """("grows" | "narrows" | "even", where it ends) of the rounds from `at`; even rounds go with what follows them."""
    below = _width(laps, laps.laps[at - 1]) if at else 0.0
    kind = "even"
    for k in range(at, stop):
        size = _width(laps, laps.laps[k])
        # A round that is worked round chains may have fewer stitches than these: it lies outside them all the same.
        round_chains = any(i in laps.spaces for i in laps.laps[k].members)
        now = "grows" if size > below else "even" if size == below or round_chains else "narrows"
        if now != "even":
            if kind not in ("even", now):
                return kind, k
            kind = now
        below = size
    return kind, stop


def _outward(laps: Laps, at: int, stop: int, beginning: bool) -> int:
    """How far rings from `at` go: while they can be followed, with a few even rounds at the edge. `at` for not at all."""
    sizes = [_size(lap) for lap in laps.laps[: stop]]
    end, even = stop, 0
    for k in range(at + 1, stop):
        even = even + 1 if sizes[k] == sizes[k - 1] else 0
        if even > EVEN and sizes[k] <= NARROW:
            end = k - even + 1
            break
    oval = at == 0 and laps.part.worked.startswith("oval")
    followed = at + legible(laps, at, end, False, oval, WIDEST)
    # One even ring more shows where the sides begin; nothing has to be counted in it.
    if at < followed < end and sizes[followed] == sizes[followed - 1]:
        followed = max(followed, at + legible(laps, at, followed + 1, False, oval, WIDEST_EVEN))
    # In the middle of a piece, rings are worth their room only where it widens, or where it is too wide to unroll.
    widens = sizes[followed - 1] >= 1.4 * sizes[at - 1] and (followed == stop or followed - at > 3)
    worth = beginning or widens or (sizes[at] > NARROW and followed - at > 1)
    return followed if worth else at


def _closing(laps: Laps, at: int, end: int) -> int:
    """From where a narrowing stretch that ends at `end` can be followed as rings."""
    sizes = [_size(lap) for lap in laps.laps[:end]]
    begin = at
    while begin < end and begin > 0 and sizes[begin] == sizes[begin - 1]:
        begin += 1
    if begin - at <= EVEN or sizes[at] > NARROW:
        begin = at
    return max(begin, end - legible(laps, begin, end, True, False, WIDEST)) if begin > 0 else end
