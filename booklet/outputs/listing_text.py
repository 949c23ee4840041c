"""Comes in: a booklet as a shop may show it. Goes out: its description as plain text; lines are not wrapped, since shops wrap them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from booklet.outputs.plain_text import paragraphs
from booklet.pages.book import Book, Fact
from booklet.tables.pairs import joined

UNWRAPPED = 10**9  # cells


def listing_text(book: Book) -> str:
    """Title, kind, greeting, what is inside, facts, materials, languages: what a form of a shop asks for, in its usual order."""
    shop, words = book.listing, book.words
    assert shop is not None
    lines = [book.title, *filter(None, (book.subtitle,)), joined(words, "dot", (shop.kind, book.designer)), ""]
    for section in book.notes:
        for block in section.blocks:
            lines += [*paragraphs(block.text, UNWRAPPED), ""]
    lines += [*_list(words["listing_inside"], shop.counts), *_list(words["glance"], _facts(words, book.glance))]
    yarns = []
    for yarn in book.materials.yarns:
        named = " ".join(filter(None, (yarn.colour.code, yarn.colour.name, yarn.name)))
        yarns.append(joined(words, "comma", (named, yarn.details, yarn.amount, yarn.balls, yarn.only_for)))
    items = [joined(words, "comma", (item.text, item.note)) for item in book.materials.items]
    lines += _list(words["materials"], (*yarns, *items))
    lines += _list(shop.languages.label, (shop.languages.value, *filter(None, (book.abbreviations.declaration,))))
    return "\n".join([*lines, shop.file, ""])


def _facts(words: dict[str, str], facts: Iterable[Fact]) -> Iterator[str]:
    for fact in facts:
        yield f"{fact.label}: {joined(words, 'comma', (fact.value, fact.note))}"


def _list(title: str, items: Iterable[str]) -> list[str]:
    found = [f"- {item}" for item in items]
    return [title, *found, ""] if found else []
