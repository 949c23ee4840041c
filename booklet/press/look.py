"""Comes in: the bytes of a PDF. Goes out: its pages as pixels and as lines of words, measured; nothing is judged here."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from booklet.press.facts import Box

if TYPE_CHECKING:
    from PIL.Image import Image

MM = 72 / 25.4
LARGEST_PIXELS = 6_000_000
DPI = 72  # one pixel is 0.35 mm: a bleed of 3 mm is eight of them
SIDES = ("left", "bottom", "right", "top")


class Seen(NamedTuple):
    """A page as the eye takes it."""

    lines: tuple[Box, ...]  # boxes of the lines of words, in mm
    blank: bool
    edges_short: tuple[str, ...]


def pages(data: bytes, boxes: tuple[tuple[Box, Box], ...]) -> Iterator[Seen]:
    """Look at the pages whose (trim, bleed) boxes are given, in order. A page that cannot be drawn is blank without lines."""
    import pypdfium2

    document = pypdfium2.PdfDocument(data)
    try:
        for number, (trim, bleed) in enumerate(boxes):
            try:
                page = document[number]
                lines = _lines(page)
                image = _drawn(page, bleed)
                yield Seen(lines, not lines and _blank(image), _short(image, trim, bleed))
                page.close()
            except (pypdfium2.PdfiumError, ValueError, OSError, IndexError):
                yield Seen((), True, ())
    finally:
        document.close()


def _lines(page: Any) -> tuple[Box, ...]:  # noqa: ANN401
    text = page.get_textpage()
    found = []
    for index in range(min(text.count_rects(), 20_000)):
        left, bottom, right, top = text.get_rect(index)
        found.append((left / MM, bottom / MM, right / MM, top / MM))
    return tuple(found)


def _drawn(page: Any, bleed: Box) -> Image:  # noqa: ANN401
    """The page to the end of its bleed, in grey."""
    left, bottom, right, top = (value * MM for value in bleed)
    page.set_cropbox(left, bottom, right, top)
    page.set_rotation(0)
    area = max((right - left) * (top - bottom), 1.0)
    scale = min(DPI / 72, (LARGEST_PIXELS / area) ** 0.5)
    return page.render(scale=scale, draw_annots=False).to_pil().convert("L")


def _blank(image: Image) -> bool:
    return image.getextrema()[0] >= 250  # nearly white is white: a scanner's paper, a rounding of the renderer


def _short(image: Image, trim: Box, bleed: Box) -> tuple[str, ...]:
    """Edges that ink touches just inside the trim but that lie bare at the end of the bleed."""
    scale = image.width / max(bleed[2] - bleed[0], 0.01)  # pixels a mm
    wide, high = image.size
    inset = [round(abs(trim[side] - bleed[side]) * scale) for side in range(4)]
    found = []
    for side, name in enumerate(SIDES):
        inside = _strip(image, side, inset[side] + 1, (wide, high))
        outside = _strip(image, side, 0 if inset[side] else None, (wide, high))
        # An eighth of the edge: a rule or a tab that runs off is meant so, a speck is not.
        touched = sum(value < 250 for value in inside)
        if touched * 8 < len(inside):
            continue
        bare = outside is None or sum(a < 250 <= b for a, b in zip(inside, outside, strict=False)) * 8 > touched
        if bare:
            found.append(name)
    return tuple(found)


def _strip(image: Image, side: int, at: int | None, size: tuple[int, int]) -> Any:  # noqa: ANN401
    """One line of pixels along a side, `at` pixels from the image's edge."""
    if at is None:
        return None
    wide, high = size
    box = {0: (at, 0, at + 1, high), 2: (wide - at - 1, 0, wide - at, high)}.get(side)
    box = box or ({1: (0, high - at - 1, wide, high - at), 3: (0, at, wide, at + 1)}[side])
    return image.crop(box).tobytes()
