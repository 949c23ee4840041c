"""Whole booklets in every layout: laid out, written, and read back."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from booklet.editions.discover import layout, papers
from booklet.outputs.html import html
from booklet.outputs.pdf import render
from booklet.outputs.pictures import Prepared
from booklet.pages.book import Item, Prose, Section
from tests.pages.handmade import PICTURE, book, nut, proof
from tests.pages.test_compose import made

pdfium = pytest.importorskip("pypdfium2")

MM = 72 / 25.4


def picture() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (600, 400), "#886644").save(out, "JPEG")
    return out.getvalue()


PICTURES = {
    (PICTURE.path, use): Prepared(f"picture-{use}.jpg", picture(), width, width * 2 / 3)
    for use, width in (("photo", 90.0), ("step", 60.0), ("cover", 150.0))
}


def much():
    """A book whose every text is long."""
    many = tuple(replace(nut(), anchor=f"part-{n}", number=n, title=f"Part number {n} with a long name") for n in range(1, 9))
    words = "A sentence that somebody thought had to be here, and here it is, whole. "
    return replace(
        book(),
        title="An Extraordinarily Long Name for a Very Small Thing that Nobody Ever Asked For",
        subtitle=words * 2,
        parts=many,
        notes=(Section("section-1", "intro", "", (Prose(words * 60),)), Section("section-2", "notes", "Before", (Prose(words * 90),))),
        materials=replace_items(book().materials, tuple(Item(f"thing {n}, which is needed once") for n in range(60))),
        colophon=replace(book().colophon, licence=words * 40),
    )


def replace_items(materials, items):
    return materials._replace(items=items)


@pytest.fixture(params=sorted(papers()))
def paper(request):
    return layout(request.param)


def printed(one, paper):
    page, files = html(one, paper, PICTURES)
    return render(page, files).fill_up(paper.multiple).write()


@pytest.mark.parametrize("one", [book, proof, made, much], ids=["book", "proof", "composed", "much"])
def test_a_booklet_is_whole(one, paper):
    result = printed(one(), paper)
    assert result.warnings == ()
    assert result.page_count % paper.multiple == 0
    document = pdfium.PdfDocument(result.data)
    text = ""
    for number, page in enumerate(document):
        left, bottom, right, top = page.get_trimbox()
        # ISO 216 and ANSI sizes are those of layout.toml, tested with it; a panel of a leaflet may be narrower than its front.
        wide = paper.sheet.panels[number % len(paper.sheet.panels)].width if paper.sheet else paper.width_mm
        assert (right - left) / MM == pytest.approx(wide, abs=0.1)
        assert (top - bottom) / MM == pytest.approx(paper.height_mm, abs=0.1)
        words = page.get_textpage()
        text += words.get_text_bounded() + "\n"
        for place in range(words.count_rects()):
            a, b, c, d = words.get_rect(place)
            if proof_mark(a, b, c, d):
                continue
            # Nothing that is to be read stands beyond the trim, nor nearer to it than 5 mm.
            assert left + 5 * MM <= a <= c <= right - 5 * MM, words.get_text_bounded(a, b, c, d)
            assert bottom + 5 * MM <= b <= d <= top - 5 * MM, words.get_text_bounded(a, b, c, d)
    flat = re.sub(r"\s+", " ", text)
    for row in (row for part in one().parts for block in part.blocks if block.kind == "rounds" for row in block.rows):
        assert f"{row.label}" in flat
        assert row.total in flat
    assert "not legal advice" in flat or "Standing." in flat


def proof_mark(left: float, bottom: float, right: float, top: float) -> bool:
    """The pale word across the pages of a proof."""
    return top - bottom > 40 * MM


def test_a_round_is_never_parted_from_its_total(paper):
    """The label, the words and the total of a line are on the same page, however long the list."""
    result = printed(much(), paper)
    for page in pdfium.PdfDocument(result.data):
        text = page.get_textpage().get_text_bounded()
        labels = len(re.findall(r"Rnds? \d", text))
        totals = len(re.findall(r"\(6\)", text))
        assert labels == totals, text


def test_a_heading_stands_with_what_it_heads(paper):
    """No page ends with a part's heading."""
    result = printed(much(), paper)
    for page in pdfium.PdfDocument(result.data):
        text = page.get_textpage().get_text_bounded()
        for found in re.finditer(r"Part number (\d) with", text):
            after = text[found.end() :]
            if "make 2" in after[:60]:
                assert re.search(r"With A\. Worked in a spiral\.[\s\S]*Rnd 1", after), after[:300]


@pytest.mark.parametrize(("photo", "parts", "wanted"), [(True, 2, "cover-picture"), (False, 2, "cover-plate"), (False, 1, "rosette")])
@pytest.mark.parametrize("name", ["a5", "a4", "letter"])
def test_a_cover_shows_the_photo_else_the_parts_else_the_stitches(tmp_path, name, photo, parts, wanted):
    from booklet import pipeline
    from booklet.editions.edition import Edition

    part = "## {}\n\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\nRnd 3: (sc, inc) x 6 (18)\nRnds 4-8: sc around (18)\n\n"
    body = "".join(part.format(title) for title in ("Nut", "Cap")[:parts])
    photos = Path(__file__).parents[2] / "examples" / "acorn"
    cover = "cover: photos/acorn.jpg\n" if photo else ""
    understood = pipeline.understand(f"---\ntitle: Nut\nlanguage: en-US\nhook: 3 mm\n{cover}---\n\n{body}".encode(), "nut.md")
    page, files, _ = pipeline.set_pages(understood, Edition(("en-US",), "US", layout=name), layout(name), photos, pipeline.Shared())
    art = page[page.index('<div class="cover-art') :]
    art = art[: art.index("<h1")]
    kinds = ("cover-picture", "cover-plate", "rosette")
    assert [kind for kind in kinds if f'class="{kind}"' in art] == [wanted]
    assert ("cover.svg" in files) == (wanted == "cover-plate")
