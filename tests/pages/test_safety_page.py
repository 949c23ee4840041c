"""The safety page: languages of the wordings, sizes of letters and signs in the finished PDF, care, kits, what comes last."""

from __future__ import annotations

import re
from functools import cache
from itertools import product
from pathlib import Path

import pypdfium2
import pytest
from PIL import ImageChops

from booklet import pipeline
from booklet.editions.discover import layout, papers
from booklet.editions.edition import Edition
from booklet.outputs.pdf_heights import cap_height, size_pt
from booklet.outputs.svg_signs import sign
from booklet.pages import safety as page
from booklet.tables import care
from booklet.tables.language import load, page_words
from booklet.tables.markets import market
from booklet.tables.type_sizes import heights

MM = 25.4 / 72
BODY = "## Body\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\nRnd 3: (sc, inc) x 6 (18)\nRnds 4-9: sc around (18)\n"
HEAD = """---
title: Nimbus
gauge: 10 sc x 10 rnds = 10 cm
yarns:
  A: {{colour: grey, fibre: "{fibre}"}}
notions:
  - stuffing
  - buttons: {{shape: disc, diameter: 15 mm, height: 3 mm, count: 4, attached: loose}}
made as: {made}
toy-age: 3+
markets: {markets}
{more}
---

"""


@cache
def understood(made="toy", markets="US, EU", more="", fibre="100% cotton"):
    return pipeline.understand((HEAD.format(made=made, markets=markets, more=more, fibre=fibre) + BODY).encode(), "nimbus.md")


def book(found=None, paper="a5", **settings):
    edition = Edition(("en-US",), "US", layout=paper, **settings)
    return pipeline.compose_book(found or understood(), edition, layout(paper), pipeline.Shared())


@cache
def pdf(paper):
    return pipeline.build(understood(), Edition(("en-US",), "US", layout=paper), Path()).data


# Outside check: 16 CFR 1500.19(d), table; areas of ISO 216 and ANSI sizes in square inches.
@pytest.mark.parametrize(
    ("size", "wanted"),
    [
        ((30, 50), (1.59, 1.19, 1.19)), ((85, 55), (2.38, 1.59, 1.59)), ((74, 105), (2.78, 2.38, 1.59)), ((105, 148), (3.18, 2.38, 1.98)),
        ((99, 210), (3.97, 2.78, 2.38)), ((148, 210), (3.97, 2.78, 2.38)), ((210, 297), (3.97, 2.78, 2.38)),
        ((215.9, 279.4), (3.97, 2.78, 2.38)), ((297, 420), (6.35, 3.97, 2.78)), ((600, 600), (12.70, 6.35, 3.97)),
    ],
)  # fmt: skip
def test_letter_heights_by_the_area_of_the_page(size, wanted):
    assert tuple(heights(*size)) == pytest.approx(wanted, abs=0.0051)


def test_type_sizes_come_from_the_face_itself():
    ratio = cap_height("Alegreya Sans", 700)
    assert 0.55 < ratio < 0.75
    for height in (3.18, 2.38, 1.98):
        assert 0 <= size_pt(height) * ratio * MM - height < 0.1 * ratio * MM + 1e-9  # rounded up to a tenth of a point


@pytest.mark.parametrize("paper", sorted(papers()))
def test_letters_of_the_statement_in_the_finished_pdf(paper):
    """Measured on the drawn shapes: the signal word, the hazard and the rest are as high as the area of the page asks for."""
    least = heights(layout(paper).width_mm, layout(paper).height_mm)
    document = pypdfium2.PdfDocument(pdf(paper))
    for number, turned in product(range(len(document)), (0, 180)):  # panels of a folded sheet stand upside down
        page = document[number]
        page.set_rotation(turned)
        text_page = page.get_textpage()
        text = text_page.get_text_range()
        if "CHOKING HAZARD—" in text:
            break
    else:
        pytest.fail("the statement is not printed")
    flat = re.sub(r"\s+", " ", text)
    assert "WARNING: CHOKING HAZARD—Small parts. Not for children under 3 yrs." in flat

    def height(words, letter):
        at = text.index(words) + words.index(letter)
        left, bottom, right, top = text_page.get_charbox(at)
        assert 3 * (right - left) >= top - bottom  # letters at most three times as high as wide
        return (top - bottom) * MM

    for words, letter, wanted in (
        ("WARNING", "W", least.signal), ("WARNING", "R", least.signal), ("CHOKING HAZARD", "H", least.hazard),
        ("Small parts", "S", least.other), ("Not for children", "N", least.other),
    ):  # fmt: skip
        assert height(words, letter) >= wanted - 0.02, (words, letter)


@pytest.mark.parametrize("paper", sorted(papers()))
def test_the_age_symbol_is_at_least_ten_millimetres_wide(paper):
    """Directive 2009/48/EC, by the market's table: the red ring is measured on the drawn page."""
    scale, widest = 4, 0.0
    document = pypdfium2.PdfDocument(pdf(paper))
    for number in range(len(document)):
        red, green, blue = document[number].render(scale=scale).to_pil().convert("RGB").split()
        ring = ImageChops.darker(
            red.point(lambda v: 255 if v > 200 else 0),
            ImageChops.darker(green.point(lambda v: 255 if v < 40 else 0), blue.point(lambda v: 255 if v < 60 else 0)),
        )
        box = ring.getbbox()
        if box is not None:
            widest = max(widest, min(box[2] - box[0], box[3] - box[1]) / scale * MM)
    assert market("EU").limit("symbol").value <= widest < 20


def test_the_symbol_stands_only_where_it_may():
    assert [caution.symbol for caution in book().safety.cautions if caution.text.startswith("Warning.")] == [
        "Not suitable for children under 36 months"
    ]
    soft = book(understood("cuddly toy", "EU")).safety
    assert not [caution for caution in soft.cautions if caution.symbol or caution.prescribed]
    assert soft.age == ""
    american = book(understood(markets="US")).safety
    assert not [caution for caution in american.cautions if caution.symbol]


def test_signs_are_drawings_of_ours():
    for name in ("age", "alert", "wash-40-mild", "wash-hand", "wash-no", "bleach-no", "tumble-low", "dry-flat", "iron-2", "professional-P"):
        drawn = sign(name).decode()
        assert drawn.startswith("<svg")
        assert "<text" not in drawn
    assert 'r="50" fill="#e2001a"' in sign("age").decode()
    with pytest.raises(ValueError, match="no such sign"):
        sign("ce")


def test_what_blocks_comes_first_and_the_standing_caution_is_its_own_field():
    soft = book(understood("cuddly toy", "US, EU")).safety
    assert soft.cautions[0].text.startswith("A soft toy for cuddling counts as a toy")
    assert "not a safety test" in soft.standing


@pytest.mark.parametrize(("tag", "first", "others"), [
    ("de-DE", "Warning. Not suitable", ["Achtung. Nicht für Kinder unter 36 Monaten geeignet. Kleine Teile. Erstickungsgefahr."]),
    ("lt", "Warning. Not suitable", [""]),
])  # fmt: skip
def test_a_text_that_was_not_compared_is_printed_in_english_with_its_translation_marked(tag, first, others):
    _, shown, more = page._languages("EU-SP", ("EU",), (tag,), _words())
    assert shown.startswith(first)
    assert [one.text for one in more] == others
    assert all(one.to_check == "Translation to be checked" for one in more)


def test_a_statement_of_the_united_states_is_english_in_every_edition():
    _, shown, others = page._languages("US-SP", ("US",), ("de-DE",), _words())
    assert shown.startswith("WARNING: CHOKING HAZARD—")
    assert others == ()


def test_canadian_texts_stand_in_both_languages():
    _, shown, others = page._languages("CA-BAG", ("CA",), ("en-US",), _words())
    assert shown.startswith("PLASTIC BAGS")
    assert [one.language for one in others if not one.to_check] == ["fr"]


def test_all_languages_of_a_market_on_one_panel():
    lines = {line.language: line for line in page.panel("EU-SP", "EU")}
    assert len(lines) == 22
    assert not lines["en"].to_check
    assert lines["et"].text == lines["en"].text  # no Estonian text is known: English, marked
    assert lines["et"].to_check
    assert [line.language for line in page.panel("CA-BAG", "CA")] == ["en", "fr"]
    assert [line.language for line in page.panel("EU-SP", "EU", ("de", "fr", "nl"))] == ["de", "fr", "nl"]


def _words():
    from booklet.pages.wording import words

    return words(Edition(("en-US",), "US"), load("en-US", "US"), dict(page_words("en-US")), "en-US")


@pytest.mark.parametrize(("fibre", "first"), [
    ("100% cotton", "wash-40-mild"),  # the buttons ask for the gentle cycle
    ("50% wool, 50% acrylic", "wash-hand"),
    ("superwash wool", "wash-30-very-mild"),
])  # fmt: skip
def test_care_follows_the_weakest_material(fibre, first):
    found = book(understood(fibre=fibre)).safety.care
    assert found.symbols[0].name == first
    assert "licence" in found.licence
    assert [one.name.split("-")[0] for one in found.symbols][:3] == ["wash", "bleach", "tumble"]


def test_no_care_advice_without_a_fibre():
    assert book(understood(fibre="moonlight")).safety.care is None


def test_weakest_takes_the_lowest_of_everything():
    cotton, wool = (borne for _, borne in (*care.fibres("cotton"), *care.fibres("wool")))
    assert care.weakest((cotton, wool)) == care.Care(30, "hand", "no", "no", 2, "P")
    assert [name for name, _ in care.fibres("superwash merino / nylon")] == ["superwash_wool", "nylon"]


def test_fields_for_the_maker_of_a_kit():
    assert book().safety.fields == ()
    assert book(understood(more="maker-age: 14")).safety.fields == ("Made by", "Address", "Batch or type number", "Place and date of making")
