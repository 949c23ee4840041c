"""Drawn rounds and the places of their tops in, marks out: what ring and row panels have in common."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from booklet.drawings.drawing import Mark, Point
from booklet.drawings.laps import GAP, Lap, Laps
from booklet.graph.graph import LOOPS

LABEL = 0.82  # height of a round number, in symbol widths
WEDGE = 0.24  # width of the wedge that points at the first stitch of a spiral round
JOIN = 0.3  # share of a round's height that the closing slip stitch takes above its lifting chain


def label_width(text: str) -> float:
    """Width of a number in type of the usual size, in symbol widths."""
    return 0.46 * len(text)


def lane_sides(lap: Lap) -> tuple[float, float]:
    """Room on either side of the middle of the start lane, before and after it in the direction of work.

    A spiral's number stands in the middle. In joined rounds the lifting chains form one straight line after the middle,
    whatever the width of the numbers before them.
    """
    number = max(1.1, label_width(lap.label) + 0.4)
    return (number - 0.15, 1.45 if lap.bulky else 0.95) if joint_width(lap) else (number / 2, number / 2 + WEDGE)


def joint_width(lap: Lap) -> float:
    """Room for the lifting chain and the closing stitch beside the number."""
    return 0.8 if lap.join >= 0 or len(lap.standing) > lap.stacked else 0.0


def height_of(laps: Laps, lap: Lap, place: int) -> float:
    """Drawn height of a stitch; a chain that stands for one is as tall as its round."""
    stands = place == lap.members[0] and laps.is_chain(place) and laps.part.counts[place]
    return lap.pitch - GAP if stands else laps.heights[laps.part.kind[place]]


def stitch_marks(
    laps: Laps,
    lap: Lap,
    tops: Mapping[int, Point],
    feet_of: Callable[[int], tuple[Point, ...]],
    along: Callable[[int], float],
    more: Mapping[int, tuple[Point, ...]],
) -> list[Mark]:
    """The stitches of one round. `feet_of` gives the points that a place stands on, `along` the growth at a lying chain.

    `more` are further points of a chain where the next round stands.
    """
    part, parents, marks = laps.part, laps.parents, []
    standing = [feet_of(i) for i in lap.members]
    last = len(standing) - 1
    span = (lap.round, lap.last) if lap.last > lap.round else None
    behind, kinds, yarns, loops = lap.way == "row back", part.kinds, part.yarns, part.loop
    for number, i in enumerate(lap.members):
        below, head, feet = parents[i], tops[i], standing[number]
        flat = laps.is_chain(i)
        if flat and number == 0 and part.counts[i] and feet:
            marks += stack(laps, (*lap.standing[-lap.stacked :], i) if lap.stacked else (i,), feet[0], head, lap)
            continue
        # Stitches of a ring or of one chain's end have one parent, but not one foot.
        shared = len(feet) == 1 and (
            (number > 0 and standing[number - 1] == feet and parents[lap.members[number - 1]] == below)
            or (number < last and standing[number + 1] == feet and parents[lap.members[number + 1]] == below)
        )
        rotation = along(i) if flat or not feet else turned(feet, head)
        shape = "chain" if flat else "leg" if shared else ""
        heads = (head, *more[i]) if i in more else (head,)
        kind, yarn, loop = kinds[part.kind[i]], yarns[part.yarn[i]], LOOPS[loops[i]]
        marks.append(Mark(i, kind, lap.round, *head, rotation, 1.0, feet, heads, span, yarn, loop, shape, behind))
    return marks


def start_chain(laps: Laps, lap: Lap, point: Callable[[float], Point]) -> list[Mark]:
    """The lifting chain and the closing slip stitch above it; `point` gives the place at a share of the round's height."""
    lifted = lap.standing if not lap.stacked else ()
    between = 1 - JOIN if lap.join >= 0 else 1.0
    marks = stack(laps, lifted, point(0.0), point(between), lap)
    if lap.join >= 0:
        marks.append(_single(laps, lap, lap.join, point(between), point(1.0), ""))
    return marks


def chain_mark(laps: Laps, place: int, at: Point, rotation: float) -> Mark:
    """A chain of a start or bridge, which belongs to no round."""
    part = laps.part
    kind, yarn = part.kinds[part.kind[place]], part.yarns[part.yarn[place]]
    return Mark(place, kind, 0, *at, rotation, 1.0, (), (at,), None, yarn, "", "chain")


def _mark(laps: Laps, lap: Lap, place: int, rotation: float, feet: tuple[Point, ...], head: Point, shape: str) -> Mark:
    part = laps.part
    span = (lap.round, lap.last) if lap.last > lap.round else None
    turned = lap.way == "row back"
    kind, yarn = part.kinds[part.kind[place]], part.yarns[part.yarn[place]]
    return Mark(place, kind, lap.round, *head, rotation, 1.0, feet, (head,), span, yarn, "", shape, turned)


def turned(feet: tuple[Point, ...], head: Point) -> float:
    """Degrees clockwise from straight up, of the way from the feet to the head."""
    if len(feet) == 1:
        x, y = head[0] - feet[0][0], head[1] - feet[0][1]
    else:
        x = head[0] - sum(foot[0] for foot in feet) / len(feet)
        y = head[1] - sum(foot[1] for foot in feet) / len(feet)
    return math.degrees(math.atan2(x, -y))


def stack(laps: Laps, places: tuple[int, ...], foot: Point, head: Point, lap: Lap) -> list[Mark]:
    """Chains that stand on one another, from foot to head."""
    count = len(places)

    def at(k: int) -> Point:
        return foot[0] + (head[0] - foot[0]) * k / count, foot[1] + (head[1] - foot[1]) * k / count

    return [_single(laps, lap, i, at(k), at(k + 1), "upright") for k, i in enumerate(places)]


def _single(laps: Laps, lap: Lap, place: int, foot: Point, head: Point, shape: str) -> Mark:
    return _mark(laps, lap, place, turned((foot,), head), (foot,), head, shape)
