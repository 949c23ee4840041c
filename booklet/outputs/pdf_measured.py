"""Comes in: pages that the engine laid out. Goes out: how much of them is filled, by what, and what is parted; nothing is written here.

Templates name a block that a card can do without in the attribute data-block.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from weasyprint.document import Document

MM_PER_PIXEL = 25.4 / 96


def measured(document: Document, spare: str) -> tuple[float, dict[str, float]]:
    """Sides that are filled, the last one in part, and the sides that each named block takes. Pages of the name `spare` do not count."""
    pages = [page._page_box for page in document.pages if page._page_box.page_type.name != spare]
    blocks: dict[str, float] = {}
    first = None
    for page in pages:
        for element, high in _named(page):
            name = element.get("data-block")
            first = element if name == "chart" and first is None else first
            key = "charts" if name == "chart" and element is not first else name
            blocks[key] = blocks.get(key, 0.0) + high / page.height
    if not pages:
        return 0.0, blocks
    last = pages[-1]
    return len(pages) - 1 + min(1.0, last.children[0].margin_height() / last.height), blocks


def _named(box: Any) -> Iterator[tuple[Any, float]]:  # noqa: ANN401  (the engine's own values)
    """The outermost boxes of named elements, in their order, and their heights; a box in a named one belongs to it."""
    waiting = [box]
    while waiting:
        one = waiting.pop()
        element = getattr(one, "element", None)
        if element is not None and element.get("data-block"):
            yield element, one.margin_height()
        else:
            waiting += reversed(getattr(one, "children", ()))


def held(document: Document, name: str) -> int:
    """On how many pages something stands that has this id."""
    return sum(any(_has(box, name) for box in page._page_box.descendants()) for page in document.pages)


def left_before(document: Document, name: str) -> float:
    """How much of the page before the one on which that begins is empty, in mm; 0 where it begins on the first one."""
    pages = [page._page_box for page in document.pages]
    at = next((k for k, page in enumerate(pages) if any(_has(box, name) for box in page.descendants())), 0)
    if not at:
        return 0.0
    page = pages[at - 1]
    # The box of the whole text reaches to the foot of the page where the text goes on: its lines and pictures do not.
    ends = [box.position_y + box.margin_height() for box in page.children[0].descendants() if not getattr(box, "children", ())]
    return max(0.0, page.content_box_y() + page.height - max(ends, default=0.0)) * MM_PER_PIXEL


def _has(box: Any, name: str) -> bool:  # noqa: ANN401
    element = getattr(box, "element", None)
    return element is not None and element.get("id") == name
