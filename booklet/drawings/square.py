"""A round panel in, the same with four corners out where its rounds turn four corners, as squares of groups do; else as it was.

Rings become squares: how far along its side a stitch stands is how far it stood between two corners of its ring.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from booklet.drawings.drawing import Guide, Label, Mark, Placed, Point
from booklet.drawings.marks import LABEL, label_width, turned
from booklet.graph.graph import PartGraph

# Half a side to the radius of its ring. Two chains that meet over a corner are then still a symbol apart: each stands about
# 0.5 · WIDE · 4/pi from it, a little less where a start lane takes room, and the way across is the diagonal of that square.
WIDE = 1.19
EIGHTH = math.pi / 4

Corners = tuple[float, float, float, float]  # angles against the clock from the right, rising, of one round


def squared(placed: Placed, part: PartGraph) -> Placed:
    """Turn the rings of a panel into squares if every one of its rounds has four corners: chains between stitches in one place."""
    rounds: dict[int, list[Mark]] = {}
    for mark in placed.marks:
        if mark.round and mark.shape != "upright" and (part.counts[mark.stitch] or mark.shape == "chain"):
            rounds.setdefault(mark.round, []).append(mark)
    corners: dict[int, Corners] = {}
    for number, marks in rounds.items():
        found = _corners(marks, part)
        if found is None:
            return placed
        corners[number] = found
    if len(corners) < 2:
        return placed
    inner = math.hypot(*next(iter(rounds.values()))[0].feet[0]) if rounds[min(rounds)][0].feet else 0.0
    first = max(math.hypot(mark.x, mark.y) for mark in rounds[min(rounds)])
    return _Square(corners, inner, first).panel(placed)


def _corners(marks: list[Mark], part: PartGraph) -> Corners | None:
    """The angles of the four runs of chains that lie between two stitches of one place; None where there are not four."""
    count, found, at = len(marks), [], 0
    order = sorted(marks, key=lambda mark: mark.stitch)
    while at < count:
        if order[at].shape != "chain":
            at += 1
            continue
        stop = at
        while stop < count and order[stop].shape == "chain":
            stop += 1
        before, after = order[at - 1], order[stop % count]
        same = list(part.parents_of(before.stitch)) == list(part.parents_of(after.stitch))
        if same and stop - at > 1:
            x, y = (sum(mark[k] for mark in order[at:stop]) for k in (3, 4))
            found.append(math.atan2(-y, x))
        at = stop
    if len(found) != 4:
        return None
    rising = [found[0]]
    for angle in found[1:]:
        rising.append(angle + 2 * math.pi * math.ceil((rising[-1] - angle) / (2 * math.pi)))
    return tuple(rising) if rising[3] - rising[0] < 2 * math.pi else None  # type: ignore[return-value]


def cornered(panels: Sequence[Placed]) -> bool:
    """Has the outermost ring of the first panel corners? They lie further from the middle than its sides."""
    marks = panels[0].marks if panels and panels[0].form == "round" else ()
    last = max((mark.round for mark in marks), default=0)
    away = [math.hypot(mark.x, mark.y) for mark in marks if mark.round == last and mark.shape != "upright"]
    return len(away) > 3 and max(away) > 1.25 * min(away)


class _Square:
    """The way from a point of the rings to a point of the squares."""

    def __init__(self, corners: Mapping[int, Corners], inner: float, first: float) -> None:
        self.corners, self.inner, self.first = corners, inner, first
        # Turned as little as may be, all rounds alike: the first corner goes to the nearest diagonal.
        means = [sum(four) / 4 - 3 * EIGHTH for four in corners.values()]
        mean = sum(means) / len(means)
        self.base = EIGHTH + 2 * EIGHTH * round((mean - EIGHTH) / (2 * EIGHTH))
        self.turn = self.base - mean

    def angle(self, angle: float, number: int) -> float:
        """The angle on the square of a round: its corners lie on the diagonals, everything between is in proportion."""
        four = self.corners.get(number)
        if four is None:
            return angle + self.turn
        angle += 2 * math.pi * math.ceil((four[0] - angle) / (2 * math.pi) - 1e-12)
        ends = (*four, four[0] + 2 * math.pi)
        k = max(k for k in range(4) if ends[k] <= angle + 1e-12)
        return self.base + 2 * EIGHTH * (k + (angle - ends[k]) / (ends[k + 1] - ends[k]))

    def at(self, radius: float, angle: float) -> Point:
        """The point of the square whose ring had this radius; near the middle it is a circle still."""
        side = round(angle / (2 * EIGHTH))
        along = (angle - side * 2 * EIGHTH) / EIGHTH
        half = WIDE * radius
        cos, sin = math.cos(side * 2 * EIGHTH), math.sin(side * 2 * EIGHTH)
        square = (half * cos - half * along * sin, -(half * sin + half * along * cos))
        share = min(max((radius - self.inner) / max(self.first - self.inner, 1e-6), 0.0), 1.0)
        round_one = (radius * math.cos(angle), -radius * math.sin(angle))
        return round_one[0] + share * (square[0] - round_one[0]), round_one[1] + share * (square[1] - round_one[1])

    def point(self, point: Point, number: int) -> Point:
        """A point of a round."""
        return self.at(math.hypot(*point), self.angle(math.atan2(-point[1], point[0]), number))

    def mark(self, mark: Mark, below: int) -> Mark:
        """A stitch: its heads on its own square, its feet on the one below."""
        heads = tuple(self.point(head, mark.round) for head in mark.heads)
        feet = tuple(self.point(foot, mark.round if mark.shape == "upright" else below) for foot in mark.feet)
        if mark.shape == "chain" or not feet:
            way = self.angle(math.atan2(-mark.y, mark.x), mark.round)
            near = way / (2 * EIGHTH) - round(way / (2 * EIGHTH))
            rotation = 90 - math.degrees(way if abs(near) > 0.49 else 2 * EIGHTH * round(way / (2 * EIGHTH)))
        else:
            rotation = turned(feet, heads[0])
        return mark._replace(x=heads[0][0], y=heads[0][1], heads=heads, feet=feet, rotation=rotation)

    def guide(self, guide: Guide) -> Guide:
        """A band or arrow, in short straight pieces; the ring in the middle stays."""
        if guide.role == "ring":
            return guide
        ops: list[tuple[str, tuple[float, ...]]] = []
        last = (0.0, 0.0)
        for op, n in guide.ops:
            pieces = [] if not n else [(n[0], n[1])] if op != "C" else [_bezier(last, n, k / 10) for k in range(1, 11)]
            kind = "L" if op == "C" else op
            ops += [(kind, self.at(math.hypot(*spot), math.atan2(-spot[1], spot[0]) + self.turn)) for spot in pieces]
            last = pieces[-1] if pieces else last
            if op == "Z":
                ops.append(("Z", ()))
        return Guide(guide.role, tuple(ops))

    def panel(self, placed: Placed) -> Placed:
        """The whole panel, with a frame of its own."""
        numbers = sorted(self.corners)
        under = {number: numbers[k - 1] if k else number for k, number in enumerate(numbers)}
        marks = tuple(self.mark(mark, under.get(mark.round, mark.round)) for mark in placed.marks)
        named = {line.label: line.first for line in placed.lines}
        labels = tuple(self._label(label, named.get(label.text.split(" ")[0], 0)) for label in placed.labels)
        guides = tuple(self.guide(guide) for guide in placed.guides)
        return _framed(placed, marks, labels, guides)

    def _label(self, label: Label, number: int) -> Label:
        if label.role == "chains":
            return label
        x, y = self.point((label.x, label.y), number)
        return label._replace(x=x, y=y)


def _framed(placed: Placed, marks: tuple[Mark, ...], labels: tuple[Label, ...], guides: tuple[Guide, ...]) -> Placed:
    spots = [spot for mark in marks for spot in (*mark.heads, *mark.feet)]
    spots += [(label.x + side * label_width(label.text) / 2, label.y + side * LABEL / 2) for label in labels for side in (-1, 1)]
    spots += [(n[k], n[k + 1]) for guide in guides for _, n in guide.ops for k in range(0, len(n), 2)]
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    frame = (min(xs) - 0.55, min(ys) - 0.55, max(xs) + 0.55, max(ys) + 0.55)
    return Placed(placed.part, placed.form, marks, labels, guides, frame, placed.rounds, placed.way, placed.lines)


def _bezier(start: Point, n: tuple[float, ...], t: float) -> Point:
    a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
    return a * start[0] + b * n[0] + c * n[2] + d * n[4], a * start[1] + b * n[1] + c * n[3] + d * n[5]
