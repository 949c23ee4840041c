"""The chain in the middle of an oval in, its marks and the places of the first round along it out."""

from __future__ import annotations

from itertools import groupby

from booklet.drawings.drawing import Mark, Point
from booklet.drawings.laps import Laps
from booklet.drawings.marks import chain_mark
from booklet.drawings.rings import Track


def chain_used(laps: Laps) -> tuple[int, ...]:
    """The chains of the start that the first round stands in, from left to right."""
    used = {parent for i in laps.laps[0].members for parent in laps.parents[i]}
    return tuple(i for i in laps.start if i in used)


def chain_marks(laps: Laps) -> list[Mark]:
    """The worked chains side by side, their middle in the middle of the panel."""
    used = chain_used(laps)
    return [chain_mark(laps, i, (number - (len(used) - 1) / 2, -0.22), 0.0) for number, i in enumerate(used)]


def first_round(laps: Laps, track: Track) -> dict[int, tuple[Point, float]]:
    """Foot and u of every stitch of the first round: along one side of the chain, round its end, back along the other."""
    used, members = chain_used(laps), laps.laps[0].members
    middle = (len(used) - 1) / 2
    column = {i: number - middle for number, i in enumerate(used)}
    groups = [(below, list(group)) for below, group in groupby(members, lambda i: laps.parents[i])]
    found: dict[int, tuple[Point, float]] = {}
    back = False  # the left end is behind us
    for number, (below, group) in enumerate(groups):
        x = column.get(below[0], 0.0) if below else 0.0
        if x <= -middle and number and (len(group) > 1 or not back):
            back = True
            spot = (x - 0.45, 0.0), _u(track, x, "left")
        elif x >= middle and number and number == len(groups) - 1 and len(group) > 1:
            spot = (x + 0.45, 0.0), _u(track, x, "right")
        else:
            spot = (x, 0.25 if back else -0.25), _u(track, x, "back" if back else "out")
        found.update(dict.fromkeys(group, spot))
    return found


def _u(track: Track, x: float, side: str) -> float:
    """Where on the rings a stitch over the chain at x is wanted."""
    a, b, c, d, turn = track.corners()
    if side == "left":
        return (b + c) / 2
    if side == "right":
        return (d + turn) / 2
    if side == "back":
        return c + (x + track.half)
    return a - min(0.5, a) if x > track.half else a + (track.half - x)
