"""A part's graph with the parts it grows out of in, its stitches as a closed net of springs and triangles out; nothing is moved here.

Every counted stitch is a knot. Springs run along the round (stitch width), down to the stitches that it stands in (round
height), and, weaker, to the neighbours of these. The resting length of a post is the slant way to a stitch that sits evenly
spaced in its round: with the plain height, shaped pieces would shrink by a tenth.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import hypot
from typing import NamedTuple

from booklet.figures.figures import GaugeUsed
from booklet.figures.heights import height_of
from booklet.graph.graph import FOREIGN, PartGraph

BRACE = 0.25  # stiffness of a brace, in posts
DECREASE = 0.5  # of each of the two posts of a decrease
SHUT = 0.35  # a last round drawn shut keeps this part of its own length
POLE = -1
RING, POST, BRACED, DRAWN = 0, 1, 2, 3  # DRAWN: of a last round that is pulled together, and down from it


class Ring(NamedTuple):
    """One round of one piece."""

    part: int
    instance: int
    r: int
    knots: tuple[int, ...]  # in the direction in which all rounds of the net run
    turn: float  # how far its even spacing is turned against that of the round below, in turns
    whole: bool  # it stands on one round of one piece


class Mesh(NamedTuple):
    """A net. Lengths in mm."""

    knots: int
    rings: tuple[Ring, ...]
    springs: tuple[tuple[int, int, float, float, int], ...]  # from, to, resting length, stiffness, RING, POST, BRACED or DRAWN
    triangles: tuple[tuple[int, int, int], ...]  # outside seen counterclockwise
    below: tuple[tuple[int, ...], ...]  # the knots that each knot stands in
    chains: tuple[int, ...]  # knots of starting and bridging chains


class _Net:
    def __init__(self, parts: Sequence[PartGraph], gauges: Sequence[GaugeUsed]) -> None:
        self.parts, self.gauges = parts, gauges
        self.knots = 0
        self.of: dict[tuple[int, int], list[int]] = {}  # (part, instance) -> knot of each place, POLE - 1 where it has none
        self.rings: list[Ring] = []
        self.springs: list[tuple[int, int, float, float, int]] = []
        self.triangles: list[tuple[int, int, int]] = []
        self.below: list[tuple[int, ...]] = []
        self.chains: list[int] = []
        self.place: dict[int, tuple[int, int, int]] = {}  # knot -> place in its round, stitches of that round, which round
        self.next: dict[int, tuple[int, int]] = {}  # knot -> neighbours in its round

    def knot(self, below: tuple[int, ...] = ()) -> int:
        self.below.append(below)
        self.knots += 1
        return self.knots - 1

    def add(self, index: int, instance: int, shut: bool) -> None:
        """One piece of a part, after the pieces that it grows out of."""
        if (index, instance) in self.of:
            return
        part, gauge = self.parts[index], self.gauges[index]
        for place in part.foreign:
            self.add(place.part, place.instance, shut=False)
        known = [POLE - 1] * len(part.kind)
        self.of[index, instance] = known
        self._start(part, known, gauge.stitch_mm)
        for r in range(1, part.rounds + 1):
            self._round(index, instance, r, known, gauge, shut and r == part.rounds)

    def _start(self, part: PartGraph, known: list[int], width: float) -> None:
        """Places of round 0: a ring is one knot, chains are a string of knots."""
        last = None
        for i in range(part.round_start[0], part.round_start[1]):
            if part.kinds[part.kind[i]] == "chain":
                known[i] = self.knot()
                self.chains.append(known[i])
                if last is not None:
                    self.springs.append((last, known[i], width, 1.0, RING))
                    self.next.setdefault(last, (last, known[i]))
                last = known[i]
            elif part.kinds[part.kind[i]] == "ring":
                known[i] = self.knot()

    def _below(self, part: PartGraph, i: int, known: list[int]) -> tuple[int, ...]:
        found = []
        for entry in part.parents_of(i):
            if entry & FOREIGN:
                place = part.foreign[entry & ~FOREIGN]
                knot = self.of[place.part, place.instance][place.index]
            else:
                knot = known[entry]
            if knot >= 0:
                found.append(knot)
        return tuple(dict.fromkeys(found))

    def _round(self, index: int, instance: int, r: int, known: list[int], gauge: GaugeUsed, shut: bool) -> None:
        part = self.parts[index]
        made = []
        for i in range(part.round_start[r], part.round_start[r + 1]):
            if part.counts[i]:
                below = self._below(part, i, known)
                if not below and made:
                    below = self.below[made[-1]][-1:]
                known[i] = self.knot(below)
                made.append(known[i])
        if not made:
            return
        if r == 1 and not any(self.below[knot] for knot in made):
            pole = self.knot()
            for knot in made:
                self.below[knot] = (pole,)
        if self._turned(made):
            made.reverse()
            for knot in made:
                self.below[knot] = self.below[knot][::-1]
        under = {self.place[b][2] if b in self.place else POLE for knot in made for b in self.below[knot]}
        turn = self._shift(made) if len(under) == 1 else None
        self._ring(made, gauge.stitch_mm * (SHUT if shut else 1.0), DRAWN if shut else RING)
        self._posts(made, gauge.stitch_mm, gauge.round_mm * height_of(part, r), turn, DRAWN if shut else POST)
        self._skin(made)
        self.rings.append(Ring(index, instance, r, tuple(made), turn or 0.0, under != {POLE} and turn is not None))

    def _turned(self, made: list[int]) -> bool:
        """Is the round worked against the direction of the one below?"""
        steps = 0
        for one, other in pairwise(made):
            a, b = self.below[one][:1], self.below[other][:1]
            if a and b and a[0] in self.place and b[0] in self.place and a[0] != b[0]:
                step = self.place[b[0]][0] - self.place[a[0]][0]
                steps += (step > 0) - (step < 0)
        return steps < 0

    def _ring(self, made: list[int], width: float, kind: int) -> None:
        n = len(made)
        for at, knot in enumerate(made):
            self.place[knot] = at, n, len(self.rings)
            self.next[knot] = (made[at - 1], made[(at + 1) % n])
        if n > 2:
            self.springs += [(knot, made[(at + 1) % n], width, 1.0, kind) for at, knot in enumerate(made)]
        elif n == 2:
            self.springs.append((made[0], made[1], width, 1.0, kind))

    def _posts(self, made: list[int], width: float, height: float, turn: float | None, kind: int) -> None:
        n = len(made)
        for at, knot in enumerate(made):
            below = self.below[knot]
            stiff = 1.0 if len(below) < 2 else 2 * DECREASE / len(below)
            for under in below:
                away = self._aside(at, n, under, turn, width)
                self.springs.append((knot, under, hypot(height, away), stiff, kind))
            if len(below) == 1 and below[0] in self.next and below[0] in self.place:
                for beside in dict.fromkeys(self.next[below[0]]):
                    if beside != below[0]:
                        away = self._aside(at, n, beside, turn, width)
                        self.springs.append((knot, beside, hypot(height, away), BRACE, BRACED))

    def _shift(self, made: list[int]) -> float:
        """How far the evenly spaced round is turned to fit the one below, in turns."""
        n, sums, number = len(made), 0.0, 0
        for at, knot in enumerate(made):
            for under in self.below[knot]:
                if under in self.place:
                    place, below, _ = self.place[under]
                    turn = place / below - at / n
                    sums += turn - round(turn)
                    number += 1
        return sums / number if number else 0.0

    def _aside(self, at: int, n: int, under: int, shift: float | None, width: float) -> float:
        """How far a stitch sits beside the one that it stands in, mm along the round. Where a round goes on from several
        pieces, places of one piece say nothing of the whole: 0.
        """
        if under not in self.place or shift is None:
            return 0.0
        place, below, _ = self.place[under]
        turn = place / below - at / n - shift
        return (turn - round(turn)) * (n + below) / 2 * width

    def _skin(self, made: list[int]) -> None:
        """Triangles between a round and what it stands in."""
        n = len(made)
        if n < 2:
            return
        for at, knot in enumerate(made):
            below = self.below[knot]
            if not below:
                continue
            self.triangles += [(a, b, knot) for a, b in pairwise(below)]
            after = made[(at + 1) % n]
            if not self.below[after]:
                continue
            first, last = self.below[after][0], below[-1]
            self.triangles += [(a, b, knot) for a, b in self._between(last, first)]
            self.triangles.append((first, after, knot))

    def _between(self, a: int, b: int) -> list[tuple[int, int]]:
        """Steps from one place below to the next, over at most a few that were left out."""
        if a == b:
            return []
        way, at = [], a
        for _ in range(6):
            after = self.next.get(at, (at, at))[1]
            if after == at:
                break
            way.append((at, after))
            at = after
            if at == b:
                return way
        return [(a, b)]

    def close(self) -> None:
        """Fill every hole with triangles, so that the net encloses a room."""
        open_edges: dict[tuple[int, int], int] = {}
        for a, b, c in self.triangles:
            for edge in ((a, b), (b, c), (c, a)):
                back = (edge[1], edge[0])
                if open_edges.get(back, 0):
                    open_edges[back] -= 1
                else:
                    open_edges[edge] = open_edges.get(edge, 0) + 1
        after: dict[int, list[int]] = {}
        for (a, b), times in open_edges.items():
            after.setdefault(b, []).extend([a] * times)
        for start in list(after):
            while after.get(start):
                loop, at = [start], after[start].pop()
                while at != start and after.get(at):
                    loop.append(at)
                    at = after[at].pop()
                self.triangles += [(loop[0], loop[i], loop[i + 1]) for i in range(1, len(loop) - 1)]


def mesh(parts: Sequence[PartGraph], index: int, gauges: Sequence[GaugeUsed], *, shut: bool) -> Mesh:
    """The net of one part and of all pieces that it grows out of, each piece once. Time grows with the number of stitches."""
    net = _Net(parts, gauges)
    net.add(index, 1, shut)
    net.close()
    return Mesh(net.knots, tuple(net.rings), tuple(net.springs), tuple(net.triangles), tuple(net.below), tuple(net.chains))
