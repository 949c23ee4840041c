"""Round totals, heights and a part's graph in, how its rounds grow and whether increases stand on one another out; no sizes."""

from __future__ import annotations

from itertools import pairwise
from math import inf, pi, tan
from typing import NamedTuple

from booklet.figures.figures import Growth
from booklet.graph.graph import PartGraph

WINDOW = 3  # rounds: the growth of a single one is noise
# Upper ends of the bands: single crochet takes about 5 % of strain each way (derived from the strain that presses a cone flat).
BANDS = (
    (-0.10, "closing"),
    (0.10, "tube"),
    (0.60, "deep cup"),
    (0.82, "bowl"),
    (0.90, "slightly cupped"),
    (1.12, "flat"),
    (1.25, "slight wave"),
    (2.00, "ruffle"),
    (inf, "frill"),
)
WAVES = ("slight wave", "ruffle", "frill")
CUPS = ("bowl", "slightly cupped")
TURN = (0.9, 0.3)  # from a flat base to a side: growth before and after


class Rounds(NamedTuple):
    """What growth is computed from."""

    totals: tuple[int, ...]
    heights: tuple[float, ...]  # mm
    width: float  # of a stitch, mm
    below: int  # stitches that the first round stands on: 0 for a ring
    corners: int = 0  # of a motif with straight sides


def flat_increase(width: float, height: float) -> float:
    """Increases a round that lie flat: 2 pi h / w."""
    return 2 * pi * height / width


def kappa(increase: float, width: float, height: float) -> float:
    """Growth of one round in parts of the growth that lies flat."""
    return increase * width / (2 * pi * height) if height > 0 else 0.0


def straight_sides(corners: int) -> float:
    """How much faster a flat piece with so many corners grows than a disc.

    The perimeter of a regular n-gon round a circle, in circles: n tan(pi / n) / pi.
    """
    return corners / pi * tan(pi / corners) if corners > 2 else 1.0


def corners(part: PartGraph) -> int:
    """Corners of a motif: spaces that hold stitches on both sides of new chains, as many in every round but the first; else 0."""
    found = {_split_spaces(part, r) for r in range(2, part.rounds + 1)}
    return found.pop() if len(found) == 1 else 0


def _split_spaces(part: PartGraph, r: int) -> int:
    """Spaces that stitches of round r stand in before and after chains."""
    start, parents = part.parent_start, part.parents
    split: set[tuple[int, ...]] = set()
    last: tuple[int, ...] = ()
    chains = False
    for i in range(part.round_start[r], part.round_start[r + 1]):
        here = tuple(parents[start[i] : start[i + 1]])
        if not part.counts[i]:
            chains = chains or not here
        elif here:
            if chains and here == last and len(here) > 1:
                split.add(here)
            last, chains = here, False
    return len(split)


def verdict(growth: float) -> str:
    """The band of a growth."""
    return next(name for end, name in BANDS if growth < end or end == inf)


def growths(rounds: Rounds) -> tuple[Growth, ...]:
    """Stretches of rounds that grow alike, in order. A window ends at an edge between base and side."""
    totals, heights = rounds.totals, rounds.heights
    before = (rounds.below, *totals)
    lies = straight_sides(rounds.corners)
    single = [kappa(n - b, rounds.width, h) / lies for n, b, h in zip(totals, before, heights, strict=False)]
    found: list[Growth] = []
    for first, last in _between_turns(single):
        for k in range(first, last):
            running = _running(single, totals, first, last, k)
            name = verdict(running)
            if found and found[-1].verdict == name and found[-1].last == k:
                found[-1] = found[-1]._replace(last=k + 1)
            else:
                found.append(Growth(k + 1, k + 1, running, name))
    return tuple(one._replace(kappa=_weighted(single, totals, one.first - 1, one.last)) for one in found)


def _between_turns(single: list[float]) -> list[tuple[int, int]]:
    flat, side = TURN
    cuts = [
        k
        for k in range(1, len(single))
        if single[k - 1] >= flat and abs(single[k]) <= side and (k + 1 == len(single) or abs(single[k + 1]) <= side)
    ]
    edges = [0, *cuts, len(single)]
    return [(a, b) for a, b in pairwise(edges) if b > a]


def _running(single: list[float], totals: tuple[int, ...], first: int, last: int, k: int) -> float:
    """The window round k; where that is too much for flat, the mildest window that holds k, even over an edge: one round that
    doubles before the side begins is no frill.
    """
    starts = range(max(0, k - WINDOW + 1), max(0, min(k, len(single) - WINDOW)) + 1)
    middle = min(max(first, k - WINDOW // 2), max(first, last - WINDOW))
    centred = _weighted(single, totals, middle, min(last, middle + WINDOW))
    if verdict(centred) not in WAVES:
        return centred
    mildest = min(_weighted(single, totals, at, at + WINDOW) for at in starts)
    return min(mildest, max(single[k], 1.0))  # a round that does not grow too fast itself waves no more than its neighbours


def _weighted(single: list[float], totals: tuple[int, ...], first: int, last: int) -> float:
    weight = sum(totals[first:last])
    return sum(s * n for s, n in zip(single[first:last], totals[first:last], strict=True)) / weight if weight else 0.0


def stacked(part: PartGraph, least: int) -> tuple[int, int] | None:
    """The longest run of more than `least` rounds whose increases all stand on increases of the round below: it gets corners."""
    best: tuple[int, int] | None = None
    run = 0
    below: set[int] = set()  # places of the last round that stand in increases
    for r in range(1, part.rounds + 1):
        here, on, number = _increases(part, r, below)
        run = run + 1 if number and on == number else 0
        if run > least and (best is None or run > best[1] - best[0] + 1):
            best = r - run + 1, r
        below = here
    return best


def _increases(part: PartGraph, r: int, below: set[int]) -> tuple[set[int], int, int]:
    """Places of round r that stand in increases; how many of these increases stand on increases; how many there are."""
    children: dict[int, list[int]] = {}
    start, parents, counts = part.parent_start, part.parents, part.counts
    for i in range(part.round_start[r], part.round_start[r + 1]):
        if counts[i] and start[i + 1] - start[i] == 1:
            children.setdefault(parents[start[i]], []).append(i)
    grown = {parent: made for parent, made in children.items() if len(made) > 1}
    if len(grown) == len(children):  # the ring, or an increase in every stitch
        return {i for made in grown.values() for i in made}, 0, 0
    return {i for made in grown.values() for i in made}, sum(1 for parent in grown if parent in below), len(grown)
