"""Pictures and text for a shop: they show what a booklet is, they are of the stated size, and nobody can crochet from them."""

from __future__ import annotations

import io
import json
import re
from functools import cache
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner
from PIL import Image

from booklet import listing, pipeline
from booklet.cli import main
from booklet.editions.discover import layout, listings
from booklet.editions.edition import Edition
from booklet.editions.paper import paper
from booklet.outputs.html import html
from booklet.outputs.listing_text import listing_text
from booklet.pages.book import Book
from booklet.pages.listing import listing as counts
from booklet.pages.listing import withheld
from booklet.pages.wording import words
from booklet.tables.language import load, page_words, printable

EXAMPLES = Path(__file__).parents[2] / "examples"
ACORN = EXAMPLES / "acorn" / "acorn.md"
OTTER = EXAMPLES / "harbour-otter" / "otter.md"


@cache
def shared(file: Path) -> pipeline.Shared:
    """Charts are placed once for all tests."""
    return pipeline.Shared()


@cache
def understood(file: Path) -> pipeline.Understood:
    return pipeline.understand(file.read_bytes(), file.name)


def edition(tag: str, **more: object) -> Edition:
    return Edition((tag,), load(tag).terms, **more)  # type: ignore[arg-type]


@cache
def books(file: Path, tag: str, reader: str = "some") -> tuple[Book, Book]:
    """The whole booklet, and the one that a shop may show."""
    one, folder = edition(tag, reader=reader), file.parent
    whole, _ = pipeline.book_of(understood(file), one, paper(one), folder, shared(file))
    return whole, listing.shown(understood(file), one, (), folder, shared(file))[0]


def secrets(book: Book) -> set[str]:
    """All words of a booklet that somebody could work from: rounds, sentences, steps, what charts say of themselves."""
    found: set[str] = set()

    def walk(blocks):
        for block in blocks:
            if block.kind == "rounds":
                found.update(row.text for row in block.rows)
                found.update(row.plain for row in block.rows)
            elif block.kind in ("direction", "technique"):
                found.add(block.text if block.kind == "direction" else block.steps[0].text)
            elif block.kind == "plate":
                found.update(chart.alt for chart in block.charts)
            elif block.kind == "steps":
                for item in block.items:
                    walk(item)
            elif block.kind == "choice":
                for way in block.alternatives:
                    walk(way.blocks)

    for section in (*book.parts, *book.finishing, *(one for one in book.notes if one.role != "intro")):
        walk(section.blocks)
    return {text for text in found if len(text) > 3}


def words_of(book: Book, name: str) -> str:
    """Everything that went into the pictures as words, also what only a screen reader would be told."""
    page, files = html(book, layout(name))
    bare = re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL)
    alts = " ".join(re.findall(r'alt="([^"]*)"', bare))
    svgs = " ".join(data.decode() for data in files.values())
    return " ".join(re.sub(r"<[^>]+>", " ", bare + svgs).split()) + alts


@pytest.mark.parametrize(("file", "tag"), [(ACORN, "en-US"), (ACORN, "ja"), (ACORN, "he"), (OTTER, "de")])
def test_no_picture_and_no_text_gives_the_work_away(file, tag):
    whole, shown = books(file, tag)
    told = secrets(whole)
    assert len(told) > 10
    for name in listings():
        shows = words_of(shown, name)
        assert shown.title in shows
        assert {text for text in told if text in shows} == set()
        _, files = html(shown, layout(name))
        assert not [one for one in files if one.startswith(("chart-", "placement-", "progress-", "symbol-", "outline-"))]
    assert {text for text in told if text in listing_text(shown)} == set()
    assert secrets(shown) == set()


def test_the_words_are_also_not_in_the_drawn_pages():
    whole, shown = books(ACORN, "en-US")
    for pages in listing.set_pages(shown, ACORN.parent, shared(ACORN), lambda _: None):
        document = pypdfium2.PdfDocument(pages.pdf)
        drawn = " ".join(" ".join(page.get_textpage().get_text_bounded().split()) for page in document)
        document.close()
        assert "Acorn" in drawn and "Rnd 1" in drawn and "What is inside" in drawn
        assert {text for text in secrets(whole) if text in drawn} == set()
        assert set(pages.names) == {"cover", "inside", "size", "materials", "rounds"}


def counted(whole: Book, tag: str, pages: int, languages: tuple[str, ...] = ()) -> Book:
    """The booklet as a shop may show it, with a number of pages that is given."""
    speech = words(edition(tag), load(tag, edition(tag).terms), page_words(tag), "en-US")
    return withheld(whole, counts(whole, understood(ACORN).graph, pages, languages, speech))


def test_what_is_inside_is_counted():
    whole, shown = books(ACORN, "en-US")
    parts = understood(ACORN).graph.parts
    rounds = sum(one.rounds for one in parts)
    charts = sum(len(block.charts) for part in whole.parts for block in part.blocks if block.kind == "plate")
    made = pipeline.build(understood(ACORN), edition("en-US"), ACORN.parent)
    told = (f"{len(parts)} parts", f"{rounds} rounds", f"{charts} charts", f"{made.pages} pages")
    assert shown.listing.counts == told
    assert rounds > 10 and charts > 1 and made.pages > 4
    assert all(f"- {count}\n" in listing_text(shown) for count in told)


def test_what_is_taught_is_counted_too():
    one = edition("en-US", reader="first-timer")
    whole, _ = pipeline.book_of(understood(ACORN), one, paper(one), ACORN.parent, shared(ACORN))
    assert len(whole.lessons) > 5
    assert f"{len(whole.lessons)} techniques, explained step by step" in counted(whole, "en-US", 1).listing.counts
    assert "1 page" in counted(whole, "en-US", 1).listing.counts


@pytest.mark.parametrize("tag", printable())
def test_the_text_speaks_the_language_of_the_edition(tag):
    one = edition(tag)
    whole, _ = pipeline.book_of(understood(ACORN), one, paper(one), ACORN.parent, shared(ACORN))
    text = listing_text(counted(whole, tag, 12, (tag, "de")))
    for key in ("listing_inside", "glance", "materials", "listing_languages"):
        assert f"\n{page_words(tag)[key]}\n" in text
    assert load(tag).name in text and "Deutsch" in text
    assert text.endswith(f"\n{page_words(tag)['listing_file']}\n")
    assert "{" not in text and "  " not in text


def test_files_are_named_after_the_edition_and_always_the_same(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    shown = CliRunner().invoke(main, ["build", str(ACORN), "--language", "de", "--layout", "a5", "--format", "png", "--json"])
    assert shown.exit_code == 0, shown.stderr
    first = json.loads(shown.stdout)[0]["outputs"]
    pages = ("1-cover", "2-inside", "3-size", "4-materials", "5-rounds")
    assert first == ["acorn.de.a5.listing.txt", *(f"acorn.de.a5.listing-{size}-{page}.png" for size in ("portrait", "square") for page in pages)]
    again = listing.listed(understood(ACORN), edition("de"), ("de",), ACORN.parent, pipeline.Shared(), lambda _: None)
    assert [Path(path).read_bytes() for path in first] == [again.text.encode(), *(data for _, data in again.pictures)]
    for path in first[1:]:
        data = Path(path).read_bytes()
        with Image.open(io.BytesIO(data)) as picture:
            assert picture.size == ((2000, 2000) if "square" in path else (1600, 2000))
            assert picture.mode == "RGB"
        assert data[37:41] == b"sRGB"  # the first chunk after the header (ISO/IEC 15948, 11.3.3.5)


def test_the_sizes_of_pictures_are_no_layouts_of_booklets():
    shown = CliRunner().invoke(main, ["list", "layouts"])
    assert "listing" not in shown.stdout
    assert [(layout(name).pixels, layout(name).forms) for name in listings()] == [(1600, ("png",)), (2000, ("png",))]
    assert CliRunner().invoke(main, ["build", str(ACORN), "--layout", "phone", "--format", "png"]).exit_code == 2
