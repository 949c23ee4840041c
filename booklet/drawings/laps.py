"""A PartGraph in, its drawn rounds out: who stands in the ring, who at its start, which equal rounds are drawn once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from booklet.drawings.drawing import Mark, RoundLine
from booklet.graph.graph import FOREIGN, PartGraph
from booklet.tables.stitches import Stitch
from booklet.tables.symbols import Symbol

GAP = 0.15  # symbol widths of air between the top of a symbol and the foot of the next


class Lap(NamedTuple):
    """One drawn round or row."""

    round: int  # position in the part
    last: int  # last round that it stands for; equal to round where it stands for itself
    label: str  # "4" or "4–7"
    way: str  # "start", "spiral", "joined", "row", "row back"
    members: tuple[int, ...]  # places that take a slot in the ring, in order of work
    standing: tuple[int, ...]  # chains that lift the hook at the start and are no stitch
    stacked: int  # how many of these, from the last, stand below the first member, a chain that counts as a stitch
    join: int  # place of the closing slip stitch; -1 for none
    pitch: float  # height of the tallest stitch with its air
    bulky: bool = False  # has clusters, whose symbols are wider at their middle than at their foot


class Laps(NamedTuple):
    """All drawn rounds of a part with what is needed to place them."""

    part: PartGraph
    kinds: tuple[str, ...]  # stitch id of every index of PartGraph.kind
    heights: tuple[float, ...]  # drawn height of every index of PartGraph.kind
    flat: tuple[bool, ...]  # chains, that lie along the round
    parents: list[tuple[int, ...]]  # of every place; drawn places only; numbers from len(kind) on are other parts' or `sides`
    sides: dict[int, int]  # the other side of a chain that is worked on both: number -> its place
    laps: tuple[Lap, ...]
    start: tuple[int, ...]  # places of round 0
    spaces: dict[int, tuple[int, ...]]  # a stitch that is worked round chains of the round below -> these chains

    def is_chain(self, place: int) -> bool:
        """Is this place a chain of this part?"""
        place = self.sides.get(place, place)
        return place < len(self.parents) and self.flat[self.part.kind[place]]


def symbol_name(kind: str, stitches: Mapping[str, Stitch], symbols: Mapping[str, Symbol]) -> str:
    """The symbol of a stitch: its own, else that of the plain stitch that it is made of, else a box."""
    stitch = stitches.get(kind)
    if stitch is not None:
        for name in (stitch.symbol, stitch.id, stitch.base):
            if name in symbols:
                return name
    return kind if kind in symbols else "unknown"


def drawn_symbol(mark: Mark, stitches: Mapping[str, Stitch], symbols: Mapping[str, Symbol]) -> Symbol:
    """The symbol that a mark is drawn with: as the stitch looks on the right side of the piece."""
    return seen(symbols[symbol_name(mark.kind, stitches, symbols)], mark.turned, symbols)


def loop_symbol(mark: Mark, symbols: Mapping[str, Symbol]) -> Symbol | None:
    """The sign for a stitch under one loop; None for both loops, or where the set has none."""
    found = symbols.get(f"{mark.loop}_loop") if mark.loop else None
    return seen(found, mark.turned, symbols) if found else None


def seen(symbol: Symbol, turned: bool, symbols: Mapping[str, Symbol]) -> Symbol:
    """The symbol from the right side: a front post that is worked on the wrong side lies at the back (JIS L 0201, common practice)."""
    return symbols[symbol.behind] if turned and symbol.behind else symbol


def read_laps(part: PartGraph, stitches: Mapping[str, Stitch], symbols: Mapping[str, Symbol]) -> Laps:
    """Read the drawn rounds of a part. A round that repeats the one before, stitch over stitch, is drawn once."""
    families = tuple(stitches[kind].family if kind in stitches else "" for kind in part.kinds)
    heights = tuple(symbols[symbol_name(kind, stitches, symbols)].height for kind in part.kinds)
    flat = tuple(family == "chain" for family in families)
    count = len(part.kind)
    stand_in = list(range(count))
    parents: list[tuple[int, ...]] = [()] * count
    sides: dict[int, int] = {}
    spaces: dict[int, tuple[int, ...]] = {}
    laps: list[Lap] = []
    bounds = part.round_start
    takes_one = tuple(stitches[kind].uses <= 1 if kind in stitches else True for kind in part.kinds)
    carried: tuple[int, ...] = ()
    for r in range(1, part.rounds + 1):
        places = range(bounds[r], bounds[r + 1])
        for i in places:
            parents[i] = _parents(part, i, stand_in, count)
            if takes_one[part.kind[i]]:
                if _round_chains(parents[i], part, flat, bounds[1], count):
                    spaces[i] = tuple(sorted(parents[i]))
                else:
                    # A plain stitch through two layers is drawn on the nearer one.
                    parents[i] = parents[i][:1]
        lap, carried = _lap(part, r, families, heights, carried)
        if not laps and lap.members and not part.worked.startswith("oval"):
            _part_sides(lap, parents, sides, count + len(part.foreign), families, part)
        if laps and _repeats(part, lap, laps[-1], parents):
            before = laps[-1]
            for i in lap.members:
                stand_in[i] = parents[i][0]
            for ours, theirs in zip((*lap.standing, lap.join), (*before.standing, before.join), strict=True):
                if ours >= 0:
                    stand_in[ours] = theirs
            laps[-1] = before._replace(last=r, label=_range(part, before.round, r))
        elif lap.members:
            laps.append(lap)
    start = tuple(range(bounds[0], bounds[1])) if len(bounds) > 1 else ()
    return Laps(part, part.kinds, heights, flat, parents, sides, _with_yarns(part, laps), start, spaces)


def _round_chains(parents: tuple[int, ...], part: PartGraph, flat: tuple[bool, ...], begin: int, count: int) -> bool:
    """Is a stitch with these parents worked round chains? Chains of the start are worked into, one by one."""
    return bool(parents) and all(begin <= p < count and flat[part.kind[p]] and not part.counts[p] for p in parents)


def in_numbers(laps: Laps, chosen: Sequence[Lap]) -> tuple[RoundLine, ...]:
    """The drawn rounds as lines of a table."""
    part = laps.part
    found = []
    for lap in chosen:
        total = part.total(lap.round)
        counts: dict[str, int] = {}
        for i in lap.members:
            kind = part.kinds[part.kind[i]]
            counts[kind] = counts.get(kind, 0) + 1
        before = part.total(lap.round - 1) if lap.round > 1 else 0
        way = lap.way.split()[0]
        # The number as it is printed, without the yarn's code beside it.
        label = lap.label.split(" ")[0]
        found.append(RoundLine(label, lap.round, lap.last, total, total - before, way, tuple(counts.items())))
    return tuple(found)


def _with_yarns(part: PartGraph, laps: list[Lap]) -> tuple[Lap, ...]:
    """In a part of several yarns the number of a round bears the yarn's code where it changes: inks alone do not print in black."""
    used = {part.yarn[i] for lap in laps for i in lap.members}
    if len(used) < 2:
        return tuple(laps)
    found, before = [], -1
    for lap in laps:
        yarns = {part.yarn[i] for i in lap.members}
        now = next(iter(yarns)) if len(yarns) == 1 else -1
        code = part.yarns[now] if now >= 0 and found and now != before else ""
        found.append(lap._replace(label=f"{lap.label} {code}".strip()))
        before = now
    return tuple(found)


def _parents(part: PartGraph, i: int, stand_in: list[int], count: int) -> tuple[int, ...]:
    return tuple(count + (parent & ~FOREIGN) if parent & FOREIGN else stand_in[parent] for parent in part.parents_of(i))


def _part_sides(
    lap: Lap, parents: list[tuple[int, ...]], sides: dict[int, int], free: int, families: tuple[str, ...], part: PartGraph
) -> None:
    """A bridge of chains between two legs is met twice in one round: its other side gets numbers of its own."""
    seen: dict[int, int] = {}  # chain -> last member that stood in it
    for number, i in enumerate(lap.members):
        if len(parents[i]) != 1:
            continue
        chain = parents[i][0]
        if chain >= len(parents) or families[part.kind[chain]] != "chain":
            continue
        if chain in seen and seen[chain] != number - 1:
            other = next((key for key, place in sides.items() if place == chain), free + len(sides))
            sides[other] = chain
            parents[i] = (other,)
        else:
            seen[chain] = number


def _lap(
    part: PartGraph, r: int, families: tuple[str, ...], heights: tuple[float, ...], carried: tuple[int, ...]
) -> tuple[Lap, tuple[int, ...]]:
    """One round, and the chains at its end that already lift the hook for the next row."""
    kind, counts, way = part.kind, part.counts, part.round_way[r]
    places = [i for i in range(part.round_start[r], part.round_start[r + 1]) if families[kind[i]] not in ("skip", "ring")]
    standing = list(carried)
    while places and families[kind[places[0]]] == "chain" and not counts[places[0]]:
        standing.append(places.pop(0))
    join = -1
    while places and not counts[places[-1]] and families[kind[places[-1]]] in ("slip", "join", ""):
        join = places.pop()
    after: list[int] = []
    while places and way.startswith("row") and families[kind[places[-1]]] == "chain" and not counts[places[-1]]:
        after.append(places.pop())
    stands = bool(places and families[kind[places[0]]] == "chain" and counts[places[0]])
    pitch = max((heights[kind[i]] for i in places), default=0.0) + GAP
    bulky = any(families[kind[i]] == "cluster" for i in places)
    counted = len(standing) if stands else 0
    lap = Lap(r, r, part.round_label[r], way, tuple(places), tuple(standing), counted, join, max(pitch, 0.5), bulky)
    return lap, tuple(after[::-1])


def _repeats(part: PartGraph, lap: Lap, before: Lap, parents: list[tuple[int, ...]]) -> bool:
    ours, theirs = lap.members, before.members
    if len(ours) != len(theirs) or len(lap.standing) != len(before.standing) or (lap.join < 0) != (before.join < 0):
        return False
    if (lap.way.startswith("row")) != (before.way.startswith("row")) or not before.label or not lap.label:
        return False
    # A turned row runs back over the one below, so every second row of a range lies the same way as its first.
    flipped = lap.way.startswith("row") and (lap.round - before.round) % 2
    over = theirs[::-1] if flipped else theirs
    kind, yarn, loop = part.kind, part.yarn, part.loop
    if lap.stacked != before.stacked:
        return False
    for i, j in zip(ours, over, strict=True):
        if parents[i] != (j,) or kind[i] != kind[j] or yarn[i] != yarn[j] or loop[i] != loop[j]:
            return False
        # A round that shapes the piece is drawn for itself, even where the next one only stands on it.
        if len(parents[j]) != 1:
            return False
    below = {parents[j][0] for j in theirs}
    return len(below) == len(theirs) and min(below) >= part.round_start[1] and max(below) < len(kind)


def _range(part: PartGraph, first: int, last: int) -> str:
    return f"{part.round_label[first]}–{part.round_label[last]}"

