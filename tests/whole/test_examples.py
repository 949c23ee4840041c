"""Every example in every layout, from the file to the finished PDF, read back with other programs' eyes."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from functools import cache
from pathlib import Path

import pikepdf
import pypdfium2
import pytest

from booklet import pipeline
from booklet.diagnostics.codes import severity
from booklet.editions.discover import layout, papers
from booklet.editions.edition import Edition
from booklet.outputs.pdf_boxes import page_boxes
from booklet.pages.book import Book, Rounds
from tests import built as shared

EXAMPLES = Path(__file__).parents[2] / "examples"
PATTERNS = ("acorn/acorn", "coaster/coaster", "pebble/pebble", "harbour-otter/otter")
# ISO 216: A4 210 x 297, A5 148 x 210 mm. ANSI/ASME Y14.1: size A, 8.5 x 11 in.
# ISO 216: A6 105 x 148 mm. Half of ANSI size A: 5.5 x 8.5 in.
A4, LETTER = (210.0, 297.0), (215.9, 279.4)
# A third of A4 (DL: ISO 269, DIN 678), 99 x 210 mm. 4 x 6 and 5 x 7 in. Leaflets are a sheet of A4.
CARDS_MM = {
    "card-a6": (105.0, 148.0), "card-a5-folded": (105.0, 148.0), "half-letter": (139.7, 215.9), "card-dl": (99.0, 210.0),
    "card-4x6": (101.6, 152.4), "card-5x7": (127.0, 177.8), "leaflet-dl": (297.0, 210.0), "leaflet-a6": (210.0, 297.0),
}  # fmt: skip
TRIM_MM = {
    **CARDS_MM, "a5": (148.0, 210.0), "a4": A4, "letter": LETTER,
    "large-print": A4, "large-print-letter": LETTER, "ink-saving": A4, "ink-saving-letter": LETTER,
}  # fmt: skip


def understood(name: str) -> pipeline.Understood:
    return shared.understood(name)


def edition(name: str, paper: str) -> Edition:
    return Edition(("en-US",), "US", units="both", layout=paper)


def built(name: str, paper: str) -> bytes:
    return shared.built(name, edition(name, paper)).data


@cache
def text_of(name: str, paper: str) -> str:
    """All text of the PDF, white space folded and end-of-line hyphens joined."""
    document = pypdfium2.PdfDocument(built(name, paper))
    pages = [document[i].get_textpage().get_text_range() for i in range(len(document))]
    return squeezed("\n".join(pages))


def squeezed(text: str) -> str:
    """Letters and digits only: where lines and columns break is the layout's business."""
    return re.sub(r"[\W_]+", "", text.replace("\ufffe", "").replace("\u00ad", "")).casefold()


def book(name: str, paper: str) -> Book:
    return pipeline.compose_book(understood(name), edition(name, paper), layout(paper), pipeline.Shared())


# The otter is no pattern for a card: finding out what fits takes as long as all other booklets together. Cards that differ
# from others by their size only are looked at with one pattern.
ALIKE = ("card-a5-folded", "card-4x6", "card-5x7", "leaflet-a6")
PAIRS = [
    (name, paper)
    for name in PATTERNS
    for paper in TRIM_MM
    if paper not in CARDS_MM or (name != "harbour-otter/otter" and (paper not in ALIKE or name == "acorn/acorn"))
]
each = pytest.mark.parametrize(("name", "paper"), PAIRS)


@pytest.mark.parametrize("name", PATTERNS)
def test_examples_check_without_a_warning(name: str) -> None:
    assert [found for found in understood(name).problems if severity(found) != "note"] == []


def test_every_layout_is_tested() -> None:
    assert set(papers()) == set(TRIM_MM)


@each
def test_boxes_are_those_of_the_standards(name: str, paper: str) -> None:
    for boxes in page_boxes(built(name, paper)):
        left, bottom, right, top = boxes.trim
        assert (right - left, top - bottom) == pytest.approx(TRIM_MM[paper], abs=0.01)
        bleed = boxes.bleed
        assert (left - bleed[0], bleed[2] - right) == pytest.approx((layout(paper).bleed_mm,) * 2, abs=0.01)


@each
def test_structure_of_the_file(name: str, paper: str) -> None:
    with pikepdf.open(io.BytesIO(built(name, paper))) as pdf:
        root = pdf.Root
        assert root.MarkInfo.Marked
        assert "/StructTreeRoot" in root
        assert str(root.Lang) == "en-US"
        assert str(pdf.docinfo["/Title"]) == understood(name).pattern.title
        assert str(pdf.docinfo["/Author"]) == understood(name).pattern.field("designer")
        assert root.ViewerPreferences.DisplayDocTitle
        with pdf.open_outline() as outline:
            titles = [str(item.title) for item in outline.root] + [str(child.title) for item in outline.root for child in item.children]
        for part in understood(name).pattern.parts:
            assert any(part.title in title for title in titles), (part.title, titles)
        assert len(pdf.pages) % layout(paper).file_multiple == 0
        fonts = [font for page in pdf.pages for font in page.Resources.get("/Font", {}).values()]
        assert fonts
        for font in fonts:
            descendant = font.DescendantFonts[0]
            assert "/FontFile2" in descendant.FontDescriptor
            assert re.match(r"/[A-Z]{6}\+", str(font.BaseFont))  # a subset


@each
def test_every_round_of_the_page_model_is_printed(name: str, paper: str) -> None:
    text, count = text_of(name, paper), 0
    for part in book(name, paper).parts:
        assert squeezed(part.title) in text
        for block in part.blocks:
            for row in block.rows if isinstance(block, Rounds) else ():
                count += 1
                # In the order of reading: label, words, a tick box for every round of the line, the size now, the help, total.
                boxes = row.boxes if len(row.boxes) > 1 else ()
                line, now = squeezed("".join((row.label, row.text, *boxes))), squeezed(row.now)
                # Before the help stands a word or two that name it.
                help_ = "".join(f".{{0,20}}?{squeezed(told)}" for told in (row.plain, *row.checks) if told)
                if paper in CARDS_MM:  # a card may leave these out, and says so when it is built
                    help_, now = f"(?:{help_})?", f"(?:{now})?"
                assert re.search(line + now + help_ + squeezed(row.total), text), (row, part.title)
    assert count == len(understood(name).graph.settled)


def test_same_bytes_in_another_process(tmp_path: Path) -> None:
    """Also with another hash seed: sets and dictionaries must not decide what is printed."""
    script = (
        "import sys; from pathlib import Path; from booklet import pipeline; from booklet.editions.edition import Edition\n"
        "file = Path(sys.argv[1]); u = pipeline.understand(file.read_bytes(), file.name)\n"
        "e = Edition(('en-US',), 'US', units='both', layout='a5')\n"
        "Path(sys.argv[2]).write_bytes(pipeline.build(u, e, file.parent).data)"
    )
    out = tmp_path / "again.pdf"
    environment = {**os.environ, "PYTHONHASHSEED": "12345"}
    subprocess.run([sys.executable, "-c", script, str(EXAMPLES / "pebble/pebble.md"), str(out)], check=True, env=environment)
    assert out.read_bytes() == built("pebble/pebble", "a5")


def test_a_chosen_edition_prints_no_alternative() -> None:
    name = "harbour-otter/otter"
    way = Edition(("en-US",), "US", layout="a5", choices=(("eyes", "embroidered"), ("mouth", "without")))
    shown = pipeline.compose_book(understood(name), way, layout("a5"), pipeline.Shared())
    # No small part is left but crocheted ones that are sewn on.
    small = [part for part in pipeline._way(understood(name), way.size, way.choices)[1].safety.components if part.small_part]
    assert {(part.made, part.attached) for part in small} == {("crochet", "sewn")}
    assert "safety eyes" not in str(shown.parts)
    assert "safety eyes" not in str(shown.materials)
