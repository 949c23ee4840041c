"""Shapes of the parts and the sewing told for them in, the outside size of the finished piece out; parts are shaped elsewhere.

A first cut: parts that stand on one another along one axis are added up (legs, body, head, cap). What is sewn to a side
adds nothing. `basis` names the parts that were added, so that nobody takes the number for more than it is.
"""

from __future__ import annotations

from booklet.figures.figures import Size
from booklet.figures.parts import Shape, joined_on, round_above
from booklet.figures.steps import Told, number, part_named
from booklet.graph.graph import Graph

FIT = (0.7, 1.45)  # openings that are sewn on one another: their widths may differ by so much
Sewn = tuple[int, int, int | None, int | None]


def whole(graph: Graph, shapes: tuple[Shape, ...], told: tuple[Told, ...]) -> Size:
    """Size of the finished piece: the stack of parts with the largest volume, else the largest part."""
    if not any(shape.width_mm for shape in shapes):
        return Size(None, None, None, ())
    group = list(range(len(shapes)))
    extra = [0.0] * len(shapes)
    capped: dict[int, list[int]] = {}
    for part, found in enumerate(graph.parts):
        for below, _ in joined_on(found):
            _unite(group, part, below)
    for what, onto, a, b in _sewn(told, graph):
        if a is None and _end_to_end(graph, shapes, what, onto):
            _unite(group, what, onto)
        elif a is not None:
            more = _cap(graph, shapes, what, onto, a, a if b is None else b)
            if more > 0:
                extra[onto] += more
                capped.setdefault(onto, []).append(what)
    best = max(dict.fromkeys(group), key=lambda root: _bulk(group, shapes, root))
    members = [i for i, root in enumerate(group) if root == best]
    caps = [what for onto in members for what in capped.get(onto, ()) if what not in members]
    names = tuple(graph.parts[i].name for i in sorted({*members, *caps}))
    if len(names) == 1:
        shape = shapes[members[0]]
        return Size(shape.height_mm, shape.width_mm, shape.length_mm, names)
    height = sum((shapes[i].height_mm or 0.0) + extra[i] for i in members)
    width = max(max(shapes[i].width_mm or 0.0, shapes[i].length_mm or 0.0) for i in (*members, *caps))
    return Size(height, width, None, names)


def _sewn(told: tuple[Told, ...], graph: Graph) -> list[Sewn]:
    found: list[Sewn] = []
    for one in told:
        if one.step.name == "sew":
            what, onto = part_named(one.step.value("what"), graph), part_named(one.step.value("onto"), graph)
            if what is not None and onto is not None and what != onto:
                found.append((what, onto, number(one.step.value("a")), number(one.step.value("b"))))
    return found


def _end_to_end(graph: Graph, shapes: tuple[Shape, ...], what: int, onto: int) -> bool:
    """Two open ends of like width, one piece each: a head on a body."""
    one, other = graph.parts[what], graph.parts[onto]
    if (one.make, other.make) != (1, 1) or shapes[what].shape != "open" or shapes[onto].shape != "open":
        return False
    low, high = FIT
    return low <= one.total(one.rounds) / max(1, other.total(other.rounds)) <= high


def _cap(graph: Graph, shapes: tuple[Shape, ...], what: int, onto: int, a: int, b: int) -> float:
    """How far a cap stands out over the end of the part that it is sewn on; 0 for what is sewn to a side."""
    cap, under = shapes[what], shapes[onto]
    low, high = round_above(under, graph, onto, min(a, b)), round_above(under, graph, onto, max(a, b))
    whole_height, tall = under.height_mm, cap.height_mm
    if cap.shape != "open" or cap.profile is None or low is None or high is None or not whole_height or not tall:
        return 0.0
    place = next((row for row in under.rounds if row.height_mm == high), None)
    if place is None or not place.radius_mm:
        return 0.0
    least, most = FIT
    if not least <= cap.profile.radius[-1] / place.radius_mm <= most:
        return 0.0
    if high <= whole_height / 2:
        return max(0.0, tall - high)
    return max(0.0, tall - (whole_height - low)) if under.shape == "closed" else 0.0


def _bulk(group: list[int], shapes: tuple[Shape, ...], root: int) -> tuple[float, float]:
    volume = area = 0.0
    for i, mine in enumerate(group):
        if mine == root:
            shape = shapes[i]
            profile = shape.profile
            volume += profile.volume if profile is not None else 0.0
            area += profile.area if profile is not None else (shape.width_mm or 0.0) * (shape.length_mm or 0.0)
    return volume, area


def _unite(group: list[int], one: int, other: int) -> None:
    keep, drop = sorted((group[one], group[other]))
    for i, root in enumerate(group):
        if root == drop:
            group[i] = keep
