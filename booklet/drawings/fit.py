"""A placed panel and a style in, a drawing in mm out: one path per ink and weight; never smaller than the style allows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from booklet.drawings.drawing import LEAST_MM, Drawing, Guide, Label, Mark, Path, Placed
from booklet.drawings.inks import pale, readable
from booklet.drawings.laps import drawn_symbol, loop_symbol
from booklet.drawings.legend import legend
from booklet.drawings.strokes import strokes
from booklet.drawings.text import path_text
from booklet.tables.stitches import Stitch
from booklet.tables.symbols import Symbol


class Style(NamedTuple):
    """How a chart is drawn, all in plain values."""

    width_mm: float  # room for the drawing
    height_mm: float
    least_mm: float = LEAST_MM  # smallest width of a symbol
    most_mm: float = 4.6  # a small part is not blown up beyond this
    inks: tuple[tuple[str, str], ...] = ()  # yarn code, "#rrggbb"
    ink: str = "#22201f"  # of a yarn without a colour, and of numbers
    quiet: str = "#6f6a66"  # of arrows, rings and dots
    tint: str = "#e8e6e1"  # behind every second round; a light grey in greyscale too
    line: float = 0.085  # thickness of a symbol's line, in symbol widths
    left_handed: bool = False
    padded_mm: float = 0.0  # least width of the frame


def fit(placed: Placed, style: Style, stitches: Mapping[str, Stitch], symbols: Mapping[str, Symbol]) -> Drawing:
    """Bring a panel to paper. `fits` is False where it needs more room than the style has; it is not shrunk then."""
    left, top, right, bottom = placed.frame
    room = min(style.width_mm / (right - left), style.height_mm / (bottom - top))
    scale = min(max(room, style.least_mm), style.most_mm)
    across = -scale if style.left_handed else scale
    marks = tuple(_mark(mark, across, scale) for mark in placed.marks)
    paths = [_guide(guide, across, scale, style) for guide in placed.guides if guide.role == "tint"]
    paths += [_guide(guide, across, scale, style) for guide in placed.guides if guide.role != "tint"]
    frame = (left * scale, top * scale, right * scale, bottom * scale)
    if style.left_handed:
        frame = (-right * scale, frame[1], -left * scale, frame[3])
    return Drawing(
        placed.part,
        placed.form,
        _padded(frame, style.padded_mm),
        scale,
        room >= style.least_mm - 1e-9,
        marks,
        _merged(paths) + _inked(marks, style, scale, stitches, symbols),
        tuple(Label(label.text, label.x * across, label.y * scale, label.size * scale, label.role) for label in placed.labels),
        legend(marks, stitches, symbols, any(guide.role == "start" for guide in placed.guides)),
        placed.rounds,
        placed.way,
        placed.lines,
    )


def widened(style: Style, panels: Sequence[Placed], width_mm: float) -> Style:
    """The same style for drawings that are all exactly so wide: one scale for all panels, smaller ones get room at their sides."""
    widest = max((panel.frame[2] - panel.frame[0] for panel in panels), default=1.0)
    scale = width_mm / widest
    return style._replace(least_mm=scale, most_mm=scale, padded_mm=width_mm)


def _padded(frame: tuple[float, float, float, float], width_mm: float) -> tuple[float, float, float, float]:
    more = max(0.0, width_mm - (frame[2] - frame[0])) / 2
    return frame[0] - more, frame[1], frame[2] + more, frame[3]


def _mark(mark: Mark, across: float, scale: float) -> Mark:
    feet = tuple((x * across, y * scale) for x, y in mark.feet)
    heads = tuple((x * across, y * scale) for x, y in mark.heads)
    rotation = mark.rotation if across > 0 else -mark.rotation
    return mark._replace(x=mark.x * across, y=mark.y * scale, size=mark.size * scale, feet=feet, heads=heads, rotation=rotation)


def _inked(
    marks: tuple[Mark, ...], style: Style, scale: float, stitches: Mapping[str, Stitch], symbols: Mapping[str, Symbol]
) -> tuple[Path, ...]:
    """All marks: for every ink its lines and its filled shapes, pale inks on a dark contour."""
    inks = {code: readable(ink) for code, ink in style.inks}
    lines: dict[str, list[str]] = {}
    fills: dict[str, list[str]] = {}
    for mark in marks:
        symbol, loop = drawn_symbol(mark, stitches, symbols), loop_symbol(mark, symbols)
        ink = inks.get(mark.yarn, style.ink)
        for stroke in strokes(mark, symbol, loop):
            (fills if stroke.filled else lines).setdefault(ink, []).append(path_text(stroke.ops))
    width = round(style.line * scale, 3)
    paths: list[Path] = []
    for ink in dict.fromkeys((*lines, *fills)):
        drawn, filled = "".join(lines.get(ink, ())), "".join(fills.get(ink, ()))
        if pale(ink):
            paths.append(Path(style.ink, round(width + 0.09 * scale, 3), drawn + filled, "contour"))
        if drawn:
            paths.append(Path(ink, width, drawn))
        if filled:
            paths.append(Path(ink, 0.0, filled))
    return tuple(paths)


def _guide(guide: Guide, across: float, scale: float, style: Style) -> Path:
    ops = tuple((op, tuple(n * (across if k % 2 == 0 else scale) for k, n in enumerate(numbers))) for op, numbers in guide.ops)
    ink, width = {
        "tint": (style.tint, 0.0),
        "dots": (style.quiet, 0.0),
        "start": (style.ink, 0.0),
        "base": (style.quiet, 0.10),
        "ring": (style.ink, style.line * scale),
    }.get(guide.role, (style.quiet, 0.25))
    return Path(ink, round(width, 3), path_text(ops), guide.role)


def _merged(paths: list[Path]) -> tuple[Path, ...]:
    """One path for everything of the same ink, weight and role."""
    found: dict[tuple[str, float, str], list[str]] = {}
    for path in paths:
        found.setdefault((path.ink, path.width, path.role), []).append(path.d)
    return tuple(Path(ink, width, "".join(texts), role) for (ink, width, role), texts in found.items() if any(texts))
