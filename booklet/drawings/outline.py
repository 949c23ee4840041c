"""A part's profile in, its silhouette out: the small drawing that grows beside the rounds, and all parts at one scale.

Profiles come from the figures in mm of fabric; here they are only scaled. Rounds are counted from the bottom.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from booklet.drawings.curves import circle
from booklet.drawings.drawing import Drawing, Label, Ops, Path
from booklet.drawings.text import path_text

Profile = Sequence[tuple[float, float]]  # radius and height above the start, of the top of every round, in mm

FLAT = 0.22  # height to width: a part flatter than this is seen from above
TILT = 0.13  # height to width of a round seen from the side, a little from above


class OutlineStyle(NamedTuple):
    """How a silhouette is drawn."""

    width_mm: float
    height_mm: float
    ink: str = "#22201f"
    quiet: str = "#a8a29c"
    body: str = "#f6f4f0"  # of the whole part
    shade: str = "#d9d4cb"  # of the rounds that are being worked
    line_mm: float = 0.3
    type_mm: float = 2.6
    most: float = 1e9  # mm on paper for a mm of fabric: 1 draws nothing larger than life


class Shape(NamedTuple):
    """One part of an overview: a profile, or the sides of what lies flat."""

    profile: Profile
    closed: bool
    make: int
    flat_mm: tuple[float, float] | None = None  # longer and shorter side
    oval: bool = False  # with round ends
    name: str = ""


def outline(
    profile: Profile,
    style: OutlineStyle,
    closed: bool = True,
    rounds: Sequence[int] = (),
    worked: tuple[int, int] | None = None,
    dots: Sequence[tuple[float, float]] = (),
    name: str = "",
) -> Drawing:
    """Draw one part. `rounds` get a line each, `worked` = first and last round of the stretch to be shaded.

    Rounds count from 1 as in the profile. `dots` are eyes: (sideways, height) in mm of fabric.
    """
    scale = _scale([profile], style)
    paths, box = _part(profile, scale, style, closed, rounds, worked, dots)
    margin = style.line_mm
    frame = (box[0] - margin, box[1] - margin, box[2] + margin, box[3] + margin)
    return Drawing(name, "outline", frame, scale, True, (), tuple(paths), ())


def overview(parts: Sequence[Shape], style: OutlineStyle, gap_mm: float = 5.0) -> Drawing:
    """All parts at one scale in lines, standing on a common ground; each with its name and how often it is made.

    The order is kept. What lies flat is seen from above, its longer side along the page. Labels have the role "count".
    """
    scale = fitting(parts, style, gap_mm)
    paths: list[Path] = []
    labels: list[Label] = []
    y = 0.0
    for line in in_lines(parts, scale, style, gap_mm):
        tallest = max(drawn_size(part, scale)[1] for part in line)
        x = 0.0
        for part in line:
            wide = _wide(part, scale, style)
            ground = (x + wide / 2, y + tallest)
            if part.flat_mm:
                paths += flat_part(part, scale, style, ground)
            else:
                paths += _part(part.profile, scale, style, part.closed, (), None, (), ground)[0]
            labels.append(Label(_count(part), x + wide / 2, y + tallest + style.type_mm, style.type_mm, "count"))
            x += wide + gap_mm
        y += tallest + 2 * style.type_mm + gap_mm / 2
    merged: dict[tuple[str, float, str], list[str]] = {}
    for path in paths:
        merged.setdefault((path.ink, path.width, path.role), []).append(path.d)
    # A short name of wide letters at the left end may be wider than it was reckoned.
    left = min((label.x - WIDER * len(label.text) * label.size / 2 for label in labels), default=0.0)
    frame = (min(-style.line_mm, left), -style.line_mm, style.width_mm - style.line_mm, y)
    found = tuple(Path(ink, width, "".join(texts), role) for (ink, width, role), texts in merged.items())
    return Drawing("", "overview", frame, scale, y <= style.height_mm + 0.01, (), found, tuple(labels))


LONGEST = 30  # letters of a name below a part; a longer one stands in the list of parts only


def _count(part: Shape) -> str:
    if len(part.name) > LONGEST:
        return f"×{part.make}"
    return f"{part.name} ×{part.make}" if part.name and part.make > 1 else part.name or f"×{part.make}"


WIDER = 0.62  # width of a wide letter
LETTER = 0.52  # width of a letter of the labels, in type sizes; on the safe side for most names


def _wide(part: Shape, scale: float, style: OutlineStyle) -> float:
    """The room that a part takes in its line: its own width, or that of the words below it."""
    words = len(_count(part)) * LETTER * style.type_mm if part.name else 0.0
    return max(drawn_size(part, scale)[0], words)


def drawn_size(part: Shape, scale: float) -> tuple[float, float]:
    """Width and height on the page."""
    return (part.flat_mm[0] * scale, part.flat_mm[1] * scale) if part.flat_mm else _extent(part.profile, scale)


def flat_part(part: Shape, scale: float, style: OutlineStyle, ground: tuple[float, float]) -> list[Path]:
    """A part that lies flat, seen from above: its longer side along the page, `ground` the middle of its lower edge."""
    wide, high = drawn_size(part, scale)
    (x, y), corner = ground, (high / 2 if part.oval else min(1.0, high / 4))
    k = corner * 0.4477  # what is left of a quarter circle's handle
    left, right, top = x - wide / 2, x + wide / 2, y - high
    ops: Ops = (
        ("M", (left + corner, top)), ("L", (right - corner, top)),
        ("C", (right - k, top, right, top + k, right, top + corner)), ("L", (right, y - corner)),
        ("C", (right, y - k, right - k, y, right - corner, y)), ("L", (left + corner, y)),
        ("C", (left + k, y, left, y - k, left, y - corner)), ("L", (left, top + corner)),
        ("C", (left, top + k, left + k, top, left + corner, top)), ("Z", ()),
    )  # fmt: skip
    text = path_text(ops)
    return [Path(style.body, 0.0, text, "body"), Path(style.ink, style.line_mm, text, "outline")]


def _extent(profile: Profile, scale: float) -> tuple[float, float]:
    """Width and height on the page."""
    wide = 2 * max((radius for radius, _ in profile), default=0.0)
    high = max((height for _, height in profile), default=0.0)
    return wide * scale, (wide if lies_flat(profile) else high + TILT * wide / 2) * scale


def lies_flat(profile: Profile) -> bool:
    """Is it so flat that it is seen from above?"""
    wide = 2 * max((radius for radius, _ in profile), default=0.0)
    high = max((height for _, height in profile), default=0.0)
    return high < FLAT * wide


def _scale(profiles: Sequence[Profile], style: OutlineStyle) -> float:
    return min(style.most, *(_room(_extent(profile, 1.0), style) for profile in profiles))


def _room(size: tuple[float, float], style: OutlineStyle) -> float:
    margin = 2 * style.line_mm
    return min((style.width_mm - margin) / max(size[0], 1e-6), (style.height_mm - margin) / max(size[1], 1e-6))


def fitting(parts: Sequence[Shape], style: OutlineStyle, gap: float) -> float:
    """The largest scale at which all lines fit, by halving: 24 steps are exact to a ten-millionth."""
    low, high = 0.0, min((min(_room(drawn_size(part, 1.0), style), style.most) for part in parts), default=1.0)
    if high >= style.most and _tall(parts, high, style, gap) <= style.height_mm:
        return high
    for _ in range(24):
        middle = (low + high) / 2
        low, high = (middle, high) if _tall(parts, middle, style, gap) <= style.height_mm else (low, middle)
    return low


def _tall(parts: Sequence[Shape], scale: float, style: OutlineStyle, gap: float) -> float:
    return sum(
        max(drawn_size(part, scale)[1] for part in line) + 2 * style.type_mm + gap / 2 for line in in_lines(parts, scale, style, gap)
    )


def in_lines(parts: Sequence[Shape], scale: float, style: OutlineStyle, gap: float) -> list[list[Shape]]:
    """The parts in lines of the style's width, in their order."""
    lines: list[list[Shape]] = []
    used = 0.0
    for part in parts:
        wide = _wide(part, scale, style)
        if not lines or used + gap + wide > style.width_mm - 2 * style.line_mm:
            lines.append([])
            used = -gap
        lines[-1].append(part)
        used += gap + wide
    return lines


def _part(
    profile: Profile,
    scale: float,
    style: OutlineStyle,
    closed: bool,
    rounds: Sequence[int],
    worked: tuple[int, int] | None,
    dots: Sequence[tuple[float, float]],
    ground: tuple[float, float] = (0.0, 0.0),
) -> tuple[list[Path], tuple[float, float, float, float]]:
    x0, y0 = ground
    points = [(radius * scale, height * scale) for radius, height in profile]
    if not points:
        return [], (x0, y0, x0, y0)
    wide, high = _extent(profile, scale)
    if lies_flat(profile):
        return _from_above(points, style, rounds, worked, (x0, y0 - wide / 2)), (x0 - wide / 2, y0 - wide, x0 + wide / 2, y0)
    side = [(0.0, 0.0), *points]
    paths = [Path(style.body, 0.0, text_at(silhouette(side, closed), x0, y0), "body")]
    if worked is not None:
        first, last = max(worked[0], 1), min(worked[1], len(points))
        if side[first - 1][1] <= TILT * side[first - 1][0]:
            first = 1
        stretch = silhouette(side[first - 1 : last + 1], closed and last == len(points))
        paths.append(Path(style.shade, 0.0, text_at(stretch, x0, y0), "shade"))
    # A round on the underside would show below the silhouette: it is hidden there.
    shown = [points[r - 1] for r in rounds if 1 <= r <= len(points) and points[r - 1][1] > TILT * points[r - 1][0]]
    lines = "".join(text_at(ellipse(radius, height, back=False), x0, y0) for radius, height in shown)
    if lines:
        paths.append(Path(style.quiet, round(style.line_mm * 0.6, 3), lines, "line"))
    edge = text_at(silhouette(side, closed), x0, y0)
    if not closed:
        edge += text_at(ellipse(*points[-1], back=True), x0, y0) + text_at(ellipse(*points[-1], back=False), x0, y0)
    paths.append(Path(style.ink, style.line_mm, edge, "outline"))
    eyes = "".join(path_text(circle(x0 + x * scale, y0 - height * scale, max(0.5, 1.6 * scale))) for x, height in dots)
    if eyes:
        paths.append(Path(style.ink, 0.0, eyes, "eyes"))
    return paths, (x0 - wide / 2, y0 - high, x0 + wide / 2, y0)


def _from_above(
    points: list[tuple[float, float]],
    style: OutlineStyle,
    rounds: Sequence[int],
    worked: tuple[int, int] | None,
    centre: tuple[float, float],
) -> list[Path]:
    widest = max(radius for radius, _ in points)
    paths = [Path(style.body, 0.0, path_text(circle(*centre, widest)), "body")]
    if worked is not None:
        first, last = max(worked[0], 1), min(worked[1], len(points))
        paths.append(Path(style.shade, 0.0, path_text(circle(*centre, points[last - 1][0])), "shade"))
        if first > 1:
            paths.append(Path(style.body, 0.0, path_text(circle(*centre, points[first - 2][0])), "body"))
    lines = "".join(path_text(circle(*centre, points[r - 1][0])) for r in rounds if 1 <= r <= len(points))
    if lines:
        paths.append(Path(style.quiet, round(style.line_mm * 0.6, 3), lines, "line"))
    paths.append(Path(style.ink, style.line_mm, path_text(circle(*centre, widest)), "outline"))
    return paths


def silhouette(side: Sequence[tuple[float, float]], closed: bool) -> Ops:
    """The edge of a part seen from the side, from (radius, height) of every round; y upwards, in the unit that comes in.

    Up the right side, over the top, down the left. Lower edge and an open upper edge are bowed a little.
    """
    right = [*side, (0.0, side[-1][1])] if closed and side[-1][0] > 1e-6 else list(side)
    ops: list[tuple[str, tuple[float, ...]]] = [("M", right[0]), *_smooth(right)]
    left = [(-x, y) for x, y in reversed(right)]
    if left[0] != right[-1]:
        ops += ellipse(*right[-1], back=False, reverse=True)[1:]
    ops += _smooth(left)
    if right[0][0] > 1e-6:
        ops += ellipse(*right[0], back=False)[1:]
    return (*ops, ("Z", ()))


def _smooth(points: Sequence[tuple[float, float]]) -> list[tuple[str, tuple[float, ...]]]:
    """Curves through all points; tangents along the neighbours, shortened where two points lie close."""
    ops: list[tuple[str, tuple[float, ...]]] = []
    last = len(points) - 1
    for k in range(last):
        p1, p2 = points[k], points[k + 1]
        # Beyond the axis the silhouette goes on as its own mirror image, so a pole is round and not pointed.
        p0 = points[k - 1] if k else (-p2[0], p2[1]) if abs(p1[0]) < 1e-6 else p1
        p3 = points[k + 2] if k + 2 <= last else (-p1[0], p1[1]) if abs(p2[0]) < 1e-6 else p2
        a = (p1[0] + (p2[0] - p0[0]) / 6, p1[1] + (p2[1] - p0[1]) / 6)
        b = (p2[0] - (p3[0] - p1[0]) / 6, p2[1] - (p3[1] - p1[1]) / 6)
        ops.append(("C", (*a, *b, *p2)))
    return ops


def ellipse(radius: float, height: float, back: bool, reverse: bool = False) -> Ops:
    """Half of a level round, seen a little from above: its front from left to right, or its back."""
    bow = (1 if back else -1) * TILT * radius * 4 / 3
    sign = -1 if reverse else 1
    return (("M", (-sign * radius, height)), ("C", (-sign * radius, height + bow, sign * radius, height + bow, sign * radius, height)))


def text_at(ops: Ops, x0: float, y0: float) -> str:
    """Path data of a shape whose y goes upwards, put on the page."""
    return path_text(tuple((op, tuple((x0 + n if k % 2 == 0 else y0 - n) for k, n in enumerate(numbers))) for op, numbers in ops))
