"""An understood pattern and an edition in; the pictures and the text that a shop shows of its booklet out. Nothing is written here."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from booklet import pipeline
from booklet.editions.discover import layout, listings

if TYPE_CHECKING:
    from booklet.diagnostics.diagnostic import Diagnostic
    from booklet.editions.edition import Edition
    from booklet.pages.book import Book
    from booklet.pipeline import Shared, Understood


class Listed(NamedTuple):
    """What a shop is given."""

    text: str
    pictures: tuple[tuple[str, bytes], ...]  # "square-1-cover" and a PNG, in the order in which a shop shows them
    problems: tuple[Diagnostic, ...]


class Pages(NamedTuple):
    """The pictures of one size before they are pixels."""

    size: str  # "square"
    pixels: int  # their width
    names: tuple[str, ...]  # of each page: cover, inside, …
    pdf: bytes


def listed(
    understood: Understood, edition: Edition, languages: Sequence[str], folder: Path, shared: Shared, say: Callable[[str], None]
) -> Listed:
    """Everything for a shop. Raises what pipeline.build raises."""
    from booklet.outputs.listing_text import listing_text
    from booklet.outputs.pdf_picture import page_pixels
    from booklet.outputs.pictures_png import png

    say("counting what is inside")
    book, problems = shown(understood, edition, languages, folder, shared)
    found: list[tuple[str, bytes]] = []
    for pages in set_pages(book, folder, shared, say):
        used: dict[str, int] = {}
        for number, (name, made) in enumerate(zip(pages.names, page_pixels(pages.pdf, pages.pixels), strict=True), 1):
            used[name] = used.get(name, 0) + 1
            again = f"-{used[name]}" if used[name] > 1 else ""
            found.append((f"{pages.size}-{number}-{name}{again}", png(*made, book.title)))
    return Listed(listing_text(book), tuple(found), problems)


def shown(
    understood: Understood, edition: Edition, languages: Sequence[str], folder: Path, shared: Shared
) -> tuple[Book, tuple[Diagnostic, ...]]:
    """The booklet without its work, with the figures of the whole one: it is laid out for the number of its pages."""
    from booklet.editions.paper import paper
    from booklet.fitting import laid_out
    from booklet.outputs.pictures import gather
    from booklet.pages.listing import listing, withheld
    from booklet.pages.wording import words
    from booklet.tables.language import load, page_words

    edition = replace(edition, tester="", message_numbers=False)
    made = paper(edition)
    book, told = pipeline.book_of(understood, edition, made, folder, shared)
    pictures, problems = gather(book, made, folder, shared.pictures)
    rendered, _ = laid_out(book, made, pictures)
    tag = edition.languages[0]
    speech = words(edition, load(tag, edition.terms), page_words(tag), understood.pattern.language)
    spoken = tuple(dict.fromkeys((*edition.languages, *languages)))
    return withheld(book, listing(book, understood.graph, rendered.page_count, spoken, speech)), (*told, *problems)


def set_pages(book: Book, folder: Path, shared: Shared, say: Callable[[str], None]) -> Iterator[Pages]:
    """The pages of every size of picture, as PDF."""
    from booklet.outputs.html import html
    from booklet.outputs.pdf import render
    from booklet.outputs.pictures import gather

    for name in listings():
        made = layout(name)
        size = name.rpartition("/")[2]
        say(f"setting {size} pictures")
        pictures, _ = gather(book, made, folder, shared.pictures)  # what is wrong with them the booklet has told already
        rendered = render(*html(book, made, pictures))
        yield Pages(size, made.pixels, tuple(one or "page" for one in rendered.names), rendered.write().data)
