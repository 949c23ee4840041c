"""A part's profile and what sits on it in, its front and side view to scale out. Where things sit is decided in `puts`."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from booklet.drawings.curves import circle
from booklet.drawings.drawing import Drawing, Label, Ops, Path, Put
from booklet.drawings.outline import TILT, OutlineStyle, Profile, silhouette
from booklet.drawings.rings import spread
from booklet.drawings.text import path_text

EVERY = 5  # rounds that bear a number even where nothing sits on them
DASH = 0.9  # mm of a hidden line's strokes and gaps
APART = 7.0  # mm between the two views
NUMBER_MM = 6.0  # room for the numbers of the rounds at the left
TAGS_MM = 9.0  # room for the numbers of the steps at the right
TAG = 2.1  # mm, radius of the ring round the number of a step


class _Sheet:
    """Paths by ink and weight, labels, and the scale of one drawing."""

    def __init__(self, profile: Profile, style: OutlineStyle, flipped: bool, both: bool) -> None:
        self.style = style
        self.points = [(0.0, 0.0), *profile]
        self.high = max(height for _, height in self.points)
        self.wide = 2 * max(radius for radius, _ in self.points)
        self.flipped = flipped
        room = (style.width_mm - NUMBER_MM - TAGS_MM - APART) / 2
        # Where nothing is told of the sides, one view is drawn, and a smaller one says as much.
        tall = (style.height_mm - 2 * style.type_mm - 4) * (1.0 if both else 0.6)
        self.scale = min(room / max(self.wide, 1e-6), tall / max(self.high + TILT * self.wide, 1e-6))
        self.paths: dict[tuple[str, float, str], list[str]] = {}
        self.labels: list[Label] = []

    def add(self, ops: Ops, ink: str, width: float, role: str) -> None:
        self.paths.setdefault((ink, width, role), []).append(path_text(ops))

    def y(self, height: float) -> float:
        """On the page, the ground at 0."""
        return -(self.high - height if self.flipped else height) * self.scale

    def at(self, place: float) -> tuple[float, float]:
        """Radius and height of the top of a round; between two rounds for a broken number."""
        low = min(max(int(place), 0), len(self.points) - 1)
        high = min(low + 1, len(self.points) - 1)
        share = place - low
        (r0, z0), (r1, z1) = self.points[low], self.points[high]
        return r0 + (r1 - r0) * share, z0 + (z1 - z0) * share


def placement(
    name: str,
    profile: Profile,
    labels: Sequence[str],
    put: Sequence[Put],
    style: OutlineStyle,
    closed: bool = True,
    flipped: bool = False,
    views: tuple[str, str] = ("", ""),
) -> Drawing:
    """Draw a part from the front and from its own left side.

    `labels` are the printed numbers of its rounds (labels[0] of the first), `views` the words below the two views. Hidden
    pieces are dashed. The scale is `symbol_mm`: mm on paper for a mm of fabric.
    """
    both = any(one.angles or one.line for one in put)
    sheet = _Sheet(profile, style, flipped, both)
    wide = sheet.wide * sheet.scale
    front, side = 0.0, wide + APART if both else 0.0
    shown = sorted({place for one in put for place in (one.first, one.last)} | set(range(EVERY, len(profile) + 1, EVERY)))
    for x in dict.fromkeys((front, side)):
        _body(sheet, x, closed, shown)
    _numbers(sheet, front, labels, shown, {place for one in put for place in (one.first, one.last)})
    anchors: list[tuple[float, float, str]] = []
    for one in put:
        spots = _piece(sheet, one, front, side)
        if one.number and spots:
            anchors.append((*max(spots), one.number))
    _tags(sheet, anchors, side + wide / 2)
    for x, words in ((front, views[0]), (side, views[1])):
        if words and both:
            sheet.labels.append(Label(words, x, style.type_mm * 1.3 + TILT * wide / 2, style.type_mm, "view"))
    low = (2.4 * style.type_mm if both and any(views) else 1.0) + TILT * wide / 2
    frame = (-wide / 2 - NUMBER_MM, sheet.y(0 if flipped else sheet.high) - TILT * wide / 2 - 1.5, side + wide / 2 + TAGS_MM, low)
    paths = tuple(Path(ink, width, "".join(texts), role) for (ink, width, role), texts in sheet.paths.items())
    rounds = (1, len(profile))
    return Drawing(name, "placement", frame, sheet.scale, True, (), paths, tuple(sheet.labels), (), rounds)


def _body(sheet: _Sheet, x: float, closed: bool, shown: Sequence[int]) -> None:
    style = sheet.style
    upright = [(radius, sheet.high - height) for radius, height in reversed(sheet.points)] if sheet.flipped else sheet.points
    shape = silhouette(upright, closed or sheet.flipped)
    moved = tuple(
        (op, tuple(x + n * sheet.scale if k % 2 == 0 else -n * sheet.scale for k, n in enumerate(numbers))) for op, numbers in shape
    )
    sheet.add(moved, style.body, 0.0, "body")
    for place in shown:
        radius, height = sheet.at(place)
        sheet.add(_level(sheet, x, radius, height), style.quiet, round(style.line_mm * 0.5, 3), "line")
    sheet.add(moved, style.ink, style.line_mm, "outline")


def _level(sheet: _Sheet, x: float, radius: float, height: float) -> Ops:
    """The front half of a round, seen a little from above."""
    r, y = radius * sheet.scale, sheet.y(height)
    bow = TILT * r * 4 / 3
    return (("M", (x - r, y)), ("C", (x - r, y + bow, x + r, y + bow, x + r, y)))


def _numbers(sheet: _Sheet, x: float, labels: Sequence[str], shown: Sequence[int], used: set[int]) -> None:
    """Round numbers in a column at the left, those that something sits on first; others where there is room."""
    size = sheet.style.type_mm * 0.85
    column = x - sheet.wide / 2 * sheet.scale - 1.0
    taken: list[float] = []
    for place in sorted(shown, key=lambda place: (place not in used, place)):
        radius, height = sheet.at(place)
        y = sheet.y(height)
        if place <= len(labels) and all(abs(y - other) > size * 0.95 for other in taken):
            taken.append(y)
            sheet.labels.append(Label(labels[place - 1], column - 2.0, y, size, "round"))
            if place in used:
                sheet.add((("M", (column, y)), ("L", (x - radius * sheet.scale, y))), sheet.style.quiet, 0.12, "leader")


def _piece(sheet: _Sheet, one: Put, front: float, side: float) -> list[tuple[float, float]]:
    """Draw one thing in both views; gives its visible middles in the side view, else in the front view, for its number."""
    style = sheet.style
    if one.kind == "line" and one.line:
        return _embroidery(sheet, one, front, side)
    # It covers the rounds from the lower edge of the first to the top of the last, or lies on the line between two.
    low, high = (one.first, one.first) if one.between else (one.first - 1, one.last)
    radius, height = sheet.at((low + high) / 2)
    tall = abs(sheet.at(high)[1] - sheet.at(low)[1])
    if not one.angles:
        for x in dict.fromkeys((front, side)):
            for place in dict.fromkeys((low, high)):
                r, z = sheet.at(place)
                _dashes(sheet, _level(sheet, x, r, z), style.ink, role="band")
        return [(side + radius * sheet.scale, sheet.y(height))]
    spots: list[tuple[float, float]] = []
    size = one.wide_mm or 2.0
    half_wide, half_high = size / 2, max(tall / 2, size / 2 if one.kind == "eye" else 1.2)
    for angle in one.angles:
        phi = math.radians(angle)
        for x, across, towards in ((front, math.sin(phi), math.cos(phi)), (side, -math.cos(phi), math.sin(phi))):
            spot = (x + radius * across * sheet.scale, sheet.y(height) + TILT * radius * max(towards, 0.0) * sheet.scale)
            flat = max(abs(towards), 0.12)
            # A wide piece bends round its host: it is never drawn wider than the host is from its middle to its edge.
            rx = min(half_wide * flat, radius * 0.98) * sheet.scale
            shape = _ellipse(*spot, rx, half_high * sheet.scale)
            if towards < -0.05:
                _dashes(sheet, shape, style.quiet)
            elif one.kind == "eye":
                sheet.add(shape, style.ink, 0.0, "eyes")
            else:
                sheet.add(shape, style.shade, 0.0, "shade")
                sheet.add(shape, style.ink, style.line_mm, "piece")
            if towards >= -0.05:
                spots.append((spot[0] + rx * 0.7, spot[1]))
    return spots or [(front + radius * sheet.scale, sheet.y(height))]


def _embroidery(sheet: _Sheet, one: Put, front: float, side: float) -> list[tuple[float, float]]:
    """A line on the surface between its points, in short pieces; what lies behind is dashed."""
    spots: list[tuple[float, float]] = []
    for (r0, a0), (r1, a1) in pairwise(one.line):
        for x, is_front in ((front, True), (side, False)):
            ops: list[tuple[str, tuple[float, ...]]] = []
            seen = []
            for k in range(13):
                place, phi = r0 + (r1 - r0) * k / 12, math.radians(a0 + (a1 - a0) * k / 12)
                radius, height = sheet.at(place)
                across, towards = (math.sin(phi), math.cos(phi)) if is_front else (-math.cos(phi), math.sin(phi))
                spot = (x + radius * across * sheet.scale, sheet.y(height) + TILT * radius * max(towards, 0) * sheet.scale)
                ops.append(("L" if k else "M", spot))
                seen.append(towards >= -0.05)
            if all(seen):
                sheet.add(tuple(ops), sheet.style.ink, round(sheet.style.line_mm * 2, 3), "embroidery")
                spots.append(ops[-1][1][:2])  # type: ignore[arg-type]
            else:
                _dashes(sheet, tuple(ops), sheet.style.quiet)
    return spots


def _ellipse(x: float, y: float, wide: float, high: float) -> Ops:
    return tuple(
        (op, tuple(x + n * wide if k % 2 == 0 else y + n * high for k, n in enumerate(numbers))) for op, numbers in circle(0.0, 0.0, 1.0)
    )


def _dashes(sheet: _Sheet, ops: Ops, ink: str, role: str = "hidden") -> None:
    """A line in short strokes, cut here: the drawing has no dash patterns."""
    points: list[tuple[float, float]] = []
    for op, n in ops:
        if op == "C":
            x0, y0 = points[-1]
            for k in range(1, 13):
                t = k / 12
                a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
                points.append((a * x0 + b * n[0] + c * n[2] + d * n[4], a * y0 + b * n[1] + c * n[3] + d * n[5]))
        elif n:
            points.append((n[0], n[1]))
    made: list[tuple[str, tuple[float, ...]]] = []
    gone, on = 0.0, True
    for a, b in pairwise(points):
        long = math.dist(a, b)
        at = 0.0
        while at < long - 1e-9:
            step = min(DASH - gone, long - at)
            p, q = (tuple(a[i] + (b[i] - a[i]) * t / long for i in (0, 1)) for t in (at, at + step))
            if on:
                made += [("M", p), ("L", q)]
            at, gone = at + step, gone + step
            if gone >= DASH - 1e-9:
                gone, on = 0.0, not on
    sheet.add(tuple(made), ink, round(sheet.style.line_mm * 0.8, 3), role)


def _tags(sheet: _Sheet, anchors: list[tuple[float, float, str]], right: float) -> None:
    """Numbers of the steps at the right, each with a line to what it means."""
    style = sheet.style
    order = sorted(anchors, key=lambda anchor: anchor[1])
    ys = spread([y for _, y, _ in order], TAG * 2.3)
    x = right + TAGS_MM - TAG - 0.5
    for (ax, ay, number), y in zip(order, ys, strict=True):
        sheet.add((("M", (ax, ay)), ("L", (x - TAG, y))), style.ink, round(style.line_mm * 0.5, 3), "leader")
        sheet.add(circle(x, y, TAG), "#ffffff", 0.0, "tag")
        sheet.add(circle(x, y, TAG), style.ink, round(style.line_mm * 0.8, 3), "tag-ring")
        sheet.labels.append(Label(number, x, y, style.type_mm, "step"))


def check_bar(words: str, style: OutlineStyle, length_mm: float = 50.0) -> Drawing:
    """A bar of exactly this length with a mark at every cm: what is printed at 100 % is measured by it."""
    ops: list[tuple[str, tuple[float, ...]]] = [("M", (0.0, 0.0)), ("L", (length_mm, 0.0))]
    for k in range(round(length_mm / 10) + 1):
        x = min(k * 10.0, length_mm)
        ops += [("M", (x, -2.0 if k in (0, round(length_mm / 10)) else -1.2)), ("L", (x, 0.0))]
    label = Label(words, length_mm / 2, -2.4 - style.type_mm / 2, style.type_mm, "bar")
    frame = (-0.5, -3.6 - style.type_mm, length_mm + 0.5, 0.5)
    return Drawing("", "bar", frame, 1.0, True, (), (Path(style.ink, style.line_mm, path_text(tuple(ops)), "bar"),), (label,))
