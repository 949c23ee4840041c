"""One booklet of each script, from the file to the finished PDF: every word of the page model is printed, with a glyph of its own."""

from __future__ import annotations

import io
import re
import unicodedata
from functools import cache
from importlib import metadata
from pathlib import Path

import pikepdf
import pypdfium2
import pytest

from booklet import pipeline
from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.pages.book import Book, Direction, Rounds
from booklet.tables.language import load
from tests import built as shared

PEBBLE = Path(__file__).parents[2] / "examples/pebble/pebble.md"


def _japanese_fonts() -> bool:
    try:
        return bool(metadata.distribution("justmytype-intl-cjk"))
    except metadata.PackageNotFoundError:
        return False


# Umlauts and long words, Cyrillic, Latin with marks, kana and kanji.
SCRIPTS = [
    "de",
    "ru",
    "pl",
    pytest.param("ja", marks=pytest.mark.skipif(not _japanese_fonts(), reason="the extra `ja` is not installed")),
]
scripts = pytest.mark.parametrize("tag", SCRIPTS)


@cache
def understood() -> pipeline.Understood:
    return pipeline.understand(PEBBLE.read_bytes(), PEBBLE.name)


def edition(tag: str) -> Edition:
    language = load(tag)
    return Edition((tag,), language.terms, language.settings["units"], layout="a5")


def built(tag: str) -> bytes:
    return shared.built("pebble/pebble", edition(tag)).data


@cache
def text_of(tag: str) -> str:
    document = pypdfium2.PdfDocument(built(tag))
    return "\n".join(document[at].get_textpage().get_text_range() for at in range(len(document)))


def squeezed(text: str) -> str:
    """Letters and digits only, full-width forms as plain ones."""
    plain = unicodedata.normalize("NFKC", text.replace("\ufffe", "").replace("\u00ad", ""))
    return re.sub(r"[\W_]+", "", plain).casefold()


def printed(book: Book) -> list[str]:
    """The edition's own words: headings, facts, rounds, sentences, abbreviations, cautions."""
    found = [book.words[key] for key in ("contents", "glance", "materials", "abbreviations", "safety", "colophon", "tools")]
    found += [text for fact in (*book.glance, *book.colophon.facts) for text in (fact.label, fact.value, fact.note)]
    found += [text for row in book.abbreviations.rows for text in (row.abbr, row.term)]
    for block in book.parts[0].blocks:
        if isinstance(block, Rounds):
            found += [row.label + row.text for row in block.rows if len(row.boxes) == 1]
        elif isinstance(block, Direction):
            found.append(block.text)
    return [*found, *book.abbreviations.notes, *(caution.text for caution in book.safety.cautions), book.safety.standing, book.colophon.statement]


@scripts
def test_every_word_of_the_edition_is_printed(tag: str) -> None:
    text = squeezed(text_of(tag))
    wanted = printed(pipeline.compose_book(understood(), edition(tag), layout("a5"), pipeline.Shared()))
    assert len(wanted) > 30
    assert [words for words in wanted if squeezed(words) not in text] == []


@scripts
def test_no_glyph_is_missing(tag: str) -> None:
    """No text stands for a sign that a face lacks, and no page draws glyph 0 (the box of ISO/IEC 14496-22, `.notdef`)."""
    assert "\ufffd" not in text_of(tag)
    with pikepdf.open(io.BytesIO(built(tag))) as pdf:
        for page in pdf.pages:
            for operands, operator in pikepdf.parse_content_stream(page):
                shown = [operands[0]] if str(operator) == "Tj" else list(operands[0]) if str(operator) == "TJ" else []
                for item in shown:
                    if isinstance(item, pikepdf.String):
                        codes = bytes(item)
                        assert all(codes[at : at + 2] != b"\0\0" for at in range(0, len(codes), 2))


@scripts
def test_the_file_names_its_language_and_that_of_the_designer(tag: str) -> None:
    with pikepdf.open(io.BytesIO(built(tag))) as pdf:
        assert str(pdf.Root.Lang) == tag
    page, _, _ = pipeline.set_pages(understood(), edition(tag), layout("a5"), PEBBLE.parent, pipeline.Shared())
    assert re.search(r'<div class="prose" lang="en-US">', page)
    assert re.search(r'<h1 [^>]*lang="en-US">', page)
