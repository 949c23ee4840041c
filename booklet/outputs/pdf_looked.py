"""Comes in: laid-out pages. Goes out: what a book designer would object to in their lines and tables; nothing is changed here.

Style sheets ask the engine to avoid these; where a text leaves it no choice, or a layout of somebody's own forgets to ask, it is told.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from booklet.outputs.html_titles import cells

if TYPE_CHECKING:
    from weasyprint.document import Document

LONGEST = 95  # letters in a line of running text; 45 to 75 are comfortable (common practice, no source)
FEW = 3  # a paragraph of so many lines or fewer may be parted as it can


class Seen(NamedTuple):
    """Something on a page."""

    code: str  # of a diagnostic: lone-line, long-lines, table-without-head
    page: int  # from 1
    text: str  # the beginning of its words
    count: int = 0  # letters of the longest line


def looked(document: Document) -> tuple[Seen, ...]:
    """Lone lines at the head or foot of a page, lines that are too long, tables that go on without their head. In order of pages."""
    from weasyprint.formatting_structure import boxes

    paragraphs: dict[Any, list[tuple[int, list[str]]]] = {}
    tables: dict[Any, list[tuple[int, bool]]] = {}
    for number, page in enumerate(document.pages, 1):
        for box in _all(page._page_box):
            element = getattr(box, "element", None)
            if element is None or getattr(box, "element_tag", "").endswith(("::before", "::after", "::marker")):
                continue
            if isinstance(box, boxes.TableBox):
                headed = any(getattr(group, "is_header", False) for group in box.children)
                tables.setdefault(element, []).append((number, headed))
            lines = [_words(line) for line in getattr(box, "children", ()) if isinstance(line, boxes.LineBox)]
            if lines and element.tag in ("p", "li", "td", "dd"):
                paragraphs.setdefault(element, []).append((number, lines))
    found = [*_lone(paragraphs), *_headless(tables), *_longest(paragraphs)]
    return tuple(sorted(dict.fromkeys(found), key=lambda one: one.page))


def _all(box: Any) -> Iterator[Any]:  # noqa: ANN401  (the engine's own values)
    waiting = [box]
    while waiting:
        one = waiting.pop()
        yield one
        waiting += reversed(getattr(one, "children", ()))


def _words(box: Any) -> str:  # noqa: ANN401
    return "".join(getattr(one, "text", "") or "" for one in _all(box) if not getattr(one, "children", ())).strip()


def _lone(paragraphs: dict[Any, list[tuple[int, list[str]]]]) -> Iterator[Seen]:
    """A paragraph that goes over a page leaves or takes two lines at least."""
    for pieces in paragraphs.values():
        if len({page for page, _ in pieces}) > 1 and sum(len(lines) for _, lines in pieces) > FEW:
            yield from (Seen("lone-line", page, _begin(lines[0])) for page, lines in pieces if len(lines) == 1)


def _longest(paragraphs: dict[Any, list[tuple[int, list[str]]]]) -> Iterator[Seen]:
    """The longest line of running text, of two lines or more: a single one is no reading. One finding: it is the layout's."""
    long = [
        Seen("long-lines", pieces[0][0], _begin(pieces[0][1][0]), most)
        for pieces in paragraphs.values()
        if (most := max((cells(line) for _, lines in pieces for line in lines), default=0)) > LONGEST
        and sum(len(lines) for _, lines in pieces) > 1
    ]
    yield from sorted(long, key=lambda one: -one.count)[:1]


def _headless(tables: dict[Any, list[tuple[int, bool]]]) -> Iterator[Seen]:
    for element, pieces in tables.items():
        if element.find("thead") is not None:
            yield from (Seen("table-without-head", page, _begin("".join(element.itertext()))) for page, headed in pieces[1:] if not headed)


def _begin(text: str) -> str:
    words = " ".join(text.split())
    return words if len(words) <= 40 else words[:39].rstrip() + "…"
