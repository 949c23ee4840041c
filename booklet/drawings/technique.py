"""Comes in: the panels of a technique as they are written in its drawing.toml. Goes out: drawings of yarn, hook and arrows; no words.

All lengths in mm on a field of 45 by 30, which is the size in print. Lines are never thinner than 0.25 mm there.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from booklet.drawings.curves import arrow_head
from booklet.drawings.drawing import Drawing, Path, Point
from booklet.drawings.technique_shapes import hook_shape, needle_shape, row_threads
from booklet.drawings.yarn_paths import Band, Thread, bands, sides, thread
from booklet.tables.reader import TableFault

WIDTH, HEIGHT = 45.0, 30.0  # the field
YARN = 1.8  # width of a thread
LINE = 0.3  # of contours: more than a quarter of a millimetre, so that every press holds it
THIN = 0.25  # of the plies and of fabric far away
INK = "#22201f"
# Fills by kind: the active loop is the one strong tone, in grey too.
FILLS = {"work": "#f6f1e7", "active": "#e07b2a", "end": "#d9d2c4", "other": "#5d7f9c", "quiet": "#fbf9f5"}
PLIES = {"work": "#bdb3a1", "active": "#8a4312", "end": "#a59c8c", "other": "#2f4a60", "quiet": "#ded8cc"}
CONTOURS = {"quiet": "#9a948b"}
METAL = "#d5dade"
FABRIC = "#efeae0"  # far away
ARROW = "#b3261e"
ARROW_WIDTH = 0.7
KEYS = {"step", "yarn", "hook", "needle", "row", "loop", "arrow", "mark", "height"}
SHAPES = ("dot", "ring", "cross", "line", "shade")


def panels(name: str, written: Sequence[Mapping[str, Any]], left_handed: bool = False) -> tuple[tuple[int, Drawing], ...]:
    """The drawings of a technique with the numbers of their steps; mirrored for the left hand."""
    file = f"techniques/{name}/drawing.toml"
    found = []
    for number, panel in enumerate(written, 1):
        if surplus := set(panel) - KEYS:
            raise TableFault(file, 1, f"panel {number}: no {min(surplus)!r} in a drawing; there are {', '.join(sorted(KEYS))}")
        try:
            found.append((int(panel["step"]), _panel(name, panel, left_handed)))
        except (KeyError, IndexError, TypeError, ValueError) as fault:
            raise TableFault(file, 1, f"panel {number} cannot be drawn ({fault!r})") from fault
    return tuple(found)


def threads(panel: Mapping[str, Any]) -> list[Thread]:
    """All threads of a panel: rows of stitches, loops on the hook, and those that are written point by point."""
    found: list[Thread] = []
    for row in panel.get("row", ()):
        found += row_threads(row, YARN)
    for loop in panel.get("loop", ()):
        found.append(_loop(panel, loop))
    found += [
        thread(one["points"], float(one.get("width", YARN)), one.get("kind", "work"), bool(one.get("closed", False)))
        for one in panel.get("yarn", ())
    ]
    return found


def written_threads(panel: Mapping[str, Any]) -> int:
    """How many of them are written point by point; they are the last ones."""
    return len(panel.get("yarn", ()))


def _loop(panel: Mapping[str, Any], loop: Mapping[str, Any]) -> Thread:
    """A loop round the shaft of the hook: up behind it, over it, and down in front."""
    hook = panel["hook"][0]
    (tx, ty), angle = hook["tip"], math.radians(hook.get("angle", 0))
    ax, ay = math.cos(angle), math.sin(angle)
    nx, ny = -ay, ax  # towards the fabric: down where the hook lies level
    at, lean = float(loop["at"]), float(loop.get("lean", 1.5))
    x, y = tx + ax * at, ty + ay * at

    def by_hook(along: float, across: float, height: float) -> tuple[float, float, float]:
        return x + ax * along + nx * across, y + ay * along + ny * across, height

    feet = [tuple(foot) for foot in loop.get("feet", ())] or [by_hook(0.6, 3.6, 0.2)[:2], by_hook(-0.6, 3.6, 1.9)[:2]]
    (bx, by), (fx, fy) = feet[0], feet[-1]
    points = (
        (bx, by, 0.1),
        by_hook(lean, 2.1, 0.2),
        by_hook(lean * 0.8, -1.0, 0.5),
        by_hook(0.1, -2.6, 1.2),
        by_hook(-lean * 0.8, -1.0, 2.0),
        by_hook(-lean, 2.1, 2.0),
        (fx, fy, 1.2),
    )
    return thread(points, YARN, loop.get("kind", "work"), capped=False)


def _panel(name: str, panel: Mapping[str, Any], left_handed: bool) -> Drawing:
    seen = bands(threads(panel))
    shades = [mark["points"] for mark in panel.get("mark", ()) if mark["shape"] == "shade"]
    paths = [Path(FABRIC, 0, _line(points) + "Z", "shade") for points in shades]
    for band in seen:
        if not band.above:
            paths += _band(band)
    for kind, shape in (("hook", hook_shape), ("needle", needle_shape)):
        for one in panel.get(kind, ()):
            outline = shape(one)
            paths += [Path(METAL, 0, outline, "contour"), Path(INK, LINE, outline, "contour")]
    for band in seen:
        if band.above:
            paths += _band(band)
    for mark in panel.get("mark", ()):
        paths += _mark(mark)
    for one in panel.get("arrow", ()):
        paths += _arrow(one["points"])
    height = float(panel.get("height", HEIGHT))
    if left_handed:
        paths = [path._replace(d=_mirrored(path.d)) for path in paths]
    return Drawing(name, "technique", (0.0, 0.0, WIDTH, height), YARN, True, (), tuple(paths), ())


def _band(band: Band) -> list[Path]:
    left, right = sides(band)
    contour = CONTOURS.get(band.kind, INK)
    made = [Path(FILLS[band.kind], 0, _line((*left, *reversed(right))) + "Z", "shade")]
    plies = "".join(_ply(band, k) for k in range(3, len(band.knots) - 3, 4))
    if plies:
        made.append(Path(PLIES[band.kind], THIN, plies, "line"))
    edges = _line(left) + _line(right)
    if band.begins:
        edges += _line((left[0], right[0]))
    if band.ends:
        edges += _line((left[-1], right[-1]))
    return [*made, Path(contour, LINE, edges, "contour")]


def _ply(band: Band, k: int) -> str:
    """A short slanting line on the yarn: its twist."""
    before, after = band.knots[k - 1], band.knots[k + 1]
    dx, dy = after.x - before.x, after.y - before.y
    length = math.hypot(dx, dy) or 1.0
    ux, uy = dx / length, dy / length
    half = band.width * 0.3
    x, y = band.knots[k].x, band.knots[k].y
    return _line(((x - uy * half - ux * 0.45, y + ux * half - uy * 0.45), (x + uy * half + ux * 0.45, y - ux * half + uy * 0.45)))


def _mark(mark: Mapping[str, Any]) -> list[Path]:
    shape, points = mark["shape"], mark["points"]
    if shape not in SHAPES:
        raise ValueError(f"no shape {shape!r}; there are {', '.join(SHAPES)}")
    ink, size = mark.get("ink", ARROW), float(mark.get("size", 1.0))
    if shape == "line":
        return [Path(ink, max(THIN, float(mark.get("width", LINE))), _line(points), "line")]
    if shape == "shade":
        return []
    made = []
    for x, y in points:
        if shape == "cross":
            strokes = _line(((x - size, y - size), (x + size, y + size))) + _line(((x - size, y + size), (x + size, y - size)))
            made.append(Path(ink, 0.6, strokes))
        else:
            made.append(Path(ink, 0 if shape == "dot" else 0.6, _circle(x, y, size)))
    return made


def _arrow(points: Sequence[Sequence[float]]) -> list[Path]:
    curve = [(knot.x, knot.y) for knot in thread(points, 1.0, "work").knots]
    head = "".join(f"{op}{_numbers(xy)}" for op, xy in arrow_head(curve[-4], curve[-1], 2.1))
    # A white line below keeps the arrow apart from the yarn that it crosses, in grey too.
    return [
        Path("#ffffff", ARROW_WIDTH + 0.9, _line(curve) + head, "arrow"),
        Path(ARROW, ARROW_WIDTH, _line(curve) + head, "arrow"),
    ]


def _circle(x: float, y: float, r: float) -> str:
    points = [(x + r * math.cos(k * math.pi / 12), y + r * math.sin(k * math.pi / 12)) for k in range(24)]
    return _line(points) + "Z"


def _line(points: Sequence[Sequence[float]]) -> str:
    return "M" + "L".join(_numbers(point) for point in points)


def _numbers(point: Sequence[float]) -> str:
    return f"{point[0]:.2f} {point[1]:.2f}"


def _mirrored(d: str) -> str:
    """The same path with left and right changed; all its numbers are pairs."""
    made = d.replace("M", " M ").replace("L", " L ").replace("Z", " Z ").split()
    numbers = 0
    for k, piece in enumerate(made):
        if piece in "MLZ":
            continue
        if numbers % 2 == 0:
            made[k] = f"{WIDTH - float(piece):.2f}"
        numbers += 1
    return " ".join(made)


def points_of(path: Path) -> list[Point]:
    """Every point of a path, for tests of frames."""
    numbers = [float(piece) for piece in path.d.replace("M", " ").replace("L", " ").replace("Z", " ").split()]
    return list(zip(numbers[::2], numbers[1::2], strict=True))
