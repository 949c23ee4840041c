"""A Book, the layout of a card and prepared pictures in, the pages that fit on it out, and what had to be left out.

What is given up is decided in `pages.card`; this lays the card out, as often as that asks, and keeps what was laid out.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from booklet.diagnostics.diagnostic import Diagnostic
    from booklet.editions.discover import Layout
    from booklet.outputs.pdf import Rendered
    from booklet.outputs.pictures import Prepared
    from booklet.pages.book import Book


def laid_out(
    book: Book, layout: Layout, pictures: Mapping[tuple[str, str], Prepared]
) -> tuple[Rendered, tuple[Diagnostic, ...]]:
    """The pages of a book, as many as the layout wants, and what a card tells about itself."""
    from booklet.outputs.html import html
    from booklet.outputs.pdf import render

    if not layout.card_sides:
        return render(*html(book, layout, pictures)).fill_up(layout.multiple), ()

    from booklet.pages.card import Measured, fit, told, without

    made: dict[str, Rendered] = {}

    def laid(one: Book) -> Rendered:
        page, files = html(one, layout, pictures)
        if page not in made:
            made[page] = render(page, files).fill_up(layout.multiple)
        return made[page]

    found = fit(
        book, layout.drop, layout.card_sides, layout.multiple,
        lambda one: laid(one).page_count, lambda one: Measured(*laid(one).measured()),
    )  # fmt: skip
    return laid(without(book, found.left)), (*told(found, layout.name), *_folded(layout))


def _folded(layout: Layout) -> tuple[Diagnostic, ...]:
    """Where the sheet of a leaflet is folded: on paper that is not trimmed there are no marks."""
    from booklet.diagnostics.diagnostic import diagnostic

    if layout.sheet is None:
        return ()
    places = {"places": " and ".join(f"{x:.1f} mm" for x in layout.sheet.upright), "layout": layout.name}
    return (diagnostic(f"card-{layout.sheet.fold}-fold", **places, across="".join(f"{y:.1f} mm" for y in layout.sheet.lying)),)
