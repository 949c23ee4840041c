"""Films: the code on paper is the code of the address, its size and quiet zone, its link, and what stands in other formats."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
import segno

from booklet import pipeline
from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.outputs.codes import LEAST_MM, LEAST_MODULE_MM, modules, printed_mm
from booklet.outputs.plain_text import plain_text
from booklet.pages.films import at, shown

PATTERN = """---
title: Ball
language: en-US
hook: 3 mm
gauge: 24 sc x 26 rnds = 10 cm
video: https://example.org/ball
---

## Ball (make 1)

Worked in a spiral. Video at 1:10.

Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)

Video at 1:02:05.

Rnd 3: dec x 6 (6)

Fasten off. Close the hole.

## Assembly

1. Weave in all ends. Video at 0:20: https://example.org/ends/a-long-way-to-weave-them-in?part=2.
"""
WHOLE = "https://example.org/ball"
TIMES = (f"{WHOLE}#t=70", f"{WHOLE}#t=3725")
OWN = "https://example.org/ends/a-long-way-to-weave-them-in?part=2#t=20"
DPI = 400
MM = 72 / 25.4


@cache
def built(name: str, text: str = PATTERN, reader: str = "some") -> bytes:
    understood = pipeline.understand(text.encode(), "ball.md")
    return pipeline.build(understood, Edition(("en-US",), "US", layout=name, reader=reader), Path()).data


def codes(data: bytes) -> dict[str, tuple[int, list[float]]]:
    """Address -> page and box of its code, in points: the square ones among the links."""
    found = {}
    with pikepdf.open(__import__("io").BytesIO(data)) as pdf:
        for number, page in enumerate(pdf.pages):
            for link in page.get("/Annots", []):
                left, one, right, other = (float(side) for side in link.Rect)
                if "/A" in link and "/URI" in link.A and right - left > LEAST_MM * MM and abs(right - left - abs(one - other)) < 0.5:
                    found[str(link.A.URI)] = number, [left, min(one, other), right, max(one, other)]
    return found


def read(data: bytes, page: int, box: list[float], across: int) -> list[list[bool]]:
    """The dark modules of a code as they are printed in grey, each looked at in its middle; quiet zone included."""
    document = pypdfium2.PdfDocument(data)
    try:
        high = document[page].get_height()
        image = document[page].render(scale=DPI / 72).to_pil().convert("L")
    finally:
        document.close()
    left, top, side = box[0], high - box[3], (box[2] - box[0]) / across

    def dark(row: int, column: int) -> bool:
        return image.getpixel((int((left + (column + 0.5) * side) * DPI / 72), int((top + (row + 0.5) * side) * DPI / 72))) < 128

    return [[dark(row, column) for column in range(across)] for row in range(across)]


@pytest.mark.parametrize("name", ["a5", "a4", "letter", "large-print", "ink-saving"])
def test_the_code_on_the_page_is_the_code_of_the_address(name):
    """ISO/IEC 18004 as another program makes it, module for module, with four modules of white on every side."""
    data = built(name)
    found = codes(data)
    assert {*TIMES, OWN, WHOLE} <= set(found)
    for address, (page, box) in found.items():
        matrix = segno.make(address, error="M", micro=False, boost_error=False).matrix_iter(border=4)
        wished = [[bool(module) for module in row] for row in matrix]
        assert read(data, page, box, len(wished)) == wished, address
        assert (box[2] - box[0]) / MM == pytest.approx(printed_mm(address), abs=0.1)


def test_a_code_is_never_too_small_to_be_read():
    for length in range(24, 300, 9):
        address = "https://example.org/" + "a" * (length - 20)
        across = modules(address)
        assert printed_mm(address) * (across - 8) / across > LEAST_MM - 0.01
        assert printed_mm(address) / across > LEAST_MODULE_MM - 0.001


def test_a_compact_booklet_has_one_code_and_leads_to_every_place():
    data = built("a4", reader="none")
    assert set(codes(data)) == {WHOLE}
    with pikepdf.open(__import__("io").BytesIO(data)) as pdf:
        links = {str(link.A.URI) for page in pdf.pages for link in page.get("/Annots", []) if "/A" in link and "/URI" in link.A}
    assert {*TIMES, OWN} <= links


def test_a_telephone_gets_links_and_no_code_to_scan():
    understood = pipeline.understand(PATTERN.encode(), "ball.md")
    page, files, _ = pipeline.set_pages(understood, Edition(("en-US",), "US", layout="phone"), layout("phone"), Path(), pipeline.Shared())
    assert not [name for name in files if name.startswith("code")]
    assert all(f'href="{address}"' in page for address in (*TIMES, OWN, WHOLE))


def test_plain_text_has_the_whole_address():
    understood = pipeline.understand(PATTERN.encode(), "ball.md")
    book, _ = pipeline.book_of(understood, Edition(("en-US",), "US"), layout("a5"), Path(), pipeline.Shared())
    lines = plain_text(book).decode("utf-8-sig")
    assert all(address in re.sub(r"\s+", " ", lines) for address in (*TIMES, OWN))


def test_words_of_the_step_stay_beside_the_code():
    understood = pipeline.understand(PATTERN.encode(), "ball.md")
    book, _ = pipeline.book_of(understood, Edition(("de",), "", units="metric"), layout("a5"), Path(), pipeline.Shared())
    first, _, alone, *_ = book.parts[0].blocks
    assert (first.kind, first.blocks[0].text, first.label, first.shown) == ("film", "In Spiralrunden häkeln.", "Video bei 1:10", "example.org/ball")
    assert (alone.kind, alone.blocks, alone.own) == ("film", (), False)
    assert book.finishing[0].blocks[0].items[0][0].own


def test_a_time_leads_to_its_second():
    """W3C Media Fragments URI 1.0 (basic), 4.2.1: `#t=` and seconds."""
    assert at("https://example.org/a", "1:02:05") == "https://example.org/a#t=3725"
    assert at("https://example.org/a#top", "0:05") == "https://example.org/a#top&t=5"
    assert at("https://example.org/a?at={seconds}s", "2:00") == "https://example.org/a?at=120s"
    assert at("https://example.org/a", "") == "https://example.org/a"
    assert at("https://example.org/häkeln", "") == "https://example.org/h%C3%A4keln"


def test_an_address_is_short_enough_to_be_typed():
    assert shown("https://www.example.org/ball/") == "example.org/ball"
    assert shown("https://example.org/a?at={seconds}") == "example.org/a"
    assert len(shown("https://example.org/" + "a" * 200)) == 44


@pytest.mark.parametrize("address", ["http://example.org", "javascript:alert(1)", "ftp://example.org/a", "https://", "https://a b", "file:///a"])
def test_other_addresses_are_no_films(address):
    text = PATTERN.replace(WHOLE + "\n", f"{address}\n", 1)
    understood = pipeline.understand(text.encode(), "ball.md")
    assert any(problem.code in ("link-refused", "text-after-quote", "colon-in-value") for problem in understood.problems)
    book, _ = pipeline.book_of(understood, Edition(("en-US",), "US"), layout("a5"), Path(), pipeline.Shared())
    assert book.film is None
    assert book.video == ""
    assert "Video at 1:10." in book.parts[0].blocks[0].text  # the words stay


@pytest.mark.parametrize(("typed", "mended"), [("http://example.org/two", "https://example.org/two"), ("www.example.org", "https://www.example.org")])
def test_an_address_in_a_sentence_is_mended_at_its_place(typed, mended):
    text = PATTERN.replace("Video at 1:02:05.", f"Video: {typed}.")
    (refused,) = (one for one in pipeline.understand(text.encode(), "ball.md").problems if one.code == "link-refused")
    (edit,) = refused.edits
    line = text.split("\n")[edit.span.line - 1]
    assert (line[edit.span.column - 1 : edit.span.end_column - 1], edit.text) == (typed, mended)
