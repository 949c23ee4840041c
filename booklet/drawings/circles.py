"""Drawn rounds in, one concentric panel out: a disc from its centre, an oval round its chain, or a closing end from its hole.

Every layer is laid round the layer inside it. Outward work grows from the first round; a closing end is laid from its
last round, so that it stays as dense as a beginning, and is turned so that growth still runs from right to left.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import NamedTuple

from booklet.drawings.arches import Spot, arches, bow, feet, gaps, on_arch, rise
from booklet.drawings.curves import arrow, band, circle, track_curve, wedge
from booklet.drawings.drawing import Guide, Label, Mark, Placed, Point
from booklet.drawings.laps import GAP, Lap, Laps, in_numbers
from booklet.drawings.marks import LABEL, chain_mark, height_of, joint_width, lane_sides, start_chain, stitch_marks
from booklet.drawings.ovals import chain_marks, chain_used, first_round
from booklet.drawings.rings import Layer, Track, lean, ring

CENTRE = 0.8  # radius of the ring in the middle
OVAL_CENTRE = 0.6  # radius round a chain from which the first round grows
ROOM = 1.05  # of a ring for every symbol width on it, so that full rings still breathe
GLANCE = 4.3  # radius of rings that are followed at a glance, however few their stitches
LEAN = (0.1, 0.3)  # how much of the lean of the stitches the start of a closed and of a spiral round follows
NEAR = 0.6  # symbol widths that a round may stand aside of its start before the start is moved
RAMP = (0.0, 1 / 3, 2 / 3)  # share of the spiral's climb in the innermost rounds; all of it from the fourth on
SLACK = 0.16  # by which a closing ring is wider for each stitch beyond two that are worked together: its stitches can follow
TAPER = 0.25  # by which a start lane may be narrower than that of the next ring
CHAIN_ASIDE = 0.55  # of the lifting chains from the middle of the start lane


class Hung(NamedTuple):
    """The arch of a chain, along the ring of its round."""

    left: float  # length along the ring from its start lane
    right: float
    chains: int
    layer: int  # index of its ring in the layers
    spot: Spot  # of this chain


class _Rings(NamedTuple):
    """What a panel is made of, from its base to its last round."""

    laps: Laps
    chosen: tuple[Lap, ...]
    base: tuple[int, ...]  # places that the first round stands in; () for a ring or chain of its own
    track: Track
    layers: tuple[Layer, ...]  # the base, then one for each of `chosen`
    closing: bool
    oval: bool
    hung: dict[int, Hung]  # of every lying chain: its arch


def circle_panel(laps: Laps, first: int, stop: int, closing: bool = False, oval: bool = False) -> Placed:
    """Place laps[first:stop]; feet of the first stand on a base ring, a chain or the ring in the middle."""
    rings = _rings(laps, first, stop, closing, oval)
    rings, where = _where_closing(rings) if closing else _where(rings)
    tops = _tops(rings, where)
    marks, round_chains = _base_marks(rings, where, tops), _round_feet(rings, where)
    labels, guides = _counts(rings), []
    for number, lap in enumerate(rings.chosen):
        inner, outer = rings.layers[number], rings.layers[number + 1]
        marks += _lap_marks(rings, number, where, tops, round_chains)
        labels.append(_label(rings, lap, inner, outer))
        if not joint_width(lap):
            guides.append(_first(rings, inner, outer))
        if number % 2:
            guides.append(Guide("tint", band(rings.track, inner, outer, closing, GAP / 2)))
    frame, pointer = _frame(rings)
    guides += [*_middle(rings, tops), pointer]
    form = "closing" if closing else "oval" if oval else "round"
    way = "joined" if any(lap.way == "joined" for lap in rings.chosen) else "spiral"
    span = (rings.chosen[0].round, rings.chosen[-1].last)
    return Placed(laps.part.name, form, tuple(marks), tuple(labels), tuple(guides), frame, span, way, in_numbers(laps, rings.chosen))


def legible(laps: Laps, first: int, stop: int, closing: bool, oval: bool, limit: float) -> int:
    """How many of laps[first:stop] can be followed, counted from the inside: from the last one of a closing end.

    A ring cannot be followed where a stitch has more than `limit` symbol widths of it; the innermost are always
    small enough to be taken in at a glance.
    """
    rings = _rings(laps, first, stop, closing, oval)
    # In a closing end a round's feet lie on the ring outside it, and so does the room that it takes.
    pairs = list(zip(rings.chosen, rings.layers[:-1] if closing else rings.layers[1:], strict=True))
    for number, (lap, layer) in enumerate(reversed(pairs) if closing else pairs):
        room = rings.track.length(rings.track.turn, layer.radius) / max(len(lap.members), 1)
        if room > limit and layer.radius > GLANCE:
            return number
    return len(pairs)


def _rings(laps: Laps, first: int, stop: int, closing: bool, oval: bool) -> _Rings:
    chosen = laps.laps[first:stop]
    below = dict.fromkeys(parent for i in chosen[0].members for parent in laps.parents[i])
    foreign = any(parent >= len(laps.parents) for parent in below)
    base = tuple(below) if first or foreign else ()
    # The start of an oval's first round is the upper right of the chain: its last two stitches come round the right end.
    # The lane is steep enough that the numbers stand one above the other.
    track = Track(max(0.0, (len(chain_used(laps)) - 2) / 2), math.pi / 4) if oval else Track(0.0, math.pi / 2, closing)
    return _Rings(laps, chosen, base, track, _layers(laps, chosen, base, track, closing), closing, oval, {})


def _layers(laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...], track: Track, closing: bool) -> tuple[Layer, ...]:
    """Radii from base to last lap; radii of a closing end shrink from its base to its last lap."""
    sizes = [float(len(base))] + [sum(gaps(laps, lap)) + 1 for lap in chosen]
    sides = _tapered([lane_sides(lap) for lap in (chosen[0], *chosen)])
    rises = [0.0, *(rise(laps, lap) for lap in chosen)]
    pitches = [0.0] + [lap.pitch + below for lap, below in zip(chosen, rises, strict=False)]
    if closing:  # from the inside: the step to a ring is the height of the stitches that stand on it, inwards
        sizes, sides = sizes[::-1], sides[::-1]
        pitches = [0.0, *pitches[:0:-1]]
    radii: list[float] = []
    for k, size in enumerate(sizes):
        least = (ROOM * (size - 1) + sum(sides[k]) + 1 - 4 * track.half) / (2 * math.pi)
        if k and not closing:
            least += _lower(laps, chosen[k - 1])
        if closing and k:
            least *= 1 + SLACK * max(0.0, size / max(sizes[k - 1], 1.0) - 2)
        if k == 0 and not closing and not base:
            radii.append(OVAL_CENTRE if track.half else CENTRE + 0.6 * joint_width(chosen[0]))
        else:
            radii.append(max(least, (radii[-1] + pitches[k]) if radii else CENTRE))
    climbs = _climbs(radii, min(pitches[1:]), closing) if all(lap.way == "spiral" for lap in chosen) else [0.0] * len(radii)
    layers = [Layer(radius, climb, *side) for radius, climb, side in zip(radii, climbs, sides, strict=True)]
    return tuple(layers[::-1] if closing else layers)


def _tapered(sides: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Lanes whose width changes by little from ring to ring, so that a long number does not push one round aside."""
    found = [list(side) for side in sides]
    for way in (1, -1):
        order = list(range(len(found)))[::way]
        for before, now in pairwise(order):
            for side in (0, 1):
                found[now][side] = max(found[now][side], found[before][side] - TAPER)
    return [(before, after) for before, after in found]


def _climbs(radii: list[float], last: float, closing: bool) -> list[float]:
    """How far each ring of a spiral rises in a round.

    It never gets smaller outwards and never exceeds the step to the next ring, so a stitch keeps its height all round.
    """
    steps = [after - before for before, after in pairwise(radii)] + [last]
    climbs, least = [], math.inf
    for k in range(len(radii) - 1, -1, -1):
        least = min(least, steps[k])
        inner = k if closing else k - 1
        share = 0.0 if inner < 0 else RAMP[inner] if inner < len(RAMP) else 1.0
        climbs.append(share * least)
    return climbs[::-1]


def _where(rings: _Rings) -> tuple[_Rings, dict[int, float]]:
    """The u of every place, each ring over the one inside it."""
    laps, track, layers = rings.laps, rings.track, list(rings.layers)
    where: dict[int, float] = {}
    layers[0] = _lay(rings.base, [None] * len(rings.base), layers[0], track, where, 0.0)
    along_chain = first_round(laps, track) if track.half else {}
    for number, lap in enumerate(rings.chosen):
        targets = [_mean([where[p] for p in laps.parents[i] if p in where], track.turn) for i in lap.members]
        if number == 0 and along_chain:
            targets = [along_chain[i][1] if i in along_chain else None for i in lap.members]
        lower = _lower(laps, lap)
        outer = _lay(lap.members, targets, layers[number + 1], track, where, layers[number].start, lower, gaps(laps, lap))
        layers[number + 1] = outer
        _hang(rings, lap, number + 1, outer, where)
    return rings._replace(layers=tuple(layers)), where


def _where_closing(rings: _Rings) -> tuple[_Rings, dict[int, float]]:
    """The u of every place of a closing end: each ring round the one that stands on it."""
    laps, track, layers = rings.laps, rings.track, list(rings.layers)
    where: dict[int, float] = {}
    children: dict[int, list[int]] = {}
    for lap in rings.chosen:
        for i in lap.members:
            for parent in laps.parents[i]:
                children.setdefault(parent, []).append(i)
    inside = 0.0
    for number in range(len(rings.chosen), -1, -1):
        members = rings.chosen[number - 1].members if number else rings.base
        targets = [_mean([where[c] for c in children.get(i, ()) if c in where], track.turn) for i in members]
        widths = gaps(laps, rings.chosen[number - 1]) if number else None
        layers[number] = _lay(members, targets, layers[number], track, where, inside, 0.0, widths)
        inside = layers[number].start
        if number:
            _hang(rings, rings.chosen[number - 1], number, layers[number], where)
    return rings._replace(layers=tuple(layers)), where


def _lay(
    members: tuple[int, ...],
    targets: list[float | None],
    layer: Layer,
    track: Track,
    where: dict[int, float],
    start: float,
    lower: float = 0.0,
    widths: list[float] | None = None,
) -> Layer:
    """Put the stitches of one ring into `where`; gives the ring with its start lane, which leans a little with its stitches.

    `lower` is how far the tops of its lowest stitches lie inside the ring: distances are kept where it is narrowest.
    """
    radius = max(layer.radius - lower, 0.3)
    length = track.length(track.turn, radius)
    lengths = _unwrapped(targets, start, radius, length, track)
    # A symbol's width is kept in a straight line, which is shorter than the way along the ring.
    chord = 2 * radius * math.asin(min(1.0, 0.5 / radius))
    widths = [chord * width for width in widths or [1.0] * (len(members) - 1)]
    lane, aside = layer.before + layer.after, (layer.after - layer.before) / 2
    if not track.half:
        off = lean(lengths, length, lane, widths)
        near = min(max(off, -NEAR), NEAR)
        # Where a round begins further on (slip stitches to the next space), its start goes there too.
        turned_by = near * LEAN[layer.climb > 0] + (off - near)
        start += turned_by / radius
        lengths = [None if at is None else at - turned_by for at in lengths]
    lengths = [None if at is None else at - aside for at in lengths]
    for i, at in zip(members, ring(lengths, length, lane, widths), strict=True):
        where[i] = start + track.parameter(at + aside, radius)
    return layer._replace(start=start)


def _lower(laps: Laps, lap: Lap) -> float:
    """How far the top of the lowest stitch of a round lies inside its ring."""
    if len(set(laps.heights)) < 2:
        return 0.0
    heights = [height_of(laps, lap, i) for i in lap.members if not laps.is_chain(i)]
    return max(heights) - min(heights) if heights else 0.0


def _hang(rings: _Rings, lap: Lap, number: int, layer: Layer, where: dict[int, float]) -> None:
    """Lay the chains of a round along their arches, evenly between the stitches that hold them."""
    track, members = rings.track, lap.members
    radius = max(layer.radius, 0.3)
    for arch in arches(rings.laps, lap):
        at = [track.length(where[i] - layer.start, radius) for i in members[max(arch.first - 1, 0) : arch.stop + 1]]
        # At the start lane an arch ends in the air, one chain further on.
        low = at[0] if arch.first else at[0] - 1
        high = at[-1] if arch.stop < len(members) else at[-1] + 1
        for i, spot in zip(members[arch.first : arch.stop], bow(low, high, arch.chains), strict=True):
            where[i] = layer.start + track.parameter(spot.x, radius)
            rings.hung[i] = Hung(low, high, arch.chains, number, spot)


def _unwrapped(targets: list[float | None], start: float, radius: float, length: float, track: Track) -> list[float | None]:
    """Lengths from the start lane to the targets; those near the lane are taken on the side where their turn in the round is."""
    found: list[float | None] = []
    for i, target in enumerate(targets):
        if target is None:
            found.append(None)
            continue
        at = track.length(target - start, radius)
        expected = (i + 0.5) / len(targets) * length
        found.append(at - length * round((at - expected) / length))
    return found


def _mean(found: list[float], turn: float) -> float | None:
    if not found:
        return None
    # A decrease over the start of the round has feet at both ends of the interval: bring them together first.
    return sum(u - turn * round((u - found[0]) / turn) for u in found) / len(found)


def _tops(rings: _Rings, where: dict[int, float]) -> dict[int, Point]:
    """Where the next stitch may stand, of every place."""
    track, closing = rings.track, rings.closing
    tops = {i: track.point(where[i], rings.layers[0].at(where[i], track.turn, closing)) for i in rings.base}
    for lap, layer in zip(rings.chosen, rings.layers[1:], strict=True):
        for i in lap.members:
            # Chains between stitches lie on their tops; other stitches end where they are tall enough.
            shorter = -rings.hung[i].spot.y if i in rings.hung else lap.pitch - GAP - height_of(rings.laps, lap, i)
            radius = layer.at(where[i], track.turn, closing) + (shorter if closing else -shorter)
            tops[i] = track.point(where[i], radius)
    return tops


def _round_feet(rings: _Rings, where: dict[int, float]) -> tuple[dict[int, Point], dict[int, tuple[Point, ...]]]:
    """Feet of all stitches that are worked round chains, side by side on the arch; and the same points by chain, as its heads."""
    laps, track, sign = rings.laps, rings.track, -1 if rings.closing else 1
    feet_at: dict[int, Point] = {}
    heads: dict[int, tuple[Point, ...]] = {}
    for lap in rings.chosen:
        groups: dict[tuple[int, ...], list[int]] = {}
        for i in lap.members:
            if i in laps.spaces and all(chain in rings.hung for chain in laps.spaces[i]):
                groups.setdefault(laps.spaces[i], []).append(i)
        for chains, group in groups.items():
            hung = rings.hung[chains[0]]
            layer = rings.layers[hung.layer]
            for i, x in zip(sorted(group, key=lambda i: where[i]), feet(hung.left, hung.right, len(group)), strict=True):
                spot = on_arch(hung.left, hung.right, hung.chains, x)
                u = layer.start + track.parameter(x, max(layer.radius, 0.3))
                feet_at[i] = track.point(u, layer.at(u, track.turn, rings.closing) + sign * spot.y)
                near = min(chains, key=lambda chain: abs(rings.hung[chain].spot.x - x))
                heads[near] = (*heads.get(near, ()), feet_at[i])
    return feet_at, heads


def _lap_marks(
    rings: _Rings,
    number: int,
    where: dict[int, float],
    tops: dict[int, Point],
    round_chains: tuple[dict[int, Point], dict[int, tuple[Point, ...]]],
) -> list[Mark]:
    """One round: its stitches, and what stands in its start lane."""
    laps, lap, track = rings.laps, rings.chosen[number], rings.track
    inner, outer = rings.layers[number], rings.layers[number + 1]
    centred = number == 0 and not rings.base
    on_chain = first_round(laps, track) if centred and track.half else {}

    def feet_of(place: int) -> tuple[Point, ...]:
        if place in on_chain:
            return (on_chain[place][0],)
        if place in round_chains[0]:
            return (round_chains[0][place],)
        feet = tuple(tops[parent] for parent in laps.parents[place] if parent in tops)
        if feet or (laps.is_chain(place) and not laps.part.counts[place]):
            return feet
        return (track.point(where[place], inner.at(inner.start, track.turn, rings.closing)),)

    def lane(share: float) -> Point:
        low, high = inner.at(inner.start, track.turn, rings.closing), outer.at(outer.start, track.turn, rings.closing)
        return track.lane_point(outer.start, low + (high - low) * share, CHAIN_ASIDE)

    def along(place: int) -> float:
        slope = rings.hung[place].spot.slope if place in rings.hung else 0.0
        return _growth(track, where[place]) + math.degrees(math.atan(slope))

    marks = stitch_marks(laps, lap, tops, feet_of, along, round_chains[1])
    return marks + start_chain(laps, lap, lane)


def _growth(track: Track, u: float) -> float:
    """The direction of growth at u, in degrees clockwise from up the page."""
    _, _, dx, dy = track.place(u)
    way = -1 if track.flip else 1
    return math.degrees(math.atan2(way * dx, -way * dy))


def _label(rings: _Rings, lap: Lap, inner: Layer, outer: Layer) -> Label:
    turn = rings.track.turn
    low, high = inner.at(inner.start, turn, rings.closing), outer.at(outer.start, turn, rings.closing)
    # Round a chain the first number stands further out, clear of the chain's end.
    share = 0.8 if rings.track.half and inner.radius <= OVAL_CENTRE else 0.5
    aside = (0.3 - outer.before) / 2 if joint_width(lap) else 0.0
    return Label(lap.label, *rings.track.lane_point(outer.start, low + (high - low) * share, aside), LABEL)


def _first(rings: _Rings, inner: Layer, outer: Layer) -> Guide:
    """The wedge between a round's number and its first stitch."""
    turn = rings.track.turn
    low, high = inner.at(inner.start, turn, rings.closing), outer.at(outer.start, turn, rings.closing)
    share = 0.8 if rings.track.half and inner.radius <= OVAL_CENTRE else 0.5
    radius = low + (high - low) * share
    tip, back = (rings.track.lane_point(outer.start, radius, outer.after + ahead) for ahead in (0.04, -0.2))
    return Guide("start", wedge(tip, (tip[0] - back[0], tip[1] - back[1])))


def _base_marks(rings: _Rings, where: dict[int, float], tops: dict[int, Point]) -> list[Mark]:
    """The chain of an oval, or the chains that bridge the parts on which a round begins."""
    if rings.oval and not rings.base:
        return chain_marks(rings.laps)
    laps = rings.laps
    return [chain_mark(laps, laps.sides.get(i, i), tops[i], _growth(rings.track, where[i])) for i in rings.base if laps.is_chain(i)]


def _middle(rings: _Rings, tops: dict[int, Point]) -> list[Guide]:
    """What the first round stands on: the ring, or the round before as a line of dots."""
    if rings.base:
        dots = tuple(op for i in rings.base if not rings.laps.is_chain(i) for op in circle(*tops[i], 0.07))
        return [Guide("base", track_curve(rings.track, rings.layers[0], rings.closing)), Guide("dots", dots)]
    return [] if rings.oval else [Guide("ring", circle(0.0, 0.0, rings.layers[0].radius - 0.22))]


def _counts(rings: _Rings) -> list[Label]:
    """A ring of chains bears their number, as is usual."""
    chains = sum(rings.laps.is_chain(i) for i in rings.laps.start)
    return [] if rings.base or rings.oval or not chains else [Label(str(chains), 0.0, 0.0, LABEL, "chains")]


def _frame(rings: _Rings) -> tuple[tuple[float, float, float, float], Guide]:
    """What the panel needs, and the arrow beside the start of its outermost ring."""
    track, closing = rings.track, rings.closing
    widest = rings.layers[0] if closing else rings.layers[-1]
    over = max((hung.spot.y for hung in rings.hung.values() if rings.layers[hung.layer] is widest), default=0.0)
    radius = widest.radius + 0.55 + (widest.climb if closing else over)
    begin, end = (widest.start + track.parameter(widest.after + ahead, radius) for ahead in (0.0, 3.2))
    pointer = Guide("arrow", arrow(track, radius, begin, end))
    edge = track_curve(track, widest, closing, 0.0 if closing else over) + pointer.ops
    numbers = [value for _, values in edge for value in values]
    xs, ys = numbers[0::2], numbers[1::2]
    return (min(xs) - 0.35, min(ys) - 0.35, max(xs) + 0.35, max(ys) + 0.35), pointer
