"""Shapes of the parts and the sewing told for them in, the outside size of the finished piece out; parts are shaped elsewhere.

Parts that stand on one another along one axis are stacked (legs, body, head), caps add what stands out over the end below
them, and what is sewn to a side adds what rises above the top or reaches beyond the sides. `placed` keeps every part's extent.
"""

from __future__ import annotations

from math import hypot, sqrt
from typing import NamedTuple

from booklet.figures.figures import Size
from booklet.figures.parts import Shape, joined_on
from booklet.figures.steps import Told, number, places
from booklet.graph.graph import Graph, PartGraph

FIT = (0.7, 1.45)  # openings that are sewn on one another: their widths may differ by so much
NECK = (0.25, 0.9)  # an opening on a closed ball: its radius in parts of the ball's
LIKE = 0.3  # volume of the smaller of two parts that stand on one another; less is a nose, not a head
HANGS = 1.5  # what is longer than this, in its own widths, hangs down from a side; shorter things stand out. Chosen by eye
STEEP = 0.7  # from here on the fabric's own direction is up or down rather than to the side
Sewn = tuple[int, int, int | None, int | None]


class Frame(NamedTuple):
    """Where a part of the stack stands."""

    start: float  # height of its first round, mm above the lowest point of the stack
    up: int  # 1: it grows upwards, -1: it hangs from its start


def whole(graph: Graph, shapes: tuple[Shape, ...], told: tuple[Told, ...]) -> Size:
    """Size of the finished piece: the stack of parts with the largest volume and what is sewn to it, else the largest part.

    The thickness of a piece that lies flat is not its height: that is None.
    """
    if not any(shape.width_mm for shape in shapes):
        return Size(None, None, None, ())
    sewn = _sewn(told)
    stack, standing = frames(graph, shapes, told)
    placed = [
        (i, *_extent(standing[i], shapes[i])) for i in stack if shapes[i].height_mm is not None and not _lies(shapes[i])
    ]
    width = max(max(shapes[i].width_mm or 0.0, shapes[i].length_mm or 0.0) for i in stack)
    bulk = _bulk(shapes, stack)
    for what, onto, a, b in sewn:
        if a is None or what in stack or onto not in standing or _lies(shapes[what]) or bulk is None:
            continue
        more = _cap(graph.parts[onto], shapes[what], shapes[onto], a, a if b is None else b)
        low, high = _extent(standing[onto], shapes[onto])
        if more > 0:
            first = graph.parts[onto]
            near_start = (places(first).get(str(max(a, b or a))) or 0) <= first.rounds / 2
            on_top = (standing[onto].up < 0) == near_start
            placed.append((what, high, high + more) if on_top else (what, low - more, low))
            width = max(width, shapes[what].width_mm or 0.0)
            continue
        found = _beside(graph, shapes, standing[onto], what, onto, a, a if b is None else b)
        if found is not None:
            placed.append((what, found[0], found[1]))
            width = max(width, 2 * found[2])
    return _summed(graph, shapes, stack, placed, width)


def frames(graph: Graph, shapes: tuple[Shape, ...], told: tuple[Told, ...]) -> tuple[list[int], dict[int, Frame]]:
    """The parts that stand on one another, and how each stands. A part that hangs from its start is upside down: a head
    worked from the crown.
    """
    if not shapes:
        return [], {}
    group = list(range(len(shapes)))
    for part, found in enumerate(graph.parts):
        for below, _ in joined_on(found):
            _unite(group, part, below)
    joints: list[tuple[int, int, float]] = []
    for what, onto, a, _ in _sewn(told):
        if a is None and (sunk := _end_to_end(graph, shapes, what, onto)) is not None:
            _unite(group, what, onto)
            joints.append((what, onto, sunk))
    stack = _largest(group, shapes)
    standing: dict[int, Frame] = {}
    top = 0.0
    for part in stack:
        below = [one for one, _ in joined_on(graph.parts[part])]
        if below or any(part in {one for one, _ in joined_on(graph.parts[other])} for other in stack):
            start = max((standing[one].start + (shapes[one].height_mm or 0.0) for one in below if one in standing), default=0.0)
            standing[part] = Frame(start, 1)
            top = max(top, start + (shapes[part].height_mm or 0.0))
    pairs = [pair for pair in joints if pair[0] in stack]
    if not standing:
        first = pairs[0][1] if pairs else stack[0]
        standing[first] = Frame(0.0, 1)
        top = shapes[first].height_mm or 0.0
    for _ in stack:  # every round of this loop sets at least one part on what already stands
        for what, onto, sunk in pairs:
            new = what if onto in standing and what not in standing else onto if what in standing and onto not in standing else None
            if new is not None:
                top += (shapes[new].height_mm or 0.0) - sunk
                standing[new] = Frame(top, -1)
    for part in stack:
        standing.setdefault(part, Frame(0.0, 1))
    return stack, standing


def _summed(
    graph: Graph, shapes: tuple[Shape, ...], stack: list[int], placed: list[tuple[int, float, float]], width: float
) -> Size:
    spans: dict[int, tuple[float, float]] = {}
    for part, low, high in placed:
        before = spans.get(part, (low, high))
        spans[part] = min(before[0], low), max(before[1], high)
    least = min((low for low, _ in spans.values()), default=0.0)
    inside = set(stack) | {part for part in spans if _adds(part, spans, stack)}
    names = tuple(graph.parts[i].name for i in sorted(inside))
    held = tuple((graph.parts[i].name, spans[i][0] - least, spans[i][1] - least) for i in sorted(spans))
    if len(names) == 1:
        shape = shapes[stack[0]]
        return Size(None if _lies(shape) else shape.height_mm, shape.width_mm, shape.length_mm, names, held)
    height = max(high for _, high in spans.values()) - least if spans else None
    return Size(height, width, None, names, held)


def _adds(part: int, spans: dict[int, tuple[float, float]], stack: list[int]) -> bool:
    others = [span for other, span in spans.items() if other in stack]
    if not others:
        return False
    return spans[part][1] > max(high for _, high in others) or spans[part][0] < min(low for low, _ in others)


def _lies(shape: Shape) -> bool:
    return shape.shape in ("rows", "") or shape.shape.endswith("flat")


def _bulk(shapes: tuple[Shape, ...], stack: list[int]) -> float | None:
    """Volume of the stack; None for pieces that lie flat, on which nothing stands."""
    return sum(shape.profile.volume for i in stack if (shape := shapes[i]).profile is not None and not _lies(shape)) or None


def _extent(frame: Frame, shape: Shape) -> tuple[float, float]:
    tall = shape.height_mm or 0.0
    return (frame.start, frame.start + tall) if frame.up > 0 else (frame.start - tall, frame.start)


def _sewn(told: tuple[Told, ...]) -> list[Sewn]:
    found: dict[Sewn, None] = {}
    for one in told:
        if one.step.name == "sew" and one.what is not None and one.onto is not None and one.what != one.onto:
            found[one.what, one.onto, number(one.step.value("a")), number(one.step.value("b"))] = None
    return list(found)


def _end_to_end(graph: Graph, shapes: tuple[Shape, ...], what: int, onto: int) -> float | None:
    """How far two parts that stand on one another sink into each other, mm; None where they do not stand so.

    Two open ends of like width meet edge to edge; an opening on a closed ball of radius R sinks R - sqrt(R² - r²).
    """
    one, other = graph.parts[what], graph.parts[onto]
    if (one.make, other.make) != (1, 1):
        return None
    kinds = shapes[what].shape, shapes[onto].shape
    if kinds == ("open", "open"):
        low, high = FIT
        return 0.0 if low <= one.total(one.rounds) / max(1, other.total(other.rounds)) <= high else None
    if set(kinds) != {"open", "closed"}:
        return None
    neck, ball = (shapes[i].profile for i in ((what, onto) if kinds[0] == "open" else (onto, what)))
    if neck is None or ball is None or min(neck.volume, ball.volume) < LIKE * max(neck.volume, ball.volume):
        return None
    around, r = max(ball.radius), neck.radius[-1]
    return around - sqrt(around * around - r * r) if NECK[0] * around <= r <= NECK[1] * around else None


def _beside(
    graph: Graph, shapes: tuple[Shape, ...], frame: Frame, what: int, onto: int, a: int, b: int
) -> tuple[float, float, float] | None:
    """From and to which height something reaches that is sewn to a side, and how far from the axis: 0 for what is no pair."""
    known = places(graph.parts[onto])
    first, last = known.get(str(min(a, b))), known.get(str(max(a, b)))
    profile, shape = shapes[onto].profile, shapes[what]
    if first is None or last is None or profile is None or last >= len(profile.radius):
        return None
    long = shape.length_mm if shape.shape == "flattened" else shape.height_mm
    broad = shape.width_mm
    thick = 2 * max(shape.profile.radius) + shape.thickness_mm if shape.profile is not None else shape.height_mm
    if not long or not broad or not thick:
        return None
    dr = profile.radius[last] - profile.radius[first - 1]
    dz = profile.height[last] - profile.height[first - 1]
    way = hypot(dr, dz) or 1.0
    out, rise = dz / way, -dr / way * frame.up
    radius = (profile.radius[first] + profile.radius[last]) / 2 + shapes[onto].thickness_mm / 2
    at = frame.start + frame.up * (profile.height[first] + profile.height[last]) / 2
    pair = graph.parts[what].make > 1
    if long > HANGS * broad and abs(rise) < STEEP:
        low = max(0.0, at - long)
        span = [r for r, z in zip(profile.radius, profile.height, strict=True) if low <= frame.start + frame.up * z <= at]
        return low, at + broad / 2, (max([radius, *span]) + thick if pair else 0.0)
    tip = at + long * rise
    half = broad / 2 * abs(out)
    if long <= HANGS * broad:
        # A foot lies on the table: only a leg lifts the piece.
        return max(0.0, min(at, tip) - half), max(at, tip, 0.0) + half, (radius + long * out if pair else 0.0)
    return min(at, tip) - half, max(at, tip) + half, (radius + long * out if pair else 0.0)


def _cap(host: PartGraph, cap: Shape, under: Shape, a: int, b: int) -> float:
    """How far a cap stands out over the end of the part that it is sewn on; 0 for what is sewn to a side."""
    known = places(host)
    first, last = known.get(str(min(a, b))), known.get(str(max(a, b)))
    whole_height, tall = under.height_mm, cap.height_mm
    if cap.shape != "open" or cap.profile is None or first is None or last is None or not whole_height or not tall:
        return 0.0
    low, high, radius = under.rounds[first - 1].height_mm, under.rounds[last - 1].height_mm, under.rounds[last - 1].radius_mm
    if low is None or high is None or not radius:
        return 0.0
    least, most = FIT
    if not least <= cap.profile.radius[-1] / radius <= most:
        return 0.0
    if high <= whole_height / 2:
        return max(0.0, tall - high)
    return max(0.0, tall - (whole_height - low)) if under.shape == "closed" else 0.0


def _largest(group: list[int], shapes: tuple[Shape, ...]) -> list[int]:
    """The members of the group with the largest volume, their fabric included."""
    bulk: dict[int, float] = {}
    roots = [_root(group, i) for i in range(len(group))]
    for root, shape in zip(roots, shapes, strict=True):
        profile = shape.profile
        area = profile.area if profile is not None else (shape.width_mm or 0.0) * (shape.length_mm or 0.0)
        inside = profile.volume if profile is not None and not _lies(shape) else 0.0
        bulk[root] = bulk.get(root, 0.0) + inside + area * shape.thickness_mm
    best = max(bulk, key=lambda root: bulk[root])
    return [i for i, root in enumerate(roots) if root == best]


def _unite(group: list[int], one: int, other: int) -> None:
    keep, drop = sorted((_root(group, one), _root(group, other)))
    group[drop] = keep


def _root(group: list[int], part: int) -> int:
    while group[part] != part:
        group[part] = group[group[part]]
        part = group[part]
    return part
