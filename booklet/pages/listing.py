"""Comes in: a whole booklet and the figures of its pattern. Goes out: what a shop may say of it, and the booklet without its work.

The rounds, charts, sentences and steps are taken out of the page model itself: what is not there cannot be read in a picture.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from booklet.graph.graph import Graph
from booklet.pages.book import (
    Abbreviations,
    Block,
    Book,
    Fact,
    Listing,
    Part,
    Plate,
    Prose,
    Round,
    Rounds,
    Section,
)
from booklet.pages.within import within
from booklet.pages.wording import Words
from booklet.tables.language import load

SHOWN = 8  # labels of rounds on the picture of a part
FEWEST = 8  # of a part that is worth to be shown


def listing(book: Book, graph: Graph, pages: int, languages: Sequence[str], words: Words) -> Listing:
    """What is inside, counted: parts, rounds and rows as they are numbered, pages of the file, charts, lessons."""
    rounds = sum(one.rounds for one in graph.parts if one.worked != "rows")
    rows = sum(one.rounds for one in graph.parts if one.worked == "rows")
    charts = sum(len(block.charts) for block in _all(book) if isinstance(block, Plate))
    parts, lessons = len(book.parts), len(book.lessons)
    counts = (
        words.plural("listing_parts", parts) if parts else "",
        words.plural("listing_rounds", rounds) if rounds else "",
        words.plural("listing_rows", rows) if rows else "",
        words.plural("listing_charts", charts) if charts else "",
        words.plural("listing_lessons", lessons) if lessons else "",
        words.plural("listing_pages", pages) if pages else "",
    )
    spoken = words.join("dot", (load(tag).name for tag in languages))
    return Listing(
        words.text("listing_kind"),
        tuple(filter(None, counts)),
        Fact(words.text("listing_languages"), spoken),
        words.text("listing_file"),
    )


def withheld(book: Book, made: Listing) -> Book:
    """The booklet as a shop may show it: cover, contents, facts, materials, a greeting, and one part whose rounds have only labels."""
    welcome = (block for section in book.notes if section.role == "intro" for block in section.blocks)
    greeting = next((block for block in welcome if isinstance(block, Prose)), None)
    notes = (Section("intro", "intro", "", (greeting,), book.source),) if greeting else ()
    return replace(
        book,
        notes=notes,
        parts=_shown(book.parts),
        finishing=(),
        placements=(),
        film=None,
        video="",
        proof=None if book.proof is None else (),
        trial=None,
        listing=made,
        abbreviations=Abbreviations(book.abbreviations.declaration, ()),
    )


def _shown(parts: Sequence[Part]) -> tuple[Part, ...]:
    """The first part of a fair number of rounds, else the longest: its head, and its rounds without what is done in them."""
    lengths = [len(_rows(part.blocks)) for part in parts]
    if not lengths or not max(lengths):
        return ()
    fair = min(FEWEST, max(lengths))
    chosen = next(part for part, length in zip(parts, lengths, strict=True) if length >= fair)
    rows = tuple(Round(row.label, (), "", "", row.fill) for row in _rows(chosen.blocks)[:SHOWN])
    return (replace(chosen, differs=(), outline=None, progress=None, blocks=(Rounds(rows),)),)


def _rows(blocks: Sequence[Block]) -> tuple[Round, ...]:
    return tuple(row for block in blocks if isinstance(block, Rounds) for row in block.rows if row.label)


def _all(book: Book) -> Iterator[Block]:
    for section in (*book.notes, *book.parts, *book.finishing):
        yield from within(section.blocks)
