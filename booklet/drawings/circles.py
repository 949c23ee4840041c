"""Drawn rounds in, one concentric panel out: a disc from its centre, an oval round its chain, or a closing end from its hole.

Every layer is laid round the layer inside it. Outward work grows from the first round; a closing end is laid from its
last round, so that it stays as dense as a beginning, and is turned so that growth still runs from right to left.
"""

from __future__ import annotations

import math

from booklet.drawings.curves import arrow, band, circle, track_curve
from booklet.drawings.drawing import Guide, Label, Mark, Placed, Point
from booklet.drawings.laps import GAP, Lap, Laps, loop_of
from booklet.drawings.rings import Layer, Track, lean, ring

LABEL = 0.82  # height of a round number, in symbol widths
CENTRE = 0.8  # radius of the ring in the middle
OVAL_CENTRE = 0.6  # radius round a chain from which the first round grows
ROOM = 1.03  # of a ring for every symbol width on it, so that full rings still breathe
GLANCE = 4.3  # radius of rings that are followed at a glance, however few their stitches
LEAN = (0.1, 0.3)  # how much of the lean of the stitches the start of a closed and of a spiral round follows
RAMP = (0.0, 1 / 3, 2 / 3)  # share of the spiral's climb in the innermost rounds; all of it from the fourth on


def label_width(text: str) -> float:
    """Width of a number in type of the usual size, in symbol widths."""
    return 0.46 * len(text)


def lane_sides(lap: Lap) -> tuple[float, float]:
    """Room on either side of the middle of the start lane, before and after it in the direction of work.

    A spiral's number stands in the middle. In joined rounds the lifting chains form one straight line after the middle,
    whatever the width of the numbers before them.
    """
    number = max(1.1, label_width(lap.label) + 0.4)
    return (number - 0.15, 0.95) if joint_width(lap) else (number / 2, number / 2)


def joint_width(lap: Lap) -> float:
    """Room for the lifting chain and the closing stitch beside the number."""
    return 0.8 if lap.join >= 0 or len(lap.standing) > lap.stacked else 0.0


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
    marks[:0] = _chain(laps, track) if oval and not base else _bridges(laps, base, tops, where, track)
    frame, pointer = _frame(rings, track, closing)
    guides.append(pointer)
    form = "closing" if closing else "oval" if oval else "round"
    ways = {lap.way for lap in chosen}
    way = "joined" if "joined" in ways else "spiral"
    return Placed(laps.part.name, form, tuple(marks), tuple(labels + _counts(laps, chosen, base, oval)), tuple(guides), frame, (chosen[0].round, chosen[-1].last), way)


def legible(laps: Laps, first: int, stop: int, closing: bool, oval: bool, limit: float) -> int:
    """How many of laps[first:stop] can be followed, counted from the inside: from the last one of a closing end.

    A ring cannot be followed where a stitch has more than `limit` symbol widths of it; the innermost are always
    small enough to be taken in at a glance.
    """
    chosen = laps.laps[first:stop]
    base = () if first == 0 and not _foreign(laps, chosen[0]) else _below(laps, chosen[0])
    track = _track(laps, oval, closing)
    rings = _layers(laps, chosen, base, track, closing)
    pairs = list(zip(chosen, rings[:-1] if closing else rings[1:], strict=True))
    # In a closing end a round's feet lie on the ring outside it, and so does the room that it takes.
    for number, (lap, layer) in enumerate(reversed(pairs) if closing else pairs):
        room = track.length(track.turn, layer.radius) / max(len(lap.members), 1)
        if room > limit and layer.radius > GLANCE:
            return number
    return len(chosen)


def _track(laps: Laps, oval: bool, closing: bool) -> Track:
    if not oval:
        return Track(0.0, math.pi / 2, closing)
    worked = len(_chain_used(laps))
    # The start of the first round is the upper right of the chain: its last two stitches come round the right end.
    # Steep enough that the numbers stand one above the other.
    return Track(max(0.0, (worked - 2) / 2), math.pi / 4)


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
    sides = [lane_sides(lap) for lap in (chosen[0], *chosen)]
    pitches = [0.0] + [lap.pitch for lap in chosen]
    order = range(len(sizes))
    if closing:  # from the inside: the step to a ring is the height of the stitches that stand on it, inwards
        sizes, sides = sizes[::-1], sides[::-1]
        pitches = [0.0, *pitches[:0:-1]]
    radii: list[float] = []
    for k in order:
        least = (ROOM * (sizes[k] - 1) + sum(sides[k]) + 1 - 4 * track.half) / (2 * math.pi)
        if k == 0 and not closing and not base:
            radii.append(OVAL_CENTRE if track.half else CENTRE + 0.6 * joint_width(chosen[0]))
        else:
            radii.append(max(least, (radii[-1] + pitches[k]) if radii else CENTRE))
    steps = [after - before for before, after in zip(radii, radii[1:], strict=False)] + [min(pitches[1:])]
    spiral = all(lap.way == "spiral" for lap in chosen)
    layers = []
    for k, (radius, (before, after)) in enumerate(zip(radii, sides, strict=True)):
        inner = k if closing else k - 1
        share = (RAMP[inner] if inner < len(RAMP) else 1.0) if inner >= 0 else 0.0
        layers.append(Layer(radius, share * min(steps[k:]) if spiral else 0.0, before, after))
    return layers[::-1] if closing else layers


def _where(laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...], rings: list[Layer], track: Track) -> dict[int, float]:
    """U of every place, each ring over the one inside it."""
    where: dict[int, float] = {}
    rings[0] = _lay(base, [None] * len(base), rings[0], 0.0, track, where, 0.0)
    ends = _chain_targets(laps, track) if track.half or not base else {}
    for number, lap in enumerate(chosen):
        targets = [_mean([where[p] for p in laps.parents[i] if p in where], track.turn) for i in lap.members]
        if number == 0 and ends:
            targets = [ends.get(i) for i in lap.members]
        before = rings[number]
        rings[number + 1] = _lay(lap.members, targets, rings[number + 1], _unevenness(laps, lap), track, where, before.start)
    return where


def _where_closing(laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...], rings: list[Layer], track: Track) -> dict[int, float]:
    """U of every place of a closing end: each ring round the one that stands on it."""
    where: dict[int, float] = {}
    children: dict[int, list[int]] = {}
    for lap in chosen:
        for i in lap.members:
            for parent in laps.parents[i]:
                children.setdefault(parent, []).append(i)
    inside = 0.0
    for number in range(len(chosen), -1, -1):
        members = chosen[number - 1].members if number else base
        targets = [_mean([where[c] for c in children.get(i, ()) if c in where], track.turn) for i in members]
        rings[number] = _lay(members, targets, rings[number], 0.0, track, where, inside)
        inside = rings[number].start
    return where


def _lay(
    members: tuple[int, ...], targets: list[float | None], layer: Layer, lower: float, track: Track, where: dict[int, float], start: float
) -> Layer:
    """Put the stitches of one ring into `where`; gives the ring with its start lane, which leans with the stitches of a spiral."""
    # Distances are kept where the ring is narrowest: at its start, at the tops of its lowest stitches.
    radius = max(layer.radius - lower, 0.3)
    length = track.length(track.turn, radius)
    lengths = _unwrapped(targets, start, radius, length, track)
    lane, aside = layer.before + layer.after, (layer.after - layer.before) / 2
    if not track.half and LEAN[layer.climb > 0]:
        turned_by = lean(lengths, length, lane) * LEAN[layer.climb > 0]
        start += turned_by / radius
        lengths = [None if at is None else at - turned_by for at in lengths]
    lengths = [None if at is None else at - aside for at in lengths]
    for i, at in zip(members, ring(lengths, length, lane), strict=True):
        where[i] = start + track.parameter(at + aside, radius)
    return layer._replace(start=start)


def _unwrapped(targets: list[float | None], start: float, radius: float, length: float, track: Track) -> list[float | None]:
    """Lengths from the start lane to the targets; those near the lane are taken on the side where their turn in the round is."""
    found: list[float | None] = []
    for i, target in enumerate(targets):
        if target is None:
            found.append(None)
            continue
        at = track.length(target - start, radius) if track.half else (target - start) * radius
        expected = (i + 0.5) / len(targets) * length
        found.append(at - length * round((at - expected) / length))
    return found


def _mean(found: list[float], turn: float) -> float | None:
    if not found:
        return None
    # A decrease over the start of the round has feet at both ends of the interval: bring them together first.
    found = [u - turn * round((u - found[0]) / turn) for u in found]
    return sum(found) / len(found)


def height_of(laps: Laps, lap: Lap, place: int) -> float:
    """Drawn height of a stitch; a chain that stands for one is as tall as its round."""
    stands = place == lap.members[0] and laps.is_chain(place) and laps.part.counts[place]
    return lap.pitch - GAP if stands else laps.heights[laps.part.kind[place]]


def _unevenness(laps: Laps, lap: Lap) -> float:
    heights = [height_of(laps, lap, i) for i in lap.members]
    return max(heights) - min(heights)


def _tops(
    laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...], rings: list[Layer], where: dict[int, float], track: Track, closing: bool
) -> dict[int, Point]:
    """Where the next stitch may stand, of every place."""
    tops = {i: track.point(where[i], rings[0].at(where[i], track.turn, closing)) for i in base}
    for number, lap in enumerate(chosen):
        layer = rings[number + 1]
        for i in lap.members:
            shorter = lap.pitch - GAP - height_of(laps, lap, i)
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
        stands = flat and number == 0 and bool(part.counts[i])
        if stands:
            flat = False
        if i in chain:
            feet = (chain[i],)
        elif not feet and centre is not None and not flat:
            feet, shared = (track.point(where[i], centre.radius),), False
        shape = "chain" if flat else "leg" if shared else ""
        rotation = _along(track, where[i]) if flat or not feet else turned(feet, head)
        span = (lap.round, lap.last) if lap.last > lap.round else None
        if stands and feet:
            marks += stack(laps, (*lap.standing[-lap.stacked :], i) if lap.stacked else (i,), feet[0], head, lap)
            continue
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
    lifted = lap.standing if not lap.stacked else ()
    if not lifted and lap.join < 0:
        return []
    low, high = inner.at(inner.start, track.turn, closing), outer.at(outer.start, track.turn, closing)
    aside, u = 0.55, outer.start
    share = 0.3 if lap.join >= 0 else 0.0
    between = low + (high - low) * (1 - share)
    marks = stack(laps, lifted, track.lane_point(u, low, aside), track.lane_point(u, between, aside), lap)
    if lap.join >= 0:
        marks.append(single(laps, lap.join, track.lane_point(u, between, aside), track.lane_point(u, high, aside), lap, ""))
    return marks


def stack(laps: Laps, places: tuple[int, ...], foot: Point, head: Point, lap: Lap) -> list[Mark]:
    """Chains that stand on one another, from foot to head."""
    count = len(places)
    points = [tuple(a + (b - a) * k / count for a, b in zip(foot, head, strict=True)) for k in range(count + 1)] if count else []
    return [single(laps, i, points[k], points[k + 1], lap, "upright") for k, i in enumerate(places)]


def single(laps: Laps, place: int, foot: Point, head: Point, lap: Lap, shape: str) -> Mark:
    """A mark with one foot and one head of its own."""
    part = laps.part
    span = (lap.round, lap.last) if lap.last > lap.round else None
    kind, yarn = part.kinds[part.kind[place]], part.yarns[part.yarn[place]]
    return Mark(place, kind, lap.round, *head, turned((foot,), head), 1.0, (foot,), (head,), span, yarn, "", shape)


def _label(lap: Lap, inner: Layer, outer: Layer, track: Track, closing: bool) -> Label:
    low, high = inner.at(inner.start, track.turn, closing), outer.at(outer.start, track.turn, closing)
    # Round a chain the first number stands further out, clear of the chain's end.
    share = 0.8 if track.half and inner.radius <= OVAL_CENTRE else 0.5
    radius = low + (high - low) * share
    aside = (0.3 - outer.before) / 2 if joint_width(lap) else 0.0
    return Label(lap.label, *track.lane_point(outer.start, radius, aside), LABEL)


def _middle(
    laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...], rings: list[Layer], tops: dict[int, Point], track: Track, closing: bool, oval: bool
) -> list[Guide]:
    """What the first round stands on: the ring, or the round before as a line of dots."""
    if base:
        line = track_curve(track, rings[0], closing)
        dots = tuple(op for i in base if not laps.is_chain(i) for op in circle(*tops[i], 0.07))
        return [Guide("base", line), Guide("dots", dots)]
    return [] if oval else [Guide("ring", circle(0.0, 0.0, rings[0].radius - 0.22))]


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
        at = (number - middle, -0.22)
        marks.append(Mark(i, part.kinds[part.kind[i]], 0, *at, 0.0, 1.0, (), (at,), None, part.yarns[part.yarn[i]], "", "chain"))
    return marks


def _bridges(laps: Laps, base: tuple[int, ...], tops: dict[int, Point], where: dict[int, float], track: Track) -> list[Mark]:
    """Chains between the parts that a round begins on."""
    part = laps.part
    marks = []
    for i in base:
        if laps.is_chain(i):
            place = laps.sides.get(i, i)
            kind, yarn = part.kinds[part.kind[place]], part.yarns[part.yarn[place]]
            marks.append(Mark(place, kind, 0, *tops[i], _along(track, where[i]), 1.0, (), (tops[i],), None, yarn, "", "chain"))
    return marks


def _chain_targets(laps: Laps, track: Track) -> dict[int, float]:
    """U over the chain for the stitches of a first round that runs along one side and back along the other."""
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
    u0 = widest.start + track.parameter(widest.after, pointer_radius)
    u1 = widest.start + track.parameter(widest.after + 3.2, pointer_radius)
    pointer = Guide("arrow", arrow(track, pointer_radius, u0, u1))
    curve = track_curve(track, widest, closing) + pointer.ops
    xs = [value for _, numbers in curve for value in numbers[0::2]]
    ys = [value for _, numbers in curve for value in numbers[1::2]]
    return (min(xs) - 0.35, min(ys) - 0.35, max(xs) + 0.35, max(ys) + 0.35), pointer
