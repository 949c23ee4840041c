"""Comes in: pages that the engine laid out. Goes out: how much of them is filled, and by which blocks; nothing is written here.

Templates name a block that a card can do without in the attribute data-block.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from weasyprint.document import Document


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
