"""Comes in: a booklet as a shop may show it. Goes out: its description as plain text; lines are not wrapped, since shops wrap them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from booklet.outputs.plain_text import paragraphs
from booklet.pages.book import Book, Fact

UNWRAPPED = 10**9  # cells


def listing_text(book: Book) -> str:
    """Title, kind, greeting, what is inside, facts, materials, languages: what a form of a shop asks for, in its usual order."""
    shop, words = book.listing, book.words
    assert shop is not None
    lines = [book.title, *filter(None, (book.subtitle,)), _pair(words, shop.kind, book.designer), ""]
    for section in book.notes:
        for block in section.blocks:
            lines += [*paragraphs(block.text, UNWRAPPED), ""]
    lines += [*_list(words["listing_inside"], shop.counts), *_list(words["glance"], _facts(words, book.glance))]
    yarns = []
    for yarn in book.materials.yarns:
        named = " ".join(filter(None, (yarn.colour.code, yarn.colour.name, yarn.name)))
        yarns.append(_joined(words, "comma", filter(None, (named, yarn.details, yarn.amount, yarn.balls, yarn.only_for))))
    items = [_joined(words, "comma", filter(None, (item.text, item.note))) for item in book.materials.items]
    lines += _list(words["materials"], (*yarns, *items))
    lines += _list(shop.languages.label, (shop.languages.value, *filter(None, (book.abbreviations.declaration,))))
    return "\n".join([*lines, shop.file, ""])


def _facts(words: dict[str, str], facts: Iterable[Fact]) -> Iterator[str]:
    for fact in facts:
        yield f"{fact.label}: {_joined(words, 'comma', filter(None, (fact.value, fact.note)))}"


def _list(title: str, items: Iterable[str]) -> list[str]:
    found = [f"- {item}" for item in items]
    return [title, *found, ""] if found else []


def _pair(words: dict[str, str], first: str, second: str) -> str:
    return _joined(words, "dot", filter(None, (first, second)))


def _joined(words: dict[str, str], kind: str, texts: Iterable[str]) -> str:
    made = ""
    for text in texts:
        made = words[f"pair.{kind}"].replace("{a}", made).replace("{b}", text) if made else text
    return made
