"""Comes in: the book of a card, and the same in its further languages. Goes out: one book of all; nothing is composed here.

A text that a rule prescribes stands once, in all languages on one panel: the first book holds it. The further ones hold what is in the
box and what else has to be said about safety, and, where the rounds are wished in every language, all that is worked from. Charts and
care symbols stand once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TypeVar

from booklet.pages.book import Abbreviations, Block, Book, Chart, Part, Plate, Section

Titled = TypeVar("Titled", Part, Section)


def joined(book: Book, others: Sequence[Book], rounds: bool) -> Book:
    """The first book with the further ones; with `rounds` each of them has its instructions, else materials and cautions only."""
    if not others:
        return book
    names = marks((book.language, *(one.language for one in others)))
    further = tuple(_further(one, name, rounds) for one, name in zip(others, names[1:], strict=True))
    return replace(book, tongue=names[0], others=further)


def marks(tags: Iterable[str]) -> tuple[str, ...]:
    """What is printed beside a heading to find one's language: DE, or EN-GB where EN alone would be two of them."""
    found = tuple(tags)
    short = [tag.split("-")[0].upper() for tag in found]
    return tuple(name if short.count(name) == 1 else tag.upper() for name, tag in zip(short, found, strict=True))


def _further(book: Book, tongue: str, rounds: bool) -> Book:
    """A book without what the first one says for all, its places and outlines under names of their own."""
    cautions = tuple(one for one in book.safety.cautions if not one.prescribed)
    made = replace(
        book,
        tongue=tongue,
        cover=book.cover._replace(picture=None, rings=()),
        glance=book.glance if rounds else (),
        overview=None,
        film=None,
        safety=replace(book.safety, cautions=cautions, care=None, fields=()),
        colophon=replace(book.colophon, facts=(), licence=""),
    )
    if not rounds:
        none = Abbreviations("", ())
        return replace(made, abbreviations=none, notes=(), parts=(), finishing=(), placements=(), lessons=(), lessons_note="")
    return replace(
        made,
        notes=tuple(_named(one, tongue) for one in book.notes),
        parts=tuple(_drawn(_named(one, tongue), tongue) for one in book.parts),
        finishing=tuple(_named(one, tongue) for one in book.finishing),
        placements=tuple(_other(one, tongue) for one in book.placements),
    )


def _named(one: Titled, tongue: str) -> Titled:
    """A stretch under an anchor of its own."""
    return replace(one, anchor=f"{one.anchor}-{tongue}", blocks=tuple(_block(block) for block in one.blocks))


def _block(block: Block) -> Block:
    """A chart is the same in every language: it stands once, in the first one's stretch, and its key in each of them."""
    return block._replace(charts=()) if isinstance(block, Plate) else block


def _drawn(part: Part, tongue: str) -> Part:
    outline, progress = (_other(one, tongue) if one is not None else None for one in (part.outline, part.progress))
    return replace(part, outline=outline, progress=progress)


def _other(chart: Chart, tongue: str) -> Chart:
    return chart._replace(name=f"{chart.name}-{tongue}")
