"""The mathematics of a ring or row: wished positions in, even positions without overlap out; no stitches are known here.

Least squares over one ring: every stitch wants to stand over its parent, and neighbours want equal distances.
The start of a round is a lane of its own width, so the ring is an open interval and the system tridiagonal.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

TIE = 1.0  # weight of equal distances against standing over the parent; 0.25 to 1 is good, above 4 stitches slide off

LOOSE = 1.4  # distance of neighbours, in symbol widths, from which equal distances matter less and less


def relax(
    targets: Sequence[float | None],
    distance: float | Sequence[float],
    first: float | None = None,
    last: float | None = None,
    tie: float = TIE,
) -> list[float]:
    """Positions that minimise the sum of (x - target)² + tie · (step - distance)².

    `distance` is one for all steps, or one for each. `first` and `last` are where the end stitches would stand with equal
    distances to a wall; such an end is held
    with twice the weight, because half of the distance across the wall counts. None leaves the end free.
    Time is linear in the number of stitches.
    """
    count = len(targets)
    if count == 0:
        return []
    steps = [distance] * (count - 1) if isinstance(distance, int | float) else list(distance)
    if first is None and last is None and all(target is None for target in targets):
        return list(accumulate(steps, initial=0.0))
    diagonal, right = [0.0] * count, [0.0] * count
    for i, target in enumerate(targets):
        if target is not None:
            diagonal[i] += 1
            right[i] += target
        if i > 0:
            diagonal[i] += tie
            right[i] += tie * steps[i - 1]
        if i < count - 1:
            diagonal[i] += tie
            right[i] -= tie * steps[i]
    for i, wall in ((0, first), (count - 1, last)):
        if wall is not None:
            diagonal[i] += 2 * tie
            right[i] += 2 * tie * wall
    # Thomas' algorithm; the matrix is symmetric and diagonally dominant, so no pivoting is needed.
    for i in range(1, count):
        factor = -tie / diagonal[i - 1]
        diagonal[i] += factor * tie
        right[i] -= factor * right[i - 1]
    right[-1] /= diagonal[-1]
    for i in range(count - 2, -1, -1):
        right[i] = (right[i] + tie * right[i + 1]) / diagonal[i]
    return right


def spread(positions: Sequence[float], gap: float | Sequence[float], low: float = -math.inf, high: float = math.inf) -> list[float]:
    """The nearest positions with at least `gap` between neighbours, within low and high (pool adjacent violators).

    `gap` is one for all neighbours, or one for each pair.
    """
    steps = [gap] * (len(positions) - 1) if isinstance(gap, int | float) else gap
    offsets = list(accumulate(steps, initial=0.0))
    blocks: list[tuple[float, int]] = []  # sum and size of each pool
    for position, offset in zip(positions, offsets, strict=False):
        total, size = position - offset, 1
        while blocks and blocks[-1][0] * size >= total * blocks[-1][1]:
            other, more = blocks.pop()
            total, size = total + other, size + more
        blocks.append((total, size))
    top = high - offsets[-1]
    found: list[float] = []
    for total, size in blocks:
        value = min(max(total / size, low), top)
        for _ in range(size):
            found.append(value + offsets[len(found)])
    return found


def lean(targets: Sequence[float | None], length: float, lane: float, gaps: Sequence[float] | None = None) -> float:
    """How far a ring has to be turned so that evenly spaced stitches stand over their parents on average."""
    opening, steps = _even(len(targets), length, lane, [1.0] * (len(targets) - 1) if gaps is None else gaps)
    even = accumulate(steps, initial=opening / 2)
    off = [target - at for at, target in zip(even, targets, strict=False) if target is not None]
    return sum(off) / len(off) if off else 0.0


def _even(count: int, length: float, lane: float, gaps: Sequence[float]) -> tuple[float, list[float]]:
    """Room for the lane between the last and the first stitch, and the distances of all others."""
    whole = sum(gaps) + 1
    opening = max(length / whole, lane + 1) if count else length
    return opening, [gap * (length - opening) / (whole - 1) for gap in gaps]


def ring(
    targets: Sequence[float | None], length: float, lane: float, gaps: Sequence[float] | None = None, tie: float = TIE
) -> list[float]:
    """Positions along a ring of this length, measured from the middle of the start lane.

    `gaps` are the widths from each stitch to the next; 1 for all where they are not given.
    """
    count = len(targets)
    if count == 0:
        return []
    gaps = [1.0] * (count - 1) if gaps is None else gaps
    opening, steps = _even(count, length, lane, gaps)
    # Where stitches stand far apart, nothing crowds and each may stay over its parent.
    distance = sum(steps) / (count - 1) if count > 1 else 0.0
    if distance > LOOSE and any(target is not None for target in targets):
        tie *= (LOOSE / distance) ** 3
    relaxed = relax(targets, steps, opening / 2, length - opening / 2, tie)
    share = min(1.0, (length - lane - 1) / sum(gaps)) if count > 1 else 1.0
    return spread(relaxed, [gap * share for gap in gaps], (lane + 1) / 2, length - (lane + 1) / 2)


class Track(NamedTuple):
    """Rings round a line of half-length `half` (0: circles). `u` tells where on any ring: it is the same along a normal.

    u grows in the direction of work; over an arc it is the angle, over a straight the length. u = 0 is the start lane.
    """

    half: float  # of the straight, in symbol widths
    start: float  # angle of the start lane in radians, from the right, anticlockwise; at most a quarter turn
    flip: bool = False  # turned upside down: worked clockwise from the bottom

    @property
    def turn(self) -> float:
        """U of a whole ring."""
        return 2 * math.pi + 4 * self.half

    def corners(self) -> tuple[float, ...]:
        """U at the ends of the five stretches: arc, straight, arc, straight, arc."""
        a = math.pi / 2 - self.start
        return (a, a + 2 * self.half, a + 2 * self.half + math.pi, a + 4 * self.half + math.pi, self.turn)

    def length(self, u: float, radius: float) -> float:
        """Length along the ring of this radius from the start lane to u."""
        if not self.half:
            return u * radius
        a, b, c, d, _ = self.corners()
        straight = min(max(u - a, 0.0), b - a) + min(max(u - c, 0.0), d - c)
        return (u - straight) * radius + straight

    def parameter(self, length: float, radius: float) -> float:
        """The u at this length along the ring: the inverse of `length`."""
        if not self.half:
            return length / radius
        marks = [self.length(corner, radius) for corner in self.corners()]
        stretch = min(bisect_right(marks, length), 4)
        base = 0.0 if stretch == 0 else self.corners()[stretch - 1]
        rest = length - (0.0 if stretch == 0 else marks[stretch - 1])
        return base + (rest if stretch in (1, 3) else rest / radius)

    def place(self, u: float) -> tuple[float, float, float, float]:
        """Foot of the normal and its direction on the page: x, y, dx, dy."""
        up = 1 if self.flip else -1
        if not self.half:
            return 0.0, 0.0, math.cos(self.start + u), up * math.sin(self.start + u)
        a, b, c, d, turn = self.corners()
        u %= turn
        if u < a:
            x, angle = self.half, self.start + u
        elif u < b:
            x, angle = self.half - (u - a), math.pi / 2
        elif u <= c:
            x, angle = -self.half, math.pi / 2 + (u - b)
        elif u < d:
            x, angle = -self.half + (u - c), math.pi * 1.5
        else:
            x, angle = self.half, math.pi * 1.5 + (u - d)
        return x, 0.0, math.cos(angle), up * math.sin(angle)

    def point(self, u: float, radius: float) -> tuple[float, float]:
        """The point of the ring at u, y down the page."""
        x, y, dx, dy = self.place(u)
        return x + radius * dx, y + radius * dy

    def lane_point(self, u: float, radius: float, aside: float) -> tuple[float, float]:
        """A point in a start lane at u, `aside` symbol widths in the direction of work."""
        x, y, dx, dy = self.place(u)
        way = -1 if self.flip else 1
        # The direction of work is the normal turned a quarter anticlockwise (on the page: x' = dy, y' = -dx).
        return x + radius * dx + way * aside * dy, y + radius * dy - way * aside * dx


class Layer(NamedTuple):
    """One ring: its radius at the start of the round, how far it climbs until the end, and the lane at its start."""

    radius: float
    climb: float
    before: float  # room in the start lane before its middle, in the direction of work
    after: float  # and after it
    start: float = 0.0  # u of the middle of the lane

    def at(self, u: float, turn: float, closing: bool) -> float:
        """The radius of the tops at u, which lies between start and start + turn."""
        share = (u - self.start) / turn
        return self.radius + self.climb * (1 - share if closing else share)
