"""A part's profile in, its silhouette growing in a few steps out, each with the width of its last round."""

from __future__ import annotations

from collections.abc import Sequence

from booklet.drawings.drawing import Drawing, Label, Path
from booklet.drawings.outline import FLAT, OutlineStyle, Profile, Shape, flat_part, outline
from booklet.drawings.text import moved

MOST = 4  # steps that a narrow page holds side by side
GAP_MM = 3.0
LEAST_MM = 14.5  # for the words below a step, in letters of the usual size
USUAL_MM = 2.4  # that size
FEWEST = 8  # rounds: a smaller part is seen whole in its chart


def stages(totals: Sequence[int], most: int = MOST) -> tuple[tuple[int, int], ...]:
    """First and last round of each step: where a part stops growing, goes on evenly, begins to close. At most `most`."""
    ends: list[int] = []
    before, kind = 0, 0
    for number, total in enumerate(totals, 1):
        now = (total > before) - (total < before)
        if now != kind and number > 1 and number - 1 - (ends[-1] if ends else 0) >= 2:
            ends.append(number - 1)
        kind, before = now, total
    ends.append(len(totals))
    while len(ends) > most:
        # The shortest step joins the one after it.
        lengths = [end - start for start, end in zip([0, *ends], ends, strict=False)]
        del ends[min(range(len(ends) - 1), key=lambda k: lengths[k])]
    return tuple((start + 1, end) for start, end in zip([0, *ends], ends, strict=False) if end > start)


def abreast(width_mm: float, type_mm: float = USUAL_MM) -> int:
    """How many steps fit side by side with their words."""
    return max(2, min(MOST, int((width_mm + GAP_MM) / (_least(type_mm) + 0.01))))


def _least(type_mm: float) -> float:
    """Room for the words below a step in letters of that size, in mm."""
    return LEAST_MM * max(1.0, type_mm / USUAL_MM)


def progress(
    name: str, profile: Profile, steps: Sequence[tuple[int, int]], words: Sequence[tuple[str, str]], style: OutlineStyle, closed: bool
) -> Drawing | None:
    """The steps side by side at one scale; `words` are the rounds and the width of each step. None for a part of one step.

    Under each stands which rounds it takes; above its last round a line as long as that round is wide, with its measure.
    """
    wide = 2 * max((radius for radius, _ in profile), default=0.0)
    high = max((height for _, height in profile), default=0.0)
    if len(steps) < 2 or len(profile) < FEWEST or high < FLAT * wide:
        return None
    count, tall = len(steps), style.height_mm - 4.2 * style.type_mm
    each = min((style.width_mm - (count - 1) * GAP_MM) / count, tall * wide / (high + 0.13 * wide) if high else tall)
    cell = style._replace(width_mm=each, height_mm=tall)
    paths: dict[tuple[str, float, str], list[str]] = {}
    labels: list[Label] = []
    step_mm = max(each + GAP_MM, _least(style.type_mm))
    top = 0.0
    for k, ((_, last), (rounds, width)) in enumerate(zip(steps, words, strict=True)):
        x = k * step_mm
        drawn = outline(profile, cell, closed=closed, worked=(1, last), rounds=(last,))
        top = min(top, drawn.frame[1])
        for path in drawn.paths:
            # What is still to come is a thin line only.
            faint = path.role == "outline" and last < len(profile)
            ink, line = (style.quiet, round(style.line_mm * 0.6, 3)) if faint else (path.ink, path.width)
            paths.setdefault((ink, line, path.role), []).append(moved(path.d, x))
        radius = profile[last - 1][0] * drawn.symbol_mm
        y = 1.4 + 0.13 * wide / 2 * drawn.symbol_mm
        paths.setdefault((style.ink, round(style.line_mm * 0.6, 3), "measure"), []).append(_ruler(x, y, radius))
        labels += [
            Label(width, x, y + 0.95 * style.type_mm, style.type_mm * 0.9, "width"),
            Label(rounds, x, y + 2.2 * style.type_mm, style.type_mm, "round"),
        ]
    low = 1.4 + 0.13 * wide / 2 * drawn.symbol_mm + 3.0 * style.type_mm
    frame = (-step_mm / 2, top - 0.5, (count - 0.5) * step_mm, low)
    found = tuple(Path(ink, width, "".join(texts), role) for (ink, width, role), texts in paths.items() if any(texts))
    return Drawing(name, "progress", frame, drawn.symbol_mm, True, (), found, tuple(labels), (), (1, len(profile)))


def measured(name: str, shape: Shape, width: str, style: OutlineStyle) -> Drawing | None:
    """A whole part with its width below it, for parts without steps; what lies flat is seen from above. None without a size."""
    tall = style.height_mm - 2.4 * style.type_mm
    if shape.flat_mm:
        long, short = shape.flat_mm
        scale = min(style.most, style.width_mm / long, tall / short)
        paths, wide, high, low = flat_part(shape, scale, style, (0.0, 0.0)), long * scale, short * scale, 0.0
    elif shape.profile:
        drawn = outline(shape.profile, style._replace(height_mm=tall), closed=shape.closed)
        scale, paths = drawn.symbol_mm, list(drawn.paths)
        wide = 2 * max(radius for radius, _ in shape.profile) * scale
        high = -drawn.frame[1]
        low = 0.13 * wide / 2 if max(z for _, z in shape.profile) * scale >= FLAT * wide else 0.0
    else:
        return None
    y = low + 1.4
    paths.append(Path(style.ink, round(style.line_mm * 0.6, 3), _ruler(0.0, y, wide / 2), "measure"))
    label = Label(width, 0.0, y + 1.1 * style.type_mm, style.type_mm, "width")
    half = max(wide, _least(style.type_mm)) / 2 + 0.3
    frame = (-half, -high - 0.5, half, y + 1.9 * style.type_mm)
    return Drawing(name, "outline", frame, scale, True, (), tuple(paths), (label,))


def _ruler(x: float, y: float, half: float) -> str:
    """A line as long as something is wide, with its ends marked."""
    ends = f"M{x - half:.2f} {y:.2f}L{x + half:.2f} {y:.2f}"
    for end in (x - half, x + half):
        ends += f"M{end:.2f} {y - 0.7:.2f}L{end:.2f} {y + 0.7:.2f}"
    return ends
