"""One part's graph and its sentences in, its profile and outside size out; yarn, stuffing and the whole piece are computed elsewhere."""

from __future__ import annotations

from math import pi
from typing import NamedTuple

from booklet.figures.figures import GaugeUsed, Growth, KeySize, Round
from booklet.figures.growth import Rounds, corners, growths
from booklet.figures.heights import height_of
from booklet.figures.profile import Profile, disc, inflated, lies_flat, widened
from booklet.figures.steps import Told
from booklet.graph.graph import FOREIGN, PartGraph

THICKNESS = 0.72  # of the fabric, in stitch widths (1.6 yarn diameters; derived, ± 30 %)
FEW = 8  # a part that ends on so few stitches is closed, whatever is told
RING_FROM = 9  # a first round of so many stitches that stands on a chain closed to a ring is a tube, not a point
FEW_ROUNDS = 4  # fewer are not worth a note of the size; chosen by eye
JOIN_DEPTH = 1.35  # depth of a body where it begins on two legs, in diameters of a leg (measured on a relaxed model)


class Shape(NamedTuple):
    """A part's form."""

    shape: str  # see PartFigures.shape
    width_mm: float | None
    height_mm: float | None
    length_mm: float | None
    rounds: tuple[Round, ...]
    profile: Profile | None  # None for rows, pressed and empty parts
    thickness_mm: float
    growth: tuple[Growth, ...] = ()
    key_sizes: tuple[KeySize, ...] = ()


def shape_of(part: PartGraph, told: tuple[Told, ...], gauge: GaugeUsed) -> Shape:
    """The form of a part. Never fails: an empty part has None everywhere.

    `told`: the sentences of this part. Whether it is closed, open or flat is told by `close`, `close_flat`, `leave_open` and
    `stuff`; without them by the number of stitches at the end.
    """
    thick = THICKNESS * gauge.stitch_mm
    totals = [part.total(r) for r in range(1, part.rounds + 1)]
    if not totals or not any(totals):
        return Shape("", None, None, None, tuple(Round(i + 1, n, None, None) for i, n in enumerate(totals)), None, thick)
    if part.worked == "rows":
        return _rows(part, totals, gauge, thick)
    heights = [gauge.round_mm * height_of(part, r) for r in range(1, part.rounds + 1)]
    between = straight_of(part, totals)
    narrow = [max(total - 2 * between, 0) for total in totals]
    straight = between * gauge.stitch_mm
    names = {one.step.name for one in told}
    stuffed = any(one.step.name == "stuff" and one.step.value("amount", "normal") != "none" for one in told)
    shut = "close" in names or (
        not names & {"leave_open", "close_flat"} and narrow[-1] <= FEW < max(narrow) and max(narrow) >= 2 * narrow[-1]
    )
    ring = ring_of(part, totals)
    below = ring or (sum(joined_on(part).values()) if part.foreign else 0)
    growth = growths(Rounds(tuple(int(n) for n in narrow), tuple(heights), gauge.stitch_mm, below, corners(part)))
    if "close_flat" in names and not stuffed:
        return _pressed(totals, heights, gauge, thick)._replace(growth=growth)
    flat = not (shut or stuffed or ring or "close_flat" in names) and lies_flat(narrow, heights, gauge.stitch_mm)
    if flat:
        profile = disc(narrow, heights, gauge.stitch_mm)
        kind = "flat"
    else:
        profile = inflated(narrow, heights, gauge.stitch_mm, shut=shut, ring=ring)
        kind = "closed" if shut or "close_flat" in names else "open"
    profile = widened(profile, straight)
    rounds = tuple(
        Round(k, total, None if straight else profile.radius[k], profile.height[k]) for k, total in enumerate(totals, 1)
    )
    across = 2 * max(profile.radius)
    key = () if flat else _key_sizes(totals, straight, profile, gauge, thick)
    if flat:
        return Shape(
            "oval flat" if straight else "flat", across, thick, across + straight if straight else None, rounds, profile, thick, growth
        )
    ends = (0 if ring else 1) + (1 if kind == "closed" else 0)
    pressed = totals[-1] * gauge.stitch_mm / 2 if "close_flat" in names else 0.0
    width = max(max(across, joined_width(part, totals, gauge)) + thick, pressed)
    length = width + straight if straight else None
    return Shape(
        f"oval {kind}" if straight else kind, width, profile.height[-1] + thick * ends / 2, length, rounds, profile, thick, growth, key
    )


def _pressed(totals: list[int], heights: list[float], gauge: GaugeUsed, thick: float) -> Shape:
    """An empty piece that is pressed flat and closed: two layers, each half as wide as the round is long."""
    rounds, top = [], 0.0
    for r, (total, tall) in enumerate(zip(totals, heights, strict=True), 1):
        top += tall
        rounds.append(Round(r, total, None, top))
    return Shape("flattened", max(totals) * gauge.stitch_mm / 2, 2 * thick, top, tuple(rounds), None, thick)


def _key_sizes(totals: list[int], straight: float, profile: Profile, gauge: GaugeUsed, thick: float) -> tuple[KeySize, ...]:
    """When the piece has stopped growing, and when it begins to close. Nothing where a part is so small that nobody measures it."""
    widest = max(totals)
    first, last = totals.index(widest) + 1, len(totals) - totals[::-1].index(widest)
    found = []
    if first >= FEW_ROUNDS and (first < len(totals) or last > first):
        found.append(KeySize(first, (widest * gauge.stitch_mm - 2 * straight) / pi + straight, None))
    if last - first >= FEW_ROUNDS:
        found.append(KeySize(last, None, profile.height[last] + thick / 2))
    return tuple(found)


def _rows(part: PartGraph, totals: list[int], gauge: GaugeUsed, thick: float) -> Shape:
    rounds, top = [], 0.0
    for r, total in enumerate(totals, 1):
        top += gauge.row_mm * height_of(part, r)
        rounds.append(Round(r, total, None, top))
    return Shape("rows", max(totals) * gauge.stitch_mm, thick, top, tuple(rounds), None, thick)


def straight_of(part: PartGraph, totals: list[int]) -> float:
    """Stitches of an oval's straight side, beyond the six of a round start. Two ends of three stitches each."""
    return max(0.0, (totals[0] - 6) / 2) if part.worked.startswith("oval") else 0.0


def ring_of(part: PartGraph, totals: list[int]) -> int:
    """Stitches of an open start (a chain closed to a ring, or other parts); 0 where the part starts in a point."""
    if joined_on(part):
        return totals[0]
    start = part.round_start[1] - part.round_start[0]
    chains = sum(1 for i in range(start) if part.kinds[part.kind[i]] == "chain")
    return totals[0] if chains >= RING_FROM and totals[0] >= RING_FROM and not part.worked.startswith("oval") else 0


def joined_on(part: PartGraph) -> dict[tuple[int, int], int]:
    """(part, instance) -> stitches, of the other parts that this one begins on."""
    found: dict[tuple[int, int], int] = {}
    if not part.foreign or part.rounds < 1:
        return found
    first, last = part.round_start[0], part.round_start[2]
    for entry in part.parents[part.parent_start[first] : part.parent_start[last]]:
        if entry & FOREIGN:
            place = part.foreign[entry & ~FOREIGN]
            found[place.part, place.instance] = found.get((place.part, place.instance), 0) + 1
    return found


def joined_width(part: PartGraph, totals: list[int], gauge: GaugeUsed) -> float:
    """Width of the hips: two legs side by side hold a body apart that would be round otherwise."""
    legs = sorted(joined_on(part).values(), reverse=True)
    if len(legs) < 2:
        return 0.0
    depth = JOIN_DEPTH * legs[0] * gauge.stitch_mm / pi
    return max(0.0, depth + (totals[0] * gauge.stitch_mm - pi * depth) / 2)
