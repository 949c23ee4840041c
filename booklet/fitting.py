"""A Book, the layout of a card and prepared pictures in, the pages that fit on it out, and what had to be left out.

What is given up is decided in `pages.card`; this lays the card out, as often as that asks, and keeps what was laid out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from booklet.editions.discover import MM_PER_POINT

if TYPE_CHECKING:
    from booklet.diagnostics.diagnostic import Diagnostic
    from booklet.editions.discover import Layout
    from booklet.outputs.pdf import Rendered
    from booklet.outputs.pictures import Prepared
    from booklet.pages.book import Book

EMPTY = 0.35  # of a side's height: more than that looks forgotten; a guess
RULE_LINES = 1.9  # lines of the grid for a line to write on, as in base/book.css
HEAD_LINES = 3.5  # of the grid, for the heading of the notes


def laid_out(
    book: Book, layout: Layout, pictures: Mapping[tuple[str, str], Prepared]
) -> tuple[Rendered, tuple[Diagnostic, ...]]:
    """The pages of a book, as many as the layout wants, what is seen in their lines, and what a card tells about itself."""
    from booklet.diagnostics.diagnostic import diagnostic
    from booklet.outputs.html import html
    from booklet.outputs.pdf import render

    if not layout.card_sides:
        whole = _booklet(book, layout, pictures)
        seen = (diagnostic(one.code, layout=layout.name, page=one.page, text=one.text, count=one.count) for one in whole.looked())
        return whole, tuple(seen)

    from booklet.pages.card import Measured, fit, told, without

    made: dict[str, Rendered] = {}

    def laid(one: Book) -> Rendered:
        page, files = html(one, layout, pictures)
        if page not in made:
            rendered = render(page, files)
            made[page] = rendered if one.apart else rendered.fill_up(layout.multiple)
        return made[page]

    found = fit(
        book, layout.drop, layout.card_sides, layout.multiple,
        lambda one: laid(one).page_count, lambda one: Measured(*laid(one).measured()),
    )  # fmt: skip
    fitting = without(book, found.left)
    return _closed_with_safety(fitting, layout, laid(fitting), laid), (*told(found, layout.name), *_folded(layout))


LONG = 8  # pages; from there on a reader wants a table of contents
MANY = 60  # lines of rounds; so many fill eight pages: a guess that spares a second layout


def _booklet(book: Book, layout: Layout, pictures: Mapping[tuple[str, str], Prepared]) -> Rendered:
    """A booklet, with contents where it is long: in a layout that prints them always or never there is nothing to be found out."""
    from booklet.outputs.html import html
    from booklet.outputs.pdf import render

    both = {long: html(replace(book, long=long), layout, pictures) for long in (False, True)}
    lines = sum(len(block.rows) for part in book.parts for block in part.blocks if block.kind == "rounds")
    guess = lines >= MANY
    made = render(*both[guess]).fill_up(layout.multiple)
    if both[True][0] == both[False][0] or (made.page_count >= LONG) == guess:
        return made
    return render(*both[not guess]).fill_up(layout.multiple)


def _closed_with_safety(book: Book, layout: Layout, made: Rendered, laid: Callable[[Book], Rendered]) -> Rendered:
    """Where there is room, safety and the maker's fields are not parted; where sides are spare, they come last.

    So a buyer who turns the card over finds them there, and no back is empty; what is left of the side before gets lines for notes.
    Laying out costs most: it is done again only where it can help, once, or twice where something is put before safety.
    """
    room, height_mm, line_mm = made.page_count, layout.height_mm, layout.line_pt * MM_PER_POINT
    if not made.spare and made.held("safety") < 2:
        return made
    apart = laid(replace(book, apart=True))
    spare = room - apart.page_count
    if spare < 0:  # there is no room for that: as it was
        return made
    free = apart.left_before("safety")
    lines = int((free / line_mm - HEAD_LINES) / RULE_LINES) if free > height_mm * EMPTY else 0
    if not spare and not lines:
        return apart
    filled = laid(replace(book, apart=True, spare=spare, lines=lines))
    return filled if filled.page_count == room else apart if not spare else made


def _folded(layout: Layout) -> tuple[Diagnostic, ...]:
    """Where the sheet of a leaflet is folded: on paper that is not trimmed there are no marks."""
    from booklet.diagnostics.diagnostic import diagnostic

    if layout.sheet is None:
        return ()
    places = {"places": " and ".join(f"{x:.1f} mm" for x in layout.sheet.upright), "layout": layout.name}
    return (diagnostic(f"card-{layout.sheet.fold}-fold", **places, across="".join(f"{y:.1f} mm" for y in layout.sheet.lying)),)
