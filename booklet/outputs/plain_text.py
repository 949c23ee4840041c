"""Comes in: a Book. Goes out: the booklet as plain text, for those who listen and for mail; no word is added here.

Lines are at most 72 cells long (the usual width of a mail; common practice). Every line of rounds stands as it is printed,
then in plain words. What a picture or chart shows is told in words; there are no tables, so that nothing is heard out of order.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser
from typing import Any

from booklet.outputs.html import prose
from booklet.pages.book import Block, Book, Fact, Film, Part, Rounds, Section

WIDTH = 72  # cells
BLOCKS = frozenset(("p", "li", "tr", "blockquote", "table", "ul", "ol"))


def plain_text(book: Book) -> bytes:
    """The whole booklet in UTF-8, one empty line between paragraphs."""
    return ("\n".join(_tidy(_lines(book))) + "\n").encode()


def _lines(book: Book) -> Iterator[str]:
    from booklet.outputs.plain_trial import form  # it leans on this module

    yield from heading(book.title, "=")
    for words in (book.subtitle, book.designer, *book.cover.facts):
        yield from wrapped(words)
    if book.trial is not None:
        yield from ("", *wrapped(f"* {book.trial.stamp} *"))
    if book.proof is not None:
        yield from heading(book.words["proof"], "=")
        for found in book.proof:
            yield from wrapped(" ".join(filter(None, (f"{found.title}, {found.place}:", found.message, found.help))))
    for section in (one for one in book.notes if one.role == "intro"):
        yield from _section(section)
    yield from heading(book.words["glance"], "=")
    yield from _facts(book.glance)
    if book.film is not None:
        yield from _film(book.film)
    yield from _materials(book)
    yield from _abbreviations(book)
    for section in (one for one in book.notes if one.role != "intro"):
        yield from _section(section)
    for part in book.parts:
        yield from _part(part, len(book.parts) > 1)
    for section in book.finishing:
        yield from _section(section)
    if book.placements:
        yield ""
        for chart in book.placements:
            yield from wrapped(f"{chart.caption}. {chart.alt}")
    yield from _safety(book)
    yield from form(book)
    yield from heading(book.words["colophon"], "=")
    yield from paragraphs(book.colophon.licence)
    yield from _facts(book.colophon.facts)
    yield from ("", *wrapped(book.colophon.statement))


def _materials(book: Book) -> Iterator[str]:
    if not (book.materials.yarns or book.materials.items):
        return
    yield from heading(book.words["materials"], "=")
    for yarn in book.materials.yarns:
        told = (yarn.colour.name, yarn.name, yarn.details, yarn.amount, yarn.balls, yarn.only_for)
        yield from wrapped(f"{yarn.colour.code}: {'; '.join(filter(None, told))}", "  ")
    yield from wrapped(book.materials.note)
    for item in book.materials.items:
        yield from wrapped("- " + "; ".join(filter(None, (item.text, item.note))), "  ")


def _abbreviations(book: Book) -> Iterator[str]:
    yield from heading(book.words["abbreviations"], "=")
    yield from wrapped(book.abbreviations.declaration)
    for row in book.abbreviations.rows:
        yield from wrapped(f"{row.abbr}: {row.term}", "  ")
    for note in book.abbreviations.notes:
        yield from wrapped(note)


def _section(section: Section) -> Iterator[str]:
    if section.title:
        yield from heading(section.title, "=")
    yield from _blocks(section.blocks)


def _part(part: Part, several: bool) -> Iterator[str]:
    number = f"{part.number}. " if several else ""
    yield from heading(f"{number}{part.title}{f', {part.make}' if part.make else ''}", "=")
    for words in (*part.differs, part.size, part.stitches):
        yield from wrapped(words)
    yield from wrapped(", ".join(f"{colour.code} {colour.name}".strip() for colour in part.colours))
    drawn = part.progress or part.outline
    if drawn is not None:
        yield from wrapped(drawn.alt)
    yield from _blocks(part.blocks)


def _safety(book: Book) -> Iterator[str]:
    yield from heading(book.words["safety"], "=")
    safety = book.safety
    if safety.age:
        yield from wrapped(safety.age_text)
    for caution in safety.cautions:
        yield ""
        yield from wrapped(caution.only_for)
        yield from wrapped(" ".join(filter(None, (caution.where, caution.text))))
        for other in caution.others:
            yield from wrapped(" ".join(filter(None, (f"({other.language})", other.to_check, other.text))))
        for more in caution.more:
            yield from wrapped(more)
    if safety.care is not None:
        yield from heading(safety.care.title, "-")
        for symbol in safety.care.symbols:
            yield from wrapped(f"- {symbol.text}", "  ")
        yield from wrapped(safety.care.note)
    yield from ("", *(f"{name}: ____" for name in safety.fields))
    yield from ("", *wrapped(safety.standing))


def _facts(facts: Iterable[Fact]) -> Iterator[str]:
    for fact in facts:
        yield from wrapped(f"{fact.label}: {'; '.join(filter(None, (fact.value, fact.note)))}", "  ")


def _blocks(blocks: Iterable[Block]) -> Iterator[str]:
    for block in blocks:
        yield ""
        yield from _block(block)


def _block(block: Any) -> Iterator[str]:  # noqa: ANN401 - one of book.Block; each kind has its own fields
    if block.kind == "rounds":
        yield from _rounds(block)
    elif block.kind == "prose":
        yield from paragraphs(block.text)
    elif block.kind == "direction":
        yield from wrapped(block.text)
    elif block.kind == "film":
        yield from _blocks(block.blocks)
        yield from _film(block)
    elif block.kind == "heading":
        yield from heading(block.text, "-")
    elif block.kind == "photo":
        yield from wrapped(f"[{block.picture.alt}]")
        yield from paragraphs(block.picture.caption)
    elif block.kind == "plate":
        for chart in block.charts:
            yield from wrapped(f"[{chart.alt}]")
    elif block.kind == "steps":
        for number, item in enumerate(block.items, 1):
            first, *rest = list(_tidy(_blocks(item))) or [""]
            yield f"{number}. {first}" if block.numbered else f"- {first}"
            yield from (f"   {words}" if words else "" for words in rest)
    elif block.kind == "choice":
        for way in block.alternatives:
            yield from ("", *wrapped(f"{way.title}:"))
            yield from _blocks(way.blocks)
    elif block.kind == "technique":
        yield from heading(block.title, "-")
        yield from wrapped(block.purpose)
        for number, step in enumerate(block.steps, 1):
            yield from wrapped(" ".join(filter(None, (f"{number}. {step.text}", step.loops))), "   ")
        yield from wrapped(block.looks)
        for slip in block.mistakes:
            yield from wrapped(f"- {slip.what} {slip.seen} {slip.undone}", "  ")


def _film(film: Film) -> Iterator[str]:
    """What an address is for, and the whole of it: it is followed by a key, not by an eye."""
    yield from wrapped(f"{film.label}: {film.address}", "  ")


def _rounds(block: Rounds) -> Iterator[str]:
    for row in block.rows:
        label = f"{row.label}: " if row.label else ""
        choice = f"{row.choice}: " if row.choice else ""
        yield from wrapped(" ".join(filter(None, (f"{choice}{label}{row.text}", row.total))), "  ")
        for words in (row.plain, row.now, *row.checks):
            yield from ("    " + part for part in wrapped(words, width=WIDTH - 4))


def heading(text: str, line: str) -> Iterator[str]:
    """A heading with a line of signs below it, white around it."""
    made = list(wrapped(text))
    yield ""
    yield from made
    yield line * max(map(cells, made), default=0)
    yield ""


def paragraphs(markdown: str, width: int = WIDTH) -> Iterator[str]:
    """Markdown as plain paragraphs; a list keeps its dashes, a link its address."""
    if not markdown.strip():
        return
    reader = _Reader()
    reader.feed(prose(markdown))
    reader.close()
    for number, (kind, text) in enumerate(reader.pieces()):
        if number and kind != "li":
            yield ""
        yield from wrapped(f"- {text}" if kind == "li" else text, "  " if kind == "li" else "", width)


class _Reader(HTMLParser):
    """The text of our own small HTML, by paragraph."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._made: list[tuple[str, str]] = [("p", "")]
        self._link = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in BLOCKS and not (tag == "p" and self._made[-1] == ("li", "")):
            self._made.append((tag, ""))
        if tag in ("td", "th", "br"):
            self._add(" ")
        if tag == "a":
            self._link = dict(attrs).get("href") or ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "a" and self._link and not self._link.startswith("#"):
            self._add(f" <{self._link.removeprefix('mailto:')}>")
        if tag in BLOCKS:
            self._made.append(("p", ""))

    def handle_data(self, data: str) -> None:
        self._add(data)

    def pieces(self) -> list[tuple[str, str]]:
        """Kind and words of each paragraph."""
        return [(kind, tidy) for kind, text in self._made if (tidy := " ".join(text.split()))]

    def _add(self, text: str) -> None:
        kind, before = self._made[-1]
        self._made[-1] = (kind, before + text)


def wrapped(text: str, hang: str = "", width: int = WIDTH) -> Iterator[str]:
    """Words in lines of at most `width` cells, all but the first behind `hang`; a script without spaces breaks anywhere."""
    made = ""
    for word in _units(text):
        if made.strip() and cells(made + word.rstrip()) > width:
            yield made.rstrip()
            made = hang + word.lstrip()
        else:
            made += word
    if made.strip():
        yield made.rstrip()


def _units(text: str) -> list[str]:
    """What a line may not be broken in: words with the spaces after them, and single wide signs with their full stop."""
    tidy = " ".join(text.replace("\u00a0", "\u2007").split(" ")).strip()
    return [unit.replace("\u2007", "\u00a0") for unit in re.findall(rf"[{_WIDE}][、。」』）！？・ー]*\s*|[^\s{_WIDE}]+\s*|\s+", tidy)]


_WIDE = "\u3040-\u30ff\u3400-\u4dbf\u4e00-\u9fff\uac00-\ud7af"  # kana, Han, Hangul


def cells(text: str) -> int:
    """Cells of a line of fixed width (Unicode Standard Annex 11; ambiguous ones are narrow)."""
    return sum(0 if unicodedata.combining(one) else 2 if unicodedata.east_asian_width(one) in "WF" else 1 for one in text)


def _tidy(lines: Iterable[str]) -> Iterator[str]:
    """No empty line at the start or the end, and never two together."""
    waiting = begun = False
    for words in lines:
        if not words.strip():
            waiting = begun
            continue
        if waiting:
            yield ""
        waiting, begun = False, True
        yield words.rstrip()
