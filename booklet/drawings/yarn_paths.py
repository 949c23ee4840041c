"""Comes in: threads as points with heights. Goes out: their visible bands, cut where another thread lies over them; no hook, no ink.

A thread is a smooth curve through its points. Where two cross, the higher one is on top, and the lower one is interrupted a
little before and behind it, as knots are drawn in handbooks.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from booklet.drawings.drawing import Point

STEP = 0.35  # mm between two samples: no corner is seen at 300 dpi
GAP = 0.5  # mm of white beside a thread that lies on top
HOOK = 1.0  # height of a hook: what is higher lies over it


class Knot(NamedTuple):
    """A place on a thread."""

    x: float
    y: float
    height: float


class Thread(NamedTuple):
    """A thread before it is cut; `knots` are its samples."""

    knots: tuple[Knot, ...]
    width: float  # mm
    kind: str  # "work", "active", "end", "other", "quiet"
    closed: bool = False
    capped: bool = True  # its ends are seen as ends, not as going on inside the work


class Crossing(NamedTuple):
    """Where a thread meets another one."""

    at: float  # index of the sample, with its fraction
    over: bool
    spread: float  # samples to leave out on each side, where it is under


class Band(NamedTuple):
    """A visible stretch of a thread."""

    knots: tuple[Knot, ...]
    width: float
    kind: str
    above: bool  # lies over the hook
    begins: bool  # the thread itself ends here, not only what is seen of it
    ends: bool


def thread(points: Sequence[Sequence[float]], width: float, kind: str, closed: bool = False, capped: bool = True) -> Thread:
    """A curve through all points (Catmull-Rom, centripetal in effect by even sampling); heights run evenly between them."""
    given = [Knot(float(p[0]), float(p[1]), float(p[2]) if len(p) > 2 else 0.0) for p in points]
    ring = [given[-1], *given, given[0], given[1]] if closed else [_beyond(given[0], given[1]), *given, _beyond(given[-1], given[-2])]
    made: list[Knot] = []
    for a, b, c, d in zip(ring, ring[1:], ring[2:], ring[3:], strict=False):
        parts = max(2, math.ceil(math.dist(b[:2], c[:2]) * 1.1 / STEP))
        made += [_between(a, b, c, d, k / parts) for k in range(parts)]
    if closed:
        return Thread((*made, made[0]), width, kind, True, False)
    return Thread((*made, given[-1]), width, kind, capped=capped)


def _beyond(end: Knot, before: Knot) -> Knot:
    return Knot(2 * end.x - before.x, 2 * end.y - before.y, end.height)


def _between(a: Knot, b: Knot, c: Knot, d: Knot, t: float) -> Knot:
    def along(p: float, q: float, r: float, s: float) -> float:
        return 0.5 * (2 * q + (r - p) * t + (2 * p - 5 * q + 4 * r - s) * t**2 + (3 * q - p - 3 * r + s) * t**3)

    return Knot(along(a.x, b.x, c.x, d.x), along(a.y, b.y, c.y, d.y), b.height + (c.height - b.height) * t)


def crossings(threads: Sequence[Thread]) -> list[list[Crossing]]:
    """The crossings of every thread, in order along it."""
    found: list[list[Crossing]] = [[] for _ in threads]
    for i, one in enumerate(threads):
        for j in range(i, len(threads)):
            for at, other_at, sine in _meetings(one, threads[j], same=i == j):
                first, second = _height(one, at), _height(threads[j], other_at)
                over = first > second or (first == second and (j, other_at) < (i, at))
                for thread_at, index, on_top, wide in ((at, i, over, threads[j].width), (other_at, j, not over, one.width)):
                    found[index].append(Crossing(thread_at, on_top, (wide / 2 + GAP) / max(sine, 0.45) / STEP))
    return [sorted(some) for some in found]


def order(some: Sequence[Crossing]) -> str:
    """Over and under along a thread: "ouo"."""
    return "".join("o" if one.over else "u" for one in some)


def _height(one: Thread, at: float) -> float:
    k = min(int(at), len(one.knots) - 2)
    a, b = one.knots[k], one.knots[k + 1]
    return a.height + (b.height - a.height) * (at - k)


def _meetings(one: Thread, other: Thread, same: bool) -> list[tuple[float, float, float]]:
    """Places on both threads, and the sine of the angle, wherever they cross."""
    if not same and _apart(_box(one.knots), _box(other.knots)):
        return []
    found = []
    pieces = [(m, _box(other.knots[m : m + PIECE + 1])) for m in range(0, len(other.knots) - 1, PIECE)]
    for k in range(len(one.knots) - 1):
        a, b = one.knots[k], one.knots[k + 1]
        here = _box((a, b))
        for first, box in pieces:
            if _apart(here, box):
                continue
            for m in range(first, min(first + PIECE, len(other.knots) - 1)):
                if same and (m < k + 4 or (one.closed and k < 3 and m > len(other.knots) - 5)):
                    continue
                meeting = _meet(a, b, other.knots[m], other.knots[m + 1])
                if meeting is not None:
                    found.append((k + meeting[0], m + meeting[1], meeting[2]))
    return found


PIECE = 12  # samples that are looked at together


def _box(knots: Sequence[Knot]) -> tuple[float, float, float, float]:
    xs, ys = [knot.x for knot in knots], [knot.y for knot in knots]
    return min(xs), min(ys), max(xs), max(ys)


def _apart(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> bool:
    return one[2] < other[0] or other[2] < one[0] or one[3] < other[1] or other[3] < one[1]


def _meet(a: Knot, b: Knot, c: Knot, d: Knot) -> tuple[float, float, float] | None:
    """Where two short lines cross, and the sine of their angle."""
    ux, uy, vx, vy = b.x - a.x, b.y - a.y, d.x - c.x, d.y - c.y
    cross = ux * vy - uy * vx
    if abs(cross) < 1e-9:
        return None
    t = ((c.x - a.x) * vy - (c.y - a.y) * vx) / cross
    s = ((c.x - a.x) * uy - (c.y - a.y) * ux) / cross
    if not (0 <= t < 1 and 0 <= s < 1):
        return None
    return t, s, abs(cross) / (math.hypot(ux, uy) * math.hypot(vx, vy))


def bands(threads: Sequence[Thread]) -> list[Band]:
    """What is seen of every thread, in the order given; stretches below and above the hook apart."""
    found: list[Band] = []
    for one, some in zip(threads, crossings(threads), strict=True):
        last = len(one.knots) - 1
        hidden = [False] * (last + 1)
        for crossing in some:
            if not crossing.over:
                for k in range(math.ceil(crossing.at - crossing.spread), math.floor(crossing.at + crossing.spread) + 1):
                    if one.closed:
                        hidden[k % last] = True
                        hidden[last] = hidden[0]
                    elif 0 <= k <= last:
                        hidden[k] = True
        found += _stretches(one, hidden)
    return found


def _stretches(one: Thread, hidden: Sequence[bool]) -> list[Band]:
    found: list[Band] = []
    run: list[int] = []
    last = len(one.knots) - 1

    def close() -> None:
        if len(run) > 1:
            knots = tuple(one.knots[k] for k in run)
            begins, ends = run[0] == 0 and one.capped, run[-1] == last and one.capped
            found.append(Band(knots, one.width, one.kind, knots[len(knots) // 2].height > HOOK, begins, ends))

    for k in range(last + 1):
        if hidden[k]:
            close()
            run = []
            continue
        if run and (one.knots[k].height > HOOK) != (one.knots[run[-1]].height > HOOK):
            run.append(k)
            close()
            run = [k]
            continue
        run.append(k)
    close()
    return found


def sides(band: Band) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """The two edges of a band."""
    left, right = [], []
    knots = band.knots
    for k, knot in enumerate(knots):
        before, after = knots[max(0, k - 1)], knots[min(len(knots) - 1, k + 1)]
        dx, dy = after.x - before.x, after.y - before.y
        length = math.hypot(dx, dy) or 1.0
        nx, ny = -dy / length * band.width / 2, dx / length * band.width / 2
        left.append((knot.x + nx, knot.y + ny))
        right.append((knot.x - nx, knot.y - ny))
    return tuple(left), tuple(right)
