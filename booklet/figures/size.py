"""Shapes of the parts and the sewing told for them in, the outside size of the finished piece out; parts are shaped elsewhere.

A first cut: parts that stand on one another along one axis are added up (legs, body, head, cap). What is sewn to a side
adds nothing. `basis` names the parts that were added, so that nobody takes the number for more than it is.
"""

from __future__ import annotations

from booklet.figures.figures import Size
from booklet.figures.parts import Shape, joined_on
from booklet.figures.steps import Told, number, places
from booklet.graph.graph import Graph, PartGraph

FIT = (0.7, 1.45)  # openings that are sewn on one another: their widths may differ by so much
Sewn = tuple[int, int, int | None, int | None]


def whole(graph: Graph, shapes: tuple[Shape, ...], told: tuple[Told, ...]) -> Size:
    """Size of the finished piece: the stack of parts with the largest volume, else the largest part.

    The thickness of a piece that lies flat is not its height: that is None.
    """
    if not any(shape.width_mm for shape in shapes):
        return Size(None, None, None, ())
    group = list(range(len(shapes)))
    capped: dict[int, list[tuple[int, float]]] = {}  # part -> caps on it and how far they stand out
    for part, found in enumerate(graph.parts):
        for below, _ in joined_on(found):
            _unite(group, part, below)
    for what, onto, a, b in _sewn(told):
        if a is None and _end_to_end(graph, shapes, what, onto):
            _unite(group, what, onto)
        elif a is not None:
            more = _cap(graph.parts[onto], shapes[what], shapes[onto], a, a if b is None else b)
            if more > 0:
                capped.setdefault(onto, []).append((what, more))
    members = _largest(group, shapes)
    caps = [(what, more) for onto in members for what, more in capped.get(onto, ()) if what not in set(members)]
    names = tuple(graph.parts[i].name for i in sorted({*members, *(what for what, _ in caps)}))
    if len(names) == 1:
        shape = shapes[members[0]]
        lies = shape.shape == "rows" or shape.shape.endswith("flat")
        return Size(None if lies else shape.height_mm, shape.width_mm, shape.length_mm, names)
    height = sum(shapes[i].height_mm or 0.0 for i in members) + sum(more for _, more in caps)
    width = max(max(shapes[i].width_mm or 0.0, shapes[i].length_mm or 0.0) for i in (*members, *(what for what, _ in caps)))
    return Size(height, width, None, names)


def _sewn(told: tuple[Told, ...]) -> list[Sewn]:
    found: dict[Sewn, None] = {}
    for one in told:
        if one.step.name == "sew" and one.what is not None and one.onto is not None and one.what != one.onto:
            found[one.what, one.onto, number(one.step.value("a")), number(one.step.value("b"))] = None
    return list(found)


def _end_to_end(graph: Graph, shapes: tuple[Shape, ...], what: int, onto: int) -> bool:
    """Two open ends of like width, one piece each: a head on a body."""
    one, other = graph.parts[what], graph.parts[onto]
    if (one.make, other.make) != (1, 1) or shapes[what].shape != "open" or shapes[onto].shape != "open":
        return False
    low, high = FIT
    return low <= one.total(one.rounds) / max(1, other.total(other.rounds)) <= high


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
    """The members of the group with the largest volume; of flat ones, with the largest area."""
    bulk: dict[int, tuple[float, float]] = {}
    roots = [_root(group, i) for i in range(len(group))]
    for root, shape in zip(roots, shapes, strict=True):
        profile = shape.profile
        volume, area = bulk.get(root, (0.0, 0.0))
        more = profile.area if profile is not None else (shape.width_mm or 0.0) * (shape.length_mm or 0.0)
        bulk[root] = volume + (profile.volume if profile is not None else 0.0), area + more
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
