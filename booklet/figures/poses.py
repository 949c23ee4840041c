"""A box or an ellipsoid in, the room that its best pose in the small-parts cylinder leaves out; what is a small part is decided
in cylinder.

The cylinder is convex: a body that fits in some pose gets there by sliding straight down, so poses are all that matters.
With `d` counted down from the rim and `x` towards the deep side, three planes (rim, sloping floor) and the round wall hold it:
x² + y² <= R², d >= 0, d <= M + x. For a direction of the body with supports h, the planes ask for a shift to the deep side of
at least h(up) + h(d - x) - M; the wall allows a certain shift. Their difference is the room in mm; a body fits if it is >= 0.

Only poses are tried that are mirror images of themselves in the plane y = 0 (one axis of the body lies along y, the others
turn in that plane). That these are the best ones is not proven: an independent search over all directions found no better pose
for hundreds of boxes and ellipsoids (tests/figures/test_cylinder_search.py), and the measuring doubt is far larger than what
such a search could miss.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import acos, atan2, cos, hypot, pi, sin, sqrt
from typing import NamedTuple

NONE = -1000.0  # room where the wall alone forbids every pose
TURNS = 24  # angles tried for an ellipsoid before refining
FINE = 1e-5  # radians; the angle of an ellipsoid is refined to this
SLACK = 1e-9  # mm of rounding


class Cylinder(NamedTuple):
    """The gauge, in mm."""

    across: float
    shallow: float
    deep: float


def box_room(edges: tuple[float, float, float], gauge: Cylinder) -> float:
    """Room in mm of a box in its best pose; negative: it does not fit. Exact for the poses that are tried.

    Between the breakpoints of the three supports the room is a convex function of the angle, so its maximum stands at a
    breakpoint, or where the wall begins to forbid the pose.
    """
    radius, mean = gauge.across / 2, (gauge.shallow + gauge.deep) / 2
    best = NONE
    for w, u, v in _axes(edges):
        if w > radius:
            continue
        half = sqrt(radius * radius - w * w)
        for angle in _box_angles(u, v, half):
            s, c = sin(angle), cos(angle)
            out = u * abs(s) + v * abs(c)
            if out <= half + SLACK:
                up = u * abs(c) + v * abs(s)
                floor = u * abs(c - s) + v * abs(s + c)
                best = max(best, half - out - up - floor + mean)
    return best


def ellipsoid_room(axes: tuple[float, float, float], gauge: Cylinder) -> float:
    """The same for an ellipsoid (its three diameters), by trying angles and refining the best ones."""
    radius, mean = gauge.across / 2, (gauge.shallow + gauge.deep) / 2
    best = NONE
    for w, u, v in _axes(axes):

        def room(angle: float, w: float = w, u: float = u, v: float = v) -> float:
            s, c = sin(angle), cos(angle)
            out = hypot(u * s, v * c)
            if out > radius or w > radius:
                return NONE - out
            return _shift(out, w, radius) - hypot(u * c, v * s) - hypot(u * (c - s), v * (s + c)) + mean

        tried = sorted(((room(k * pi / TURNS), k * pi / TURNS) for k in range(TURNS)), reverse=True)
        best = max(best, *(_refined(room, angle) for _, angle in tried[:2]))
    return best


def _axes(sizes: tuple[float, float, float]) -> Iterator[tuple[float, float, float]]:
    """Each half axis along y, with the other two."""
    a, b, c = (size / 2 for size in sizes)
    yield from ((a, b, c), (b, a, c), (c, a, b))


def _box_angles(u: float, v: float, half: float) -> Iterator[float]:
    """The breakpoints, and the angles at which u |sin| + v |cos| = half."""
    yield from (k * pi / 4 for k in range(4))
    reach = hypot(u, v)
    if reach > half and reach > 0:
        middle, spread = atan2(u, v), acos(half / reach)
        yield from (middle + spread, middle - spread, -middle + spread, -middle - spread)


def _shift(out: float, side: float, radius: float) -> float:
    """How far an ellipse (half axes `out` along the shift, `side` across it) can move in a circle."""
    ahead = radius - out
    if side <= out:
        return ahead
    stretch = side * side - out * out
    # It touches beside its tip while this holds for the point that is farthest from the middle of the circle.
    beside = sqrt(max(0.0, radius * radius - side * side) * stretch) / side
    return beside if beside * out < stretch else ahead


def _refined(room: Callable[[float], float], angle: float) -> float:
    best, step = room(angle), pi / TURNS
    while step > FINE:
        found = max((room(angle + turn), angle + turn) for turn in (-step, step))
        if found[0] > best:
            best, angle = found
        else:
            step /= 2
    return best
