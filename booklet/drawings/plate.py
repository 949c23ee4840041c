"""Parts and the yarns of their rounds in, a picture of them out: every part once, at one scale, in the colours in which it is worked.

It is for a cover: no names, no numbers, nothing to be measured. Shapes are those of the outlines.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from booklet.drawings.curves import circle
from booklet.drawings.drawing import Drawing, Path
from booklet.drawings.outline import (
    TILT,
    OutlineStyle,
    Shape,
    drawn_size,
    ellipse,
    fitting,
    flat_part,
    in_lines,
    lies_flat,
    silhouette,
    text_at,
)
from booklet.drawings.text import path_text

SEAM = 0.82  # of a colour, the rest black: the lines between its rounds
FINEST_MM = 0.9  # rounds that lie closer on the page have no line each: it would be a grey ground
LONG = 2.5  # width to height
LONE = 0.4  # of the width: a part as wide as this may have a line to itself
INK = "#22201f"


class Worked(NamedTuple):
    """A part as it is shown: its shape, and the colour of each of its rounds or rows."""

    shape: Shape
    fills: tuple[str, ...]  # "#rrggbb", one for each round of the profile, or for each row
    along: bool = False  # of what lies flat: rows lie across its longer side


def plate(parts: Sequence[Worked], style: OutlineStyle, gap_mm: float = 8.0) -> Drawing:
    """The parts in lines, the tallest first, long ones last, in each line the tallest in the middle; the frame is as small as it can be."""
    order = sorted(parts, key=lambda one: _rank(one.shape))
    bare = style._replace(type_mm=0.0)
    shapes = [one.shape._replace(name="") for one in order]
    found = {id(shape): one for shape, one in zip(shapes, order, strict=True)}
    # An overview leaves half a gap between its lines, a plate a whole one: that much less is there for the parts.
    tall = len(in_lines(shapes, fitting(shapes, bare, gap_mm), bare, gap_mm)) * gap_mm / 2
    lower = bare._replace(height_mm=max(bare.height_mm - tall, bare.height_mm / 3))
    scale = _without_lone(shapes, fitting(shapes, lower, gap_mm), bare, gap_mm)
    lines = [_middle_out(line) for line in in_lines(shapes, scale, bare, gap_mm)]
    widths = [sum(drawn_size(one, scale)[0] for one in line) + gap_mm * (len(line) - 1) for line in lines]
    wide = max(widths, default=0.0)
    paths: list[Path] = []
    y = 0.0
    for line, width in zip(lines, widths, strict=True):
        tallest = max(drawn_size(one, scale)[1] for one in line)
        x = (wide - width) / 2
        for shape in line:
            across = drawn_size(shape, scale)[0]
            paths += _drawn(found[id(shape)], scale, style, (x + across / 2, y + tallest))
            x += across + gap_mm
        y += tallest + gap_mm
    edge = style.line_mm
    # An open part bulges a little below its ground.
    frame = (-edge, -edge, wide + edge, y - gap_mm + edge + _bulge(lines[-1], scale) if lines else 0.0)
    return Drawing("", "overview", frame, scale, True, (), tuple(paths), ())


def _rank(shape: Shape) -> tuple[bool, float]:
    """Tall ones first; what is long and low closes the picture at its foot."""
    wide, high = drawn_size(shape, 1.0)
    return wide > LONG * high, -high


def _without_lone(shapes: Sequence[Shape], scale: float, style: OutlineStyle, gap: float) -> float:
    """A scale up to a fifth smaller at which no small part has a line to itself, where there is one."""
    for percent in range(0, 21):
        smaller = scale * (1 - percent / 100)
        lines = in_lines(shapes, smaller, style, gap)
        if len(lines) < 2 or all(len(line) > 1 or drawn_size(line[0], smaller)[0] > LONE * style.width_mm for line in lines):
            return smaller
    return scale


def _middle_out(line: Sequence[Shape]) -> list[Shape]:
    """Tallest in the middle, the others in turn at its right and left."""
    found: list[Shape] = []
    for number, shape in enumerate(line):
        found.insert(len(found) if number % 2 else 0, shape)
    return found


def _bulge(line: Sequence[Shape], scale: float) -> float:
    return max((TILT * shape.profile[0][0] * scale for shape in line if shape.profile and not shape.flat_mm), default=0.0)


def _drawn(one: Worked, scale: float, style: OutlineStyle, ground: tuple[float, float]) -> list[Path]:
    if one.shape.flat_mm:
        return _flat(one, scale, style, ground)
    points = [(radius * scale, height * scale) for radius, height in one.shape.profile]
    if lies_flat(one.shape.profile):
        return _discs(points, one.fills, style, (ground[0], ground[1] - max(radius for radius, _ in points)))
    return _standing(points, one, style, ground)


def _standing(points: list[tuple[float, float]], one: Worked, style: OutlineStyle, ground: tuple[float, float]) -> list[Path]:
    """Seen from the side, a little from above: painted whole in the first colour, then from every change of colour upwards."""
    side = [(0.0, 0.0), *points]
    closed, paths, before = one.shape.closed, [], 0.0
    for number, fill in enumerate(one.fills):
        radius, height = side[number]
        hidden = height <= TILT * radius  # on the underside
        if number and fill == one.fills[number - 1]:
            if not hidden and height - before >= FINEST_MM:
                before = height
                paths.append(Path(_seam(fill), style.line_mm * 0.7, text_at(ellipse(radius, height, back=False), *ground), "line"))
            continue
        stretch = silhouette(side if hidden else side[number:], closed)
        paths.append(Path(fill, 0.0, text_at(stretch, *ground), "body"))
        before = height
    edge = text_at(silhouette(side, closed), *ground)
    if not closed:
        top = points[-1]
        inside = (*ellipse(*top, back=True), *ellipse(*top, back=False, reverse=True)[1:], ("Z", ()))
        paths.append(Path(_seam(one.fills[-1]), 0.0, text_at(inside, *ground), "shade"))
        edge += text_at(ellipse(*top, back=True), *ground) + text_at(ellipse(*top, back=False), *ground)
    return [*paths, Path(INK, style.line_mm, edge, "outline")]


def _discs(points: list[tuple[float, float]], fills: Sequence[str], style: OutlineStyle, centre: tuple[float, float]) -> list[Path]:
    """Seen from above: the widest round below, the others on it."""
    paths: list[Path] = []
    for (radius, _), fill in sorted(zip(points, fills, strict=True), key=lambda pair: -pair[0][0]):
        text = path_text(circle(*centre, radius))
        paths += [Path(fill, 0.0, text, "body"), Path(_seam(fill), style.line_mm * 0.7, text, "line")]
    return [*paths, Path(INK, style.line_mm, path_text(circle(*centre, max(radius for radius, _ in points))), "outline")]


def _flat(one: Worked, scale: float, style: OutlineStyle, ground: tuple[float, float]) -> list[Path]:
    """What lies flat: an oval or a plain piece in one colour, rows as stripes of their colours."""
    if one.shape.oval or len(one.fills) < 2:
        body, edge = flat_part(one.shape, scale, style, ground)
        return [body._replace(ink=one.fills[0] if one.fills else style.body), edge._replace(ink=INK)]
    wide, high = drawn_size(one.shape, scale)
    left, top = ground[0] - wide / 2, ground[1] - high
    step = (wide if one.along else high) / len(one.fills)
    paths = [Path(one.fills[0], 0.0, _box(left, top, left + wide, ground[1]), "body")]
    before = 0.0
    for number, fill in enumerate(one.fills[1:], 1):
        at = number * step
        x, y = (left + at, top) if one.along else (left, top + at)
        if fill != one.fills[number - 1]:
            paths.append(Path(fill, 0.0, _box(x, y, left + wide, ground[1]), "body"))
        if at - before >= FINEST_MM:
            before = at
            line = ((x, y), (x, ground[1]) if one.along else (left + wide, y))
            paths.append(Path(_seam(fill), style.line_mm * 0.7, path_text((("M", line[0]), ("L", line[1]))), "line"))
    return [*paths, Path(INK, style.line_mm, _box(left, top, left + wide, ground[1]), "outline")]


def _box(left: float, top: float, right: float, low: float) -> str:
    return path_text((("M", (left, top)), ("L", (right, top)), ("L", (right, low)), ("L", (left, low)), ("Z", ())))


def _seam(fill: str) -> str:
    """A little darker than the colour; lighter on one that is nearly black."""
    values = [int(fill[k : k + 2], 16) for k in (1, 3, 5)]
    if sum(values) < 120:
        return "#" + "".join(f"{min(255, value + 46):02x}" for value in values)
    return "#" + "".join(f"{round(value * SEAM):02x}" for value in values)
