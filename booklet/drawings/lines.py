"""Drawn rounds in, one unrolled panel out: rows that lie on one another, of a flat piece or of a tube that was cut open."""

from __future__ import annotations

import math
from typing import NamedTuple

from booklet.drawings.arches import Spot, arches, bow, feet, gaps, on_arch, rise
from booklet.drawings.curves import arrow_head, circle, wedge
from booklet.drawings.drawing import Guide, Label, Mark, Placed, Point
from booklet.drawings.laps import GAP, Lap, Laps, in_numbers
from booklet.drawings.marks import LABEL, chain_mark, height_of, joint_width, label_width, start_chain, stitch_marks
from booklet.drawings.rings import relax, spread

STEP = 1.06  # distance of neighbours in a row, in symbol widths
WIDE = 2.2  # largest distance in an unrolled tube, whose rounds are all as wide as its widest where this allows it


def line_panel(laps: Laps, first: int, stop: int) -> Placed:
    """Place laps[first:stop] as lines, the first at the bottom. Rounds all run from right to left, rows alternate."""
    chosen = laps.laps[first:stop]
    base = _base(laps, chosen[0])
    steps = _steps(chosen, base)
    across = _columns(laps, chosen, base, steps)
    hung = _hung(laps, chosen, across)
    tops: dict[int, Point] = {i: (across[i], 0.0) for i in base}
    marks = [chain_mark(laps, laps.sides.get(i, i), tops[i], 0.0) for i in base if laps.is_chain(i)]
    labels: list[Label] = []
    guides: list[Guide] = []
    low = over = 0.0
    lows = []
    for lap in chosen:
        high = low + lap.pitch + over
        lows.append((low, high))
        for i in lap.members:
            shorter = -hung[i].spot.y if i in hung else lap.pitch - GAP - height_of(laps, lap, i)
            tops[i] = (across[i], -(high - shorter))
        low, over = high, rise(laps, lap)
    round_chains = _round_feet(laps, chosen, across, tops, hung)
    for number, lap in enumerate(chosen):
        low, high = lows[number]
        marks += _line(laps, lap, tops, low, high, _around(chosen, base, steps, number), hung, round_chains)
        labels.append(_label(laps, lap, across, low, high))
        if not _is_row(lap) and not joint_width(lap):
            tip = (_edge(laps, lap, across) - 0.42, -(low + high) / 2)
            guides.append(Guide("start", wedge(tip, (-1.0, 0.0))))
        if number % 2:
            guides.append(_tint(*_ends(laps, lap, across), low, high))
    low = high + over
    guides.append(Guide("dots", tuple(op for i in base if not laps.is_chain(i) for op in circle(*tops[i], 0.07))))
    guides.append(_pointer(chosen[-1], across, low))
    form = "rows" if _is_row(chosen[0]) else "strip"
    span = (chosen[0].round, chosen[-1].last)
    frame = _frame(marks, labels, guides, low)
    way, told = chosen[0].way.split()[0], in_numbers(laps, chosen)
    return Placed(laps.part.name, form, tuple(marks), tuple(labels), tuple(guides), frame, span, way, told)


def _is_row(lap: Lap) -> bool:
    return lap.way.startswith("row")


def _base(laps: Laps, lap: Lap) -> tuple[int, ...]:
    """What the first line stands on, from left to right; chains of the start that nothing stands in stay away."""
    order = tuple(dict.fromkeys(parent for i in lap.members for parent in laps.parents[i]))
    return order if lap.way == "row back" else order[::-1]


def _steps(chosen: tuple[Lap, ...], base: tuple[int, ...]) -> list[float]:
    """Distance of neighbours, of the base and of every line."""
    sizes = [len(base)] + [len(lap.members) for lap in chosen]
    if _is_row(chosen[0]):
        return [STEP] * len(sizes)
    width = STEP * max(sizes)
    return [min(width / max(size, 1), WIDE) for size in sizes]


def _around(chosen: tuple[Lap, ...], base: tuple[int, ...], steps: list[float], number: int) -> float:
    """Once round the line that chosen[number] stands on; 0 for rows, which have ends."""
    if _is_row(chosen[number]):
        return 0.0
    return steps[number] * (len(chosen[number - 1].members) if number else len(base))


def _columns(laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...], steps: list[float]) -> dict[int, float]:
    """The x of every place: near its parents, in equal steps, never closer than a symbol."""
    middle = max(len(lap.members) for lap in chosen) * STEP / 2
    across = {i: middle + (number - (len(base) - 1) / 2) * steps[0] for number, i in enumerate(base)}
    for number, lap in enumerate(chosen):
        members = lap.members if lap.way == "row back" else lap.members[::-1]
        around = _around(chosen, base, steps, number)
        targets = [_mean([across[p] for p in laps.parents[i] if p in across], around) for i in members]
        least = gaps(laps, lap) if lap.way == "row back" else gaps(laps, lap)[::-1]
        wished = relax(targets, [steps[number + 1] * gap for gap in least])
        across.update(zip(members, spread(wished, least), strict=True))
    return across


def _mean(found: list[float], around: float) -> float | None:
    """The middle of the parents. In a tube that was cut open, a decrease over the cut has its far foot outside the edge."""
    if around:
        found = [x - around * round((x - found[0]) / around) for x in found]
    return sum(found) / len(found) if found else None


class Hung(NamedTuple):
    """The arch of a chain; lengths run in the direction of work."""

    left: float
    right: float
    chains: int
    sign: int  # 1 where the work runs to the right, -1 to the left
    spot: Spot


def _hung(laps: Laps, chosen: tuple[Lap, ...], across: dict[int, float]) -> dict[int, Hung]:
    """Lay the chains of every line along their arches; gives each chain's arch and moves it in `across`."""
    found: dict[int, Hung] = {}
    for lap in chosen:
        sign, members = 1 if lap.way == "row back" else -1, lap.members
        for arch in arches(laps, lap):
            run = members[arch.first : arch.stop]
            low = sign * across[members[arch.first - 1]] if arch.first else sign * across[run[0]] - 1
            high = sign * across[members[arch.stop]] if arch.stop < len(members) else sign * across[run[-1]] + 1
            for i, spot in zip(run, bow(low, high, arch.chains), strict=True):
                found[i] = Hung(low, high, arch.chains, sign, spot)
                across[i] = sign * spot.x
    return found


def _round_feet(
    laps: Laps, chosen: tuple[Lap, ...], across: dict[int, float], tops: dict[int, Point], hung: dict[int, Hung]
) -> tuple[dict[int, Point], dict[int, tuple[Point, ...]]]:
    """Feet of all stitches that are worked round chains, and the same points by chain, as its heads."""
    feet_at: dict[int, Point] = {}
    heads: dict[int, tuple[Point, ...]] = {}
    for lap in chosen:
        groups: dict[tuple[int, ...], list[int]] = {}
        for i in lap.members:
            if i in laps.spaces and all(chain in hung for chain in laps.spaces[i]):
                groups.setdefault(laps.spaces[i], []).append(i)
        for chains, group in groups.items():
            one = hung[chains[0]]
            base = tops[chains[0]][1] + one.spot.y
            order = sorted(group, key=lambda i: one.sign * across[i])
            for i, x in zip(order, feet(one.left, one.right, len(group)), strict=True):
                feet_at[i] = (one.sign * x, base - on_arch(one.left, one.right, one.chains, x).y)
                near = min(chains, key=lambda chain: abs(hung[chain].spot.x - x))
                heads[near] = (*heads.get(near, ()), feet_at[i])
    return feet_at, heads


def _line(
    laps: Laps,
    lap: Lap,
    tops: dict[int, Point],
    low: float,
    high: float,
    around: float,
    hung: dict[int, Hung],
    round_chains: tuple[dict[int, Point], dict[int, tuple[Point, ...]]],
) -> list[Mark]:
    def feet_of(place: int) -> tuple[Point, ...]:
        if place in round_chains[0]:
            return (round_chains[0][place],)
        x0 = tops[place][0]
        feet = tuple(tops[parent] for parent in laps.parents[place] if parent in tops)
        if around:
            feet = tuple((x - around * round((x - x0) / around), y) for x, y in feet)
        if feet or (laps.is_chain(place) and not laps.part.counts[place]):
            return feet
        return ((x0, -low),)

    edge = _edge(laps, lap, {i: tops[i][0] for i in (*lap.members, *_below(laps, lap))})
    inwards = 0.1 if lap.way == "row back" else -0.1

    def along(place: int) -> float:
        one = hung.get(place)
        return -one.sign * math.degrees(math.atan(one.spot.slope)) if one else 0.0

    marks = stitch_marks(laps, lap, tops, feet_of, along, round_chains[1])
    return marks + start_chain(laps, lap, lambda share: (edge + inwards, -(low + (high - low) * share)))


def _below(laps: Laps, lap: Lap) -> tuple[int, ...]:
    return tuple(parent for i in lap.members for parent in laps.parents[i])


def _ends(laps: Laps, lap: Lap, across: dict[int, float]) -> tuple[float, float]:
    """The leftmost and rightmost stitch of a line and of what it stands on."""
    xs = [across[i] for i in (*lap.members, *_below(laps, lap))]
    return min(xs), max(xs)


def _edge(laps: Laps, lap: Lap, across: dict[int, float]) -> float:
    """Just outside the first stitch, where the lifting chain stands."""
    left, right = _ends(laps, lap, across)
    return left - 1.0 if lap.way == "row back" else right + 1.0


def _label(laps: Laps, lap: Lap, across: dict[int, float], low: float, high: float) -> Label:
    out = -1 if lap.way == "row back" else 1
    # A spiral's wedge stands between the number and the first stitch.
    aside = 0.65 if joint_width(lap) else -0.2 if _is_row(lap) else 0.0
    x = _edge(laps, lap, across) + out * (aside + label_width(lap.label) / 2)
    return Label(lap.label, x, -(low + high) / 2, LABEL, "row" if _is_row(lap) else "round")


def _tint(left: float, right: float, low: float, high: float) -> Guide:
    x0, x1, y0, y1 = left - 0.6, right + 0.6, -low + GAP / 2, -high + GAP / 2
    return Guide("tint", (("M", (x0, y0)), ("L", (x1, y0)), ("L", (x1, y1)), ("L", (x0, y1)), ("Z", ())))


def _pointer(lap: Lap, across: dict[int, float], top: float) -> Guide:
    xs = [across[i] for i in lap.members]
    begin, reach = (min(xs), 2.6) if lap.way == "row back" else (max(xs), -2.6)
    tail, tip = (begin, -top - 0.45), (begin + reach, -top - 0.45)
    return Guide("arrow", (("M", tail), ("L", tip), *arrow_head(tail, tip)))


def _frame(marks: list[Mark], labels: list[Label], guides: list[Guide], top: float) -> tuple[float, float, float, float]:
    xs = [x + side for mark in marks for x in (mark.x, *(foot[0] for foot in mark.feet)) for side in (-0.7, 0.7)]
    xs += [label.x + side * (label_width(label.text) / 2 + 0.2) for label in labels for side in (-1, 1)]
    xs += [numbers[0] for guide in guides for _, numbers in guide.ops if numbers]
    return min(xs), -top - 0.95, max(xs), 0.75
