"""Rings, bands and arrows as smooth paths: a track and radii in, M, L, C and Z with absolute points out."""

from __future__ import annotations

import math
from itertools import pairwise

from booklet.drawings.drawing import Ops
from booklet.drawings.rings import Layer, Track

QUARTER = 4 / 3 * math.tan(math.pi / 8)


def circle(x: float, y: float, radius: float) -> Ops:
    """A circle as four curves."""
    k = QUARTER * radius
    return (
        ("M", (x + radius, y)),
        ("C", (x + radius, y + k, x + k, y + radius, x, y + radius)),
        ("C", (x - k, y + radius, x - radius, y + k, x - radius, y)),
        ("C", (x - radius, y - k, x - k, y - radius, x, y - radius)),
        ("C", (x + k, y - radius, x + radius, y - k, x + radius, y)),
        ("Z", ()),
    )


def track_curve(track: Track, layer: Layer, closing: bool, offset: float = 0.0) -> Ops:
    """The line of a layer's tops, from the start lane once round (not closed: a spiral does not meet its beginning)."""
    knots = [layer.start + u for u in _knots(track)]
    ops: list[tuple[str, tuple[float, ...]]] = []
    slope = layer.climb / track.turn * (-1 if closing else 1)
    for k, (u0, u1) in enumerate(pairwise(knots)):
        middle = (u0 + u1) / 2
        r0, r1 = layer.at(u0, track.turn, closing) + offset, layer.at(u1, track.turn, closing) + offset
        x0, y0 = track.point(u0, r0)
        x1, y1 = track.point(u1, r1)
        if k == 0:
            ops.append(("M", (x0, y0)))
        reach = (u1 - u0) / 3
        vx0, vy0 = _velocity(track, u0, middle, r0, slope)
        vx1, vy1 = _velocity(track, u1, middle, r1, slope)
        ops.append(("C", (x0 + reach * vx0, y0 + reach * vy0, x1 - reach * vx1, y1 - reach * vy1, x1, y1)))
    return tuple(ops)


def band(track: Track, inner: Layer, outer: Layer, closing: bool, offset: float) -> Ops:
    """The area between two layers, moved towards the centre by `offset` (a symbol ends a little below its top)."""
    shift = offset if closing else -offset
    out = track_curve(track, outer, closing, shift)
    back = reverse(track_curve(track, inner, closing, shift))
    return (*out, ("L", back[0][1]), *back[1:], ("Z", ()))


def reverse(ops: Ops) -> Ops:
    """The same open curve from its end to its beginning."""
    points = [numbers[-2:] for _, numbers in ops]
    found: list[tuple[str, tuple[float, ...]]] = [("M", points[-1])]
    for (op, numbers), before in zip(ops[:0:-1], points[-2::-1], strict=True):
        found.append((op, (*numbers[2:4], *numbers[0:2], *before) if op == "C" else before))
    return tuple(found)


def arrow(track: Track, radius: float, u0: float, u1: float) -> Ops:
    """A curved arrow along a ring, with an open head."""
    layer = Layer(radius, 0.0, 0.0, 0.0)
    steps = 6
    ops: list[tuple[str, tuple[float, ...]]] = []
    for k in range(steps + 1):
        at = track.point(u0 + (u1 - u0) * k / steps, layer.radius)
        ops.append(("L" if k else "M", at))
    return (*ops, *arrow_head(ops[-2][1], ops[-1][1]))


def arrow_head(before: tuple[float, ...], tip: tuple[float, ...], size: float = 0.32) -> Ops:
    """Two short strokes that end in the tip of a line."""
    angle = math.atan2(tip[1] - before[1], tip[0] - before[0])
    sides = [(tip[0] - size * math.cos(angle + a), tip[1] - size * math.sin(angle + a)) for a in (0.5, -0.5)]
    return (("M", sides[0]), ("L", (tip[0], tip[1])), ("L", sides[1]))


def _knots(track: Track) -> list[float]:
    """U of the joints: the corners, and arcs cut into pieces of at most an eighth of a turn."""
    knots = [0.0]
    corners = track.corners()
    for stretch, end in enumerate(corners):
        begin = knots[-1]
        if end - begin < 1e-9:
            continue
        pieces = 1 if stretch in (1, 3) else max(1, math.ceil((end - begin) / (math.pi / 4) - 1e-9))
        knots += [begin + (end - begin) * (k + 1) / pieces for k in range(pieces)]
    return knots


def _velocity(track: Track, u: float, middle: float, radius: float, slope: float) -> tuple[float, float]:
    """Derivative of the curve by u, on the side of the joint where `middle` lies."""
    a, b, c, d, _ = track.corners()
    straight = a < middle < b or c < middle < d
    _, _, dx, dy = track.place(u)
    way = -1 if track.flip else 1
    along = 1.0 if straight else radius
    return slope * dx + way * along * dy, slope * dy - way * along * dx


def wedge(tip: tuple[float, float], way: tuple[float, float], size: float = 0.24) -> Ops:
    """A small filled triangle that points to `tip` in the direction `way`."""
    length = math.hypot(*way) or 1.0
    x, y = way[0] / length, way[1] / length
    back = (tip[0] - x * size * 1.2, tip[1] - y * size * 1.2)
    return (
        ("M", tip),
        ("L", (back[0] - y * size * 0.62, back[1] + x * size * 0.62)),
        ("L", (back[0] + y * size * 0.62, back[1] - x * size * 0.62)),
        ("Z", ()),
    )
