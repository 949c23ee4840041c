"""Drawn rounds in, one unrolled panel out: rows that lie on one another, of a flat piece or of a tube that was cut open."""

from __future__ import annotations

from booklet.drawings.circles import LABEL, height_of, joint_width, label_width, single, stack, turned
from booklet.drawings.curves import arrow_head, circle
from booklet.drawings.drawing import Guide, Label, Mark, Placed, Point
from booklet.drawings.laps import GAP, Lap, Laps, loop_of
from booklet.drawings.rings import relax, spread

STEP = 1.06  # distance of neighbours in a row, in symbol widths
WIDE = 2.2  # largest distance in an unrolled tube, whose rounds are all as wide as its widest where this allows it


def line_panel(laps: Laps, first: int, stop: int) -> Placed:
    """Place laps[first:stop] as lines, the first at the bottom. Rounds all run from right to left, rows alternate."""
    chosen = laps.laps[first:stop]
    base = _base(laps, chosen[0])
    across = _columns(laps, chosen, base)
    steps = _steps(chosen, base)
    levels = [0.0]
    for lap in chosen:
        levels.append(levels[-1] + lap.pitch)
    tops: dict[int, Point] = {i: (across[i], 0.0) for i in base}
    marks = [mark for i in base for mark in _base_mark(laps, i, tops[i])]
    labels: list[Label] = []
    guides: list[Guide] = []
    for number, lap in enumerate(chosen):
        low, high = levels[number], levels[number + 1]
        for i in lap.members:
            tops[i] = (across[i], -(high - (lap.pitch - GAP - height_of(laps, lap, i))))
        marks += _row(laps, lap, tops, low, _around(chosen, base, steps, number))
        xs = [across[i] for i in lap.members] + [across[p] for i in lap.members for p in laps.parents[i]]
        left, right = min(xs), max(xs)
        back = lap.way == "row back"
        edge = left - 1.0 if back else right + 1.0
        if joint_width(lap):
            marks += _upright(laps, lap, edge + (0.1 if back else -0.1), low, high)
            edge += -0.85 if back else 0.85
        width = label_width(lap.label)
        labels.append(Label(lap.label, edge - width / 2 + 0.2 if back else edge + width / 2 - 0.2, -(low + high) / 2, LABEL, "row" if lap.way.startswith("row") else "round"))
        if number % 2:
            y0, y1 = -low + GAP / 2, -high + GAP / 2
            x0, x1 = left - 0.6, right + 0.6
            guides.append(Guide("tint", (("M", (x0, y0)), ("L", (x1, y0)), ("L", (x1, y1)), ("L", (x0, y1)), ("Z", ()))))
    if not all(laps.is_chain(i) for i in base):
        dots = tuple(op for i in base if not laps.is_chain(i) for op in circle(*tops[i], 0.07))
        guides.append(Guide("dots", dots))
    guides.append(_pointer(chosen[-1], across, levels[-1]))
    form = "rows" if chosen[0].way.startswith("row") else "strip"
    frame = _frame(marks, labels, guides, levels[-1])
    return Placed(laps.part.name, form, tuple(marks), tuple(labels), tuple(guides), frame, (chosen[0].round, chosen[-1].last), chosen[0].way.split()[0])


def _base(laps: Laps, lap: Lap) -> tuple[int, ...]:
    """What the first line stands on, from left to right; chains of the start that nothing stands in stay away."""
    used = dict.fromkeys(parent for i in lap.members for parent in laps.parents[i])
    order = tuple(used)
    return order if lap.way == "row back" else order[::-1]


def _columns(laps: Laps, chosen: tuple[Lap, ...], base: tuple[int, ...]) -> dict[int, float]:
    """X of every place: near its parents, in equal steps, never closer than a symbol."""
    steps = _steps(chosen, base)
    middle = max((len(lap.members) for lap in chosen), default=0) * STEP / 2
    across = {i: middle + (number - (len(base) - 1) / 2) * steps[0] for number, i in enumerate(base)}
    for number, lap in enumerate(chosen):
        members = lap.members if lap.way == "row back" else lap.members[::-1]
        around = _around(chosen, base, steps, number)
        targets = [_mean([across[p] for p in laps.parents[i] if p in across], around) for i in members]
        for i, x in zip(members, spread(relax(targets, steps[number + 1]), 1.0), strict=True):
            across[i] = x
    return across


def _steps(chosen: tuple[Lap, ...], base: tuple[int, ...]) -> list[float]:
    """Distance of neighbours, of the base and of every line."""
    sizes = [len(base)] + [len(lap.members) for lap in chosen]
    if chosen[0].way.startswith("row"):
        return [STEP] * len(sizes)
    width = STEP * max(sizes)
    return [min(width / max(size, 1), WIDE) for size in sizes]


def _around(chosen: tuple[Lap, ...], base: tuple[int, ...], steps: list[float], number: int) -> float:
    """Once round the line that chosen[number] stands on; 0 for rows, which have ends."""
    if chosen[number].way.startswith("row"):
        return 0.0
    return steps[number] * (len(chosen[number - 1].members) if number else len(base))


def _mean(found: list[float], around: float) -> float | None:
    """The middle of the parents. In a tube that was cut open, a decrease over the cut has its far foot outside the edge."""
    if around:
        found = [x - around * round((x - found[0]) / around) for x in found]
    return sum(found) / len(found) if found else None


def _base_mark(laps: Laps, i: int, at: Point) -> list[Mark]:
    if not laps.is_chain(i):
        return []
    part = laps.part
    return [Mark(i, part.kinds[part.kind[i]], 0, *at, 0.0, 1.0, (), (at,), None, part.yarns[part.yarn[i]], "", "chain")]


def _row(laps: Laps, lap: Lap, tops: dict[int, Point], low: float, around: float) -> list[Mark]:
    part, parents = laps.part, laps.parents
    span = (lap.round, lap.last) if lap.last > lap.round else None
    marks = []
    for number, i in enumerate(lap.members):
        below = parents[i]
        flat = laps.flat[part.kind[i]]
        beside = [lap.members[j] for j in (number - 1, number + 1) if 0 <= j < len(lap.members)]
        shared = len(below) == 1 and any(parents[j] == below for j in beside)
        head = tops[i]
        feet = tuple(tops[p] for p in below if p in tops)
        if around:
            feet = tuple((x - around * round((x - head[0]) / around), y) for x, y in feet)
        shape = "chain" if flat else "leg" if shared else ""
        if not feet and not flat:
            feet = ((head[0], -low),)
        if flat and number == 0 and part.counts[i]:
            foot = feet[0] if feet else (head[0], -low)
            marks += stack(laps, (*lap.standing[-lap.stacked :], i) if lap.stacked else (i,), foot, head, lap)
            continue
        rotation = turned(feet, head) if feet and not flat else 0.0
        marks.append(
            Mark(i, part.kinds[part.kind[i]], lap.round, *head, rotation, 1.0, feet, (head,), span, part.yarns[part.yarn[i]], loop_of(part, i), shape)
        )
    return marks


def _upright(laps: Laps, lap: Lap, x: float, low: float, high: float) -> list[Mark]:
    """The turning chain beside the first stitch, and above it the slip stitch of a joined round."""
    share = 0.3 if lap.join >= 0 else 0.0
    between = low + (high - low) * (1 - share)
    lifted = lap.standing if not lap.stacked else ()
    marks = stack(laps, lifted, (x, -low), (x, -between), lap)
    if lap.join >= 0:
        marks.append(single(laps, lap.join, (x, -between), (x, -high), lap, ""))
    return marks


def _pointer(lap: Lap, across: dict[int, float], top: float) -> Guide:
    xs = [across[i] for i in lap.members]
    back = lap.way == "row back"
    begin, reach = (min(xs), 2.6) if back else (max(xs), -2.6)
    tail, tip = (begin, -top - 0.45), (begin + reach, -top - 0.45)
    return Guide("arrow", (("M", tail), ("L", tip), *arrow_head(tail, tip)))


def _frame(marks: list[Mark], labels: list[Label], guides: list[Guide], top: float) -> tuple[float, float, float, float]:
    xs = [mark.x + side for mark in marks for side in (-0.7, 0.7)]
    xs += [label.x + side * (0.25 * len(label.text) + 0.2) for label in labels for side in (-1, 1)]
    xs += [numbers[0] for guide in guides for _, numbers in guide.ops if numbers]
    return min(xs), -top - 0.95, max(xs), 0.75
