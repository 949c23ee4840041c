"""Drawn rounds in, one concentric panel out: a disc from its centre, an oval round its chain, or a closing end from its hole.

Every layer is laid round the layer inside it. Outward work grows from the first round; a closing end is laid from its
last round, so that it stays as dense as a beginning, and is turned so that growth still runs from right to left.
"""

from __future__ import annotations

import math
from booklet.drawings.curves import arrow, band, circle, track_curve
from booklet.drawings.drawing import Guide, Label, Mark, Placed, Point
from booklet.drawings.laps import GAP, Lap, Laps, loop_of
from booklet.drawings.rings import Layer, Track, ring

LABEL = 0.82  # height of a round number, in symbol widths
CENTRE = 0.8  # radius of the ring in the middle
ROOM = 1.03  # of a ring for every symbol width on it, so that full rings still breathe
RAMP = (0.0, 1 / 3, 2 / 3)  # share of the spiral's climb in the innermost rounds; all of it from the fourth on


def lane_width(lap: Lap) -> float:
    """Room for the number, and in joined rounds for the chain that lifts the hook."""
    number = max(1.1, 0.45 * len(lap.label) + 0.4)
    return number + (0.8 if lap.standing or lap.join >= 0 else 0.0)


def circle_panel(laps: Laps, first: int, stop: int, closing: bool = False, oval: bool = False) -> Placed:
    """Place laps[first:stop]; feet of the first stand on a base ring, a chain or the ring in the middle."""
    chosen = laps.laps[first:stop]
    base = () if first == 0 and not _foreign(laps, chosen[0]) else _below(laps, chosen[0])
    track = _track(laps, oval, closing)
    rings = _layers(laps, chosen, base, track, closing)
    where = _where_closing(laps, chosen, base, rings, track) if closing else _where(laps, chosen, base, rings, track)
    tops = _tops(laps, chosen, base, rings, where, track, closing)
    marks: list[Mark] = []
    labels: list[Label] = []
    guides: list[Guide] = []
    for number, lap in enumerate(chosen):
        outer, inner = rings[number + 1], rings[number]
        marks += _marks(laps, lap, tops, where, track, inner if not base else None)
        labels.append(_label(lap, inner, outer, track, closing))
        marks += _at_start(laps, lap, inner, outer, track, closing)
        if number % 2:
            guides.append(Guide("tint", band(track, inner, outer, closing, GAP / 2)))
    guides += _middle(laps, chosen, base, rings, tops, track, closing, oval)
    marks[:0] = _chain(laps, track) if oval and not base else []
    frame, pointer = _frame(rings, track, closing)
    guides.append(pointer)
    form = "closing" if closing else "oval" if oval else "round"
    ways = {lap.way for lap in chosen}
    way = "joined" if "joined" in ways else "spiral"
    return Placed(laps.part.name, form, tuple(marks), tuple(labels + _counts(laps, chosen, base, oval)), tuple(guides), frame, (chosen[0].round, chosen[-1].last), way)


def legible(laps: Laps, first: int, stop: int, closing: bool, oval: bool, limit: float) -> int:
    """How many of laps[first:stop] can be drawn before a stitch gets more than `limit` symbol widths of a ring.

    Outward, rings are counted from the first; a closing end is legible as a whole or not at all.
    """
    chosen = laps.laps[first:stop]
    base = () if first == 0 and not _foreign(laps, chosen[0]) else _below(laps, chosen[0])
    track = _track(laps, oval, closing)
    rings = _layers(laps, chosen, base, track, closing)[1:]
    for number, (lap, layer) in enumerate(zip(chosen, rings, strict=True)):
        room = track.length(track.turn, layer.radius) / max(len(lap.members), 1)
        if room > limit and layer.radius > 2.5:
            return 0 if closing else number
    return len(chosen)


def _track(laps: Laps, oval: bool, closing: bool) -> Track:
    if not oval:
        return Track(0.0, math.pi / 2, closing)
    worked = len(_chain_used(laps))
    # The start of the first round is the upper right of the chain: its last two stitches come round the right end.
    return Track(max(0.0, (worked - 2) / 2), math.pi / 6)


def _foreign(laps: Laps, lap: Lap) -> bool:
    return any(parent >= len(laps.parents) for i in lap.members for parent in laps.parents[i])


def _below(laps: Laps, lap: Lap) -> tuple[int, ...]:
    """The places that a lap stands in, in the order in which it meets them."""
    return tuple(dict.fromkeys(parent for i in lap.members for parent in laps.parents[i]))


def _chain_used(laps: Laps) -> tuple[int, ...]:
    """The chains of the start that the first round stands in, from left to right."""
    used = {parent for i in laps.laps[0].members for parent in laps.parents[i]}
    return tuple(i for i in laps.start if i in used)


def _layers(laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...], track: Track, closing: bool) -> list[Layer]:
    """Radii from base to last lap; radii of a closing end shrink from its base to its last lap."""
    sizes = [len(base)] + [len(lap.members) for lap in chosen]
    lanes = [lane_width(chosen[0])] + [lane_width(lap) for lap in chosen]
    pitches = [0.0] + [lap.pitch for lap in chosen]
    order = range(len(sizes))
    if closing:  # from the inside: the step to a ring is the height of the stitches that stand on it, inwards
        sizes, lanes = sizes[::-1], lanes[::-1]
        pitches = [0.0, *pitches[:0:-1]]
    radii: list[float] = []
    for k in order:
        least = (ROOM * (sizes[k] - 1) + lanes[k] + 1 - 4 * track.half) / (2 * math.pi)
        if k == 0 and not closing and not base:
            radii.append(0.35 if track.half else CENTRE)
        else:
            radii.append(max(least, (radii[-1] + pitches[k]) if radii else CENTRE))
    steps = [after - before for before, after in zip(radii, radii[1:], strict=False)] + [min(pitches[1:])]
    spiral = all(lap.way == "spiral" for lap in chosen)
    layers = []
    for k, (radius, lane) in enumerate(zip(radii, lanes, strict=True)):
        inner = k if closing else k - 1
        share = (RAMP[inner] if inner < len(RAMP) else 1.0) if inner >= 0 else 0.0
        layers.append(Layer(radius, share * min(steps[k:]) if spiral else 0.0, lane))
    return layers[::-1] if closing else layers


def _where(laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...], rings: list[Layer], track: Track) -> dict[int, float]:
    """u of every place, each ring over the one inside it."""
    where: dict[int, float] = {}
    _lay(base, [None] * len(base), rings[0], 0.0, track, where)
    ends = _chain_targets(laps, track) if track.half or not base else {}
    for number, lap in enumerate(chosen):
        targets = [_mean([where[p] for p in laps.parents[i] if p in where], track.turn) for i in lap.members]
        if number == 0 and ends:
            targets = [ends.get(i) for i in lap.members]
        _lay(lap.members, targets, rings[number + 1], _unevenness(laps, lap), track, where)
    return where


def _where_closing(laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...], rings: list[Layer], track: Track) -> dict[int, float]:
    """u of every place of a closing end: each ring round the one that stands on it."""
    where: dict[int, float] = {}
    children: dict[int, list[int]] = {}
    for lap in chosen:
        for i in lap.members:
            for parent in laps.parents[i]:
                children.setdefault(parent, []).append(i)
    for number in range(len(chosen), -1, -1):
        members = chosen[number - 1].members if number else base
        targets = [_mean([where[c] for c in children.get(i, ()) if c in where], track.turn) for i in members]
        _lay(members, targets, rings[number], 0.0, track, where)
    return where


def _lay(members: tuple[int, ...], targets: list[float | None], layer: Layer, lower: float, track: Track, where: dict[int, float]) -> None:
    # Distances are kept where the ring is narrowest: at its start, at the tops of its lowest stitches.
    radius = max(layer.radius - lower, 0.3)
    lengths = [None if target is None else track.length(target, radius) for target in targets]
    for i, at in zip(members, ring(lengths, track.length(track.turn, radius), layer.lane), strict=True):
        where[i] = track.parameter(at, radius)


def _mean(found: list[float], turn: float) -> float | None:
    if not found:
        return None
    # A decrease over the start of the round has feet at both ends of the interval: bring them together first.
    if max(found) - min(found) > turn / 2:
        found = [u + turn if u < turn / 2 else u for u in found]
    mean = sum(found) / len(found)
    return mean if mean <= turn else (mean - turn if mean - turn > turn / 4 else turn)


def _unevenness(laps: Laps, lap: Lap) -> float:
    heights = [laps.heights[laps.part.kind[i]] for i in lap.members]
    return max(heights) - min(heights)


def _tops(
    laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...], rings: list[Layer], where: dict[int, float], track: Track, closing: bool
) -> dict[int, Point]:
    """Where the next stitch may stand, of every place."""
    tops = {i: track.point(where[i], rings[0].at(where[i], track.turn, closing)) for i in base}
    for number, lap in enumerate(chosen):
        layer = rings[number + 1]
        for i in lap.members:
            shorter = lap.pitch - GAP - laps.heights[laps.part.kind[i]]
            radius = layer.at(where[i], track.turn, closing) + (shorter if closing else -shorter)
            tops[i] = track.point(where[i], radius)
    return tops


def _marks(laps: Laps, lap: Lap, tops: dict[int, Point], where: dict[int, float], track: Track, centre: Layer | None) -> list[Mark]:
    part, parents = laps.part, laps.parents
    marks = []
    chain = _chain_feet(laps, track) if track.half and centre is not None else {}
    for number, i in enumerate(lap.members):
        below = parents[i]
        flat = laps.flat[part.kind[i]]
        shared = len(below) == 1 and any(
            0 <= j < len(lap.members) and parents[lap.members[j]] == below for j in (number - 1, number + 1)
        )
        head = tops[i]
        feet = tuple(tops[p] for p in below if p in tops)
        if i in chain:
            feet = (chain[i],)
        elif not feet and centre is not None and not flat:
            feet, shared = (track.point(where[i], centre.radius),), False
        shape = "chain" if flat else "leg" if shared else ""
        rotation = _along(track, where[i]) if flat or not feet else turned(feet, head)
        span = (lap.round, lap.last) if lap.last > lap.round else None
        marks.append(
            Mark(i, part.kinds[part.kind[i]], lap.round, *head, rotation, 1.0, feet, (head,), span, part.yarns[part.yarn[i]], loop_of(part, i), shape)
        )
    return marks


def turned(feet: tuple[Point, ...], head: Point) -> float:
    """Degrees clockwise from straight up, of the way from the feet to the head."""
    x = head[0] - sum(foot[0] for foot in feet) / len(feet)
    y = head[1] - sum(foot[1] for foot in feet) / len(feet)
    return math.degrees(math.atan2(x, -y))


def _along(track: Track, u: float) -> float:
    _, _, dx, dy = track.place(u)
    grow = -1 if track.flip else 1
    return math.degrees(math.atan2(grow * dx, -grow * dy))


def _at_start(laps: Laps, lap: Lap, inner: Layer, outer: Layer, track: Track, closing: bool) -> list[Mark]:
    """The standing chain and the closing slip stitch, one above the other in the start lane."""
    if not lap.standing and lap.join < 0:
        return []
    part = laps.part
    low, high = inner.at(0.0, track.turn, closing), outer.at(0.0, track.turn, closing)
    aside = outer.lane / 2 - 0.38
    share = 0.3 if lap.join >= 0 else 0.0
    span = (lap.round, lap.last) if lap.last > lap.round else None
    marks = []
    count = max(1, len(lap.standing))
    for number, i in enumerate(lap.standing):
        ends = [low + (high - low) * (1 - share) * (number + k) / count for k in (0, 1)]
        foot, head = track.lane_point(ends[0], aside), track.lane_point(ends[1], aside)
        marks.append(Mark(i, part.kinds[part.kind[i]], lap.round, *head, turned((foot,), head), 1.0, (foot,), (head,), span, part.yarns[part.yarn[i]], "", "upright"))
    if lap.join >= 0:
        foot = track.lane_point(low + (high - low) * (1 - share), aside)
        head = track.lane_point(high, aside)
        i = lap.join
        marks.append(Mark(i, part.kinds[part.kind[i]], lap.round, *head, turned((foot,), head), 1.0, (foot,), (head,), span, part.yarns[part.yarn[i]], "", ""))
    return marks


def _label(lap: Lap, inner: Layer, outer: Layer, track: Track, closing: bool) -> Label:
    radius = (inner.at(0.0, track.turn, closing) + outer.at(0.0, track.turn, closing)) / 2
    joined = 0.8 if lap.standing or lap.join >= 0 else 0.0
    return Label(lap.label, *track.lane_point(radius, -joined / 2), LABEL)


def _middle(
    laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...], rings: list[Layer], tops: dict[int, Point], track: Track, closing: bool, oval: bool
) -> list[Guide]:
    """What the first round stands on: the ring, or the round before as a line of dots."""
    if base:
        line = track_curve(track, rings[0], closing)
        dots = tuple(op for i in base for op in circle(*tops[i], 0.07))
        return [Guide("base", line), Guide("dots", dots)]
    return [] if oval else [Guide("ring", circle(0.0, 0.0, CENTRE - 0.22))]


def _counts(laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...], oval: bool) -> list[Label]:
    """A ring of chains bears their number, as is usual."""
    chains = sum(laps.flat[laps.part.kind[i]] for i in laps.start)
    if base or oval or not chains:
        return []
    return [Label(str(chains), 0.0, 0.0, LABEL, "chains")]


def _chain(laps: Laps, track: Track) -> list[Mark]:
    part, used = laps.part, _chain_used(laps)
    middle = (len(used) - 1) / 2
    marks = []
    for number, i in enumerate(used):
        at = (number - middle, 0.0)
        marks.append(Mark(i, part.kinds[part.kind[i]], 0, *at, 0.0, 1.0, (), (at,), None, part.yarns[part.yarn[i]], "", "chain"))
    return marks


def _chain_targets(laps: Laps, track: Track) -> dict[int, float]:
    """u over the chain for the stitches of a first round that runs along one side and back along the other."""
    if not track.half:
        return {}
    return {i: u for i, _, u in _along_chain(laps, track)}


def _chain_feet(laps: Laps, track: Track) -> dict[int, Point]:
    return {i: foot for i, foot, _ in _along_chain(laps, track)}


def _along_chain(laps: Laps, track: Track) -> list[tuple[int, Point, float]]:
    """Place, foot and u of every stitch of the first round of an oval."""
    used, members = _chain_used(laps), laps.laps[0].members
    middle = (len(used) - 1) / 2
    column = {i: number - middle for number, i in enumerate(used)}
    a, b, c, d, turn = track.corners()
    found: list[tuple[int, Point, float]] = []
    groups: list[tuple[int, list[int]]] = []
    for i in members:
        parent = laps.parents[i][0] if laps.parents[i] else -1
        if groups and groups[-1][0] == parent:
            groups[-1][1].append(i)
        else:
            groups.append((parent, [i]))
    turned_round = False
    for number, (parent, group) in enumerate(groups):
        x = column.get(parent, 0.0)
        left, right = x <= -middle, x >= middle
        if left and (len(group) > 1 or not turned_round) and number:
            u, foot = (b + c) / 2, (x - 0.45, 0.0)
            turned_round = True
        elif right and number == len(groups) - 1 and len(group) > 1:
            u, foot = d + (turn - d) * 0.5, (x + 0.45, 0.0)
        elif not turned_round:
            u, foot = (a - min(0.5, a) if right else a + (track.half - x)), (x, -0.25)
        else:
            u, foot = c + (x + track.half), (x, 0.25)
        found += [(i, foot, u) for i in group]
    return found


def _frame(rings: list[Layer], track: Track, closing: bool) -> tuple[tuple[float, float, float, float], Guide]:
    widest = rings[0] if closing else rings[-1]
    pointer_radius = widest.radius + 0.55 + (widest.climb if closing else 0.0)
    u0 = track.parameter(widest.lane / 2, pointer_radius)
    u1 = track.parameter(widest.lane / 2 + 3.2, pointer_radius)
    pointer = Guide("arrow", arrow(track, pointer_radius, u0, u1))
    curve = track_curve(track, widest, closing) + pointer.ops
    xs = [value for _, numbers in curve for value in numbers[0::2]]
    ys = [value for _, numbers in curve for value in numbers[1::2]]
    return (min(xs) - 0.35, min(ys) - 0.35, max(xs) + 0.35, max(ys) + 0.35), pointer
