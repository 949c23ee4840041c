"""Languages times layouts: every word of the page model is in the PDF, totals are the same, nothing leaves its page or lies on its neighbour.

The suite takes a sample: each language once and each layout once. PRODUCT=all takes everything, of all examples (hours).
"""

from __future__ import annotations

import io
import os
import re
import sys
import unicodedata
from functools import cache
from itertools import combinations, cycle, islice
from pathlib import Path

import pikepdf
import pypdfium2
import pytest

from booklet import pipeline
from booklet.editions.discover import layout, papers
from booklet.editions.edition import Edition
from booklet.editions.paper import paper
from booklet.pages.book import Book, Choice, Direction, Film, Rounds, Steps
from booklet.tables.language import load, printable

sys.path.insert(0, str(Path(__file__).parent))
from letters import Line, pages

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("pebble/pebble", "acorn/acorn", "coaster/coaster", "harbour-otter/otter")
ALL = os.environ.get("PRODUCT", "") == "all"
LEAST_OVERLAP = 0.6  # mm; letters of one line may lean into one another a little


def _has_fonts(tag: str) -> bool:
    from booklet.outputs.pdf_fonts import MissingGlyphs, faces_for

    try:
        faces_for(f"<p>{load(tag).name}</p>", {})
    except MissingGlyphs:
        return False
    return True


def _jobs() -> list[tuple[str, str, str]]:
    every = [tag for tag in printable() if _has_fonts(tag)]
    if ALL:
        return [(name, tag, one) for name in NAMES for tag in every for one in papers()]
    # Every layout with another language, and every language.
    pairs = islice(zip(cycle(every), cycle(papers()), strict=True), max(len(every), len(papers())))
    return [(NAMES[0], tag, one) for tag, one in pairs]


@cache
def understood(name: str) -> pipeline.Understood:
    file = EXAMPLES / f"{name}.md"
    return pipeline.understand(file.read_bytes(), file.name)


@cache
def shared(name: str) -> pipeline.Shared:
    return pipeline.Shared()


def squeezed(text: str) -> str:
    """Letters and digits only, full-width forms as plain ones."""
    plain = unicodedata.normalize("NFKC", text.replace("\ufffe", "").replace("\u00ad", ""))
    return re.sub(r"[\W_]+", "", plain).casefold()


def _rows(blocks: tuple) -> list:
    found = []
    for block in blocks:
        if isinstance(block, Rounds):
            found += block.rows
        elif isinstance(block, Film):
            found += _rows(block.blocks)
        elif isinstance(block, Steps):
            found += [row for item in block.items for row in _rows(item)]
        elif isinstance(block, Choice):
            found += [row for way in block.alternatives for row in _rows(way.blocks)]
    return found


def wanted(book: Book) -> list[str]:
    """What no layout may lose: the title, rounds with their totals, sentences, materials, abbreviations, cautions."""
    found = [book.title]
    for part in book.parts:
        for row in _rows(part.blocks):
            found += [row.label, row.total, *(row.text.split("\u2002"))]
        found += [block.text for block in part.blocks if isinstance(block, Direction)]
    found += [text for yarn in book.materials.yarns for text in (yarn.colour.name, yarn.amount)]
    found += [text for row in book.abbreviations.rows for text in (row.abbr, row.term)]
    return [text for text in found if squeezed(text)]


def totals(book: Book) -> list[int]:
    return [int(re.sub(r"\D", "", row.total)) for part in book.parts for row in _rows(part.blocks) if row.total]


def _over(lines: list[Line]) -> list[str]:
    """Runs of type on one baseline that lie on one another. The parts of a ligature (f, i) share one place."""
    found = []
    by_base: dict[float, list[Line]] = {}
    for line in lines:
        by_base.setdefault(round(line.base, 1), []).append(line)
    for some in by_base.values():
        for one, two in combinations(some, 2):
            # Short runs stand in drawings, turned or closely set; f, T and the half-empty
            # signs of Japanese reach over their neighbour, or share its place.
            if min(len(one.text), len(two.text)) < 4:
                continue
            joined = any(run.text[-1:] in "fT。、，）" or run.text[:1] in "。、，（" for run in (one, two))
            if min(one.right, two.right) - max(one.left, two.left) > (6.0 if joined else LEAST_OVERLAP):
                found.append(f"{one.text!r} on {two.text!r}")
    return found


@pytest.mark.parametrize(("name", "tag", "on"), _jobs())
def test_one_of_the_product(name: str, tag: str, on: str) -> None:
    edition = Edition((tag,), load(tag).terms, load(tag).settings["units"], layout=on)
    folder = (EXAMPLES / name).parent
    built = pipeline.build(understood(name), edition, folder, shared=shared(name))
    book, _ = pipeline.book_of(understood(name), edition, paper(edition), folder, shared(name))
    model, _ = pipeline.book_of(understood(name), Edition(("en-US",), "US", layout=on), paper(edition), folder, shared(name))
    assert totals(book) == totals(model) and totals(book)
    document = pypdfium2.PdfDocument(built.data)
    rtl = load(tag).settings.get("direction") == "rtl"
    text = squeezed("\n".join(document[at].get_textpage().get_text_range() for at in range(len(document))))
    if not rtl:  # a reader of PDF files gives lines from right to left back in more than one order
        assert [words for words in wanted(book) if squeezed(words) not in text] == []
    assert "\ufffd" not in text
    made = layout(on)
    for number, lines in enumerate(pages(built.data), 1):
        if made.sheet is None:
            wide = max(line.right for line in lines) if lines else 0
            assert wide <= made.width_mm - 2, (number, max(lines, key=lambda line: line.right).text)
            assert all(line.left >= 2 and line.base <= made.height_mm - 1 for line in lines), number
        if not rtl:
            assert _over(lines) == [], (number, on)
    with pikepdf.open(io.BytesIO(built.data)) as pdf:
        assert str(pdf.Root.Lang) == tag
