"""Kit cards: what is given up, what never is, and what the finished PDF measures."""

from __future__ import annotations

import io
import re
import sys
from pathlib import Path

import pikepdf
import pypdfium2
import pytest

from booklet import pipeline
from booklet.diagnostics.codes import message
from booklet.editions.discover import BLOCKS, layout, layouts
from booklet.editions.edition import Edition
from booklet.outputs.codes import modules, qr
from booklet.outputs.pdf_heights import statement_sizes
from booklet.pages.card import Measured, fit, without
from tests.built import built
from tests.pages.test_compose import made

sys.path.insert(0, str(Path(__file__).parents[1] / "whole"))
from letters import pages as lines_of

CARDS = [name for name in layouts() if layout(name).card_sides]
MM = 72 / 25.4


def card(name: str, languages: tuple[str, ...] = ("en-US",), market: str = "", rounds_in: str = "first") -> pipeline.Built:
    return built("acorn/acorn", Edition(languages, "US", units="both", market=market, layout=name, rounds_in=rounds_in))


def everything(book: object) -> set[str]:
    return {name for name in BLOCKS if without(book, (name,)) != book}  # type: ignore[arg-type]


SIZES = {"cover": 3, "chart": 4, "glance": 1, "notes": 2, "photos": 6}


def counted(book):
    """Stands for a layout: one side for the rest, and so many for each block that is there."""
    return 1 + sum(sides for name, sides in SIZES.items() if name in everything(book))


def test_blocks_are_given_up_in_their_order_until_the_rest_fits():
    book = made()
    order = [name for name in ("photos", "chart", "notes", "cover", "glance") if name in everything(book)]
    assert len(order) >= 3
    whole = counted(book)
    assert fit(book, order, whole, 1, counted).left == ()
    found = fit(book, order, whole - 1, 1, counted)
    assert found.left == (order[0],)
    assert found.needs == whole
    assert found.room == whole - 1


def test_measuring_finds_the_same_with_fewer_trials():
    book = made()
    order = [name for name in ("photos", "glance", "notes", "chart", "cover") if name in everything(book)]
    tried: list[int] = []

    def count(one):
        tried.append(counted(one))
        return tried[-1]

    def measure(one):
        return Measured(counted(one), {name: float(sides) for name, sides in SIZES.items()})

    for wished in range(2, counted(book)):
        tried.clear()
        plain = fit(book, order, wished, 1, counted)
        assert fit(book, order, wished, 1, count, measure) == plain
        assert len(tried) <= 6
        # A wrong measure may leave out more, but what is left fits.
        wrong = fit(book, order, wished, 1, counted, lambda one: Measured(counted(one) + 99, {}))
        assert counted(without(book, wrong.left)) <= wrong.room


def test_what_still_finds_room_is_put_back():
    book = made()
    order = ["glance", "notes"]  # the small one is given up first, in vain
    assert set(order) <= everything(book)
    found = fit(book, order, counted(book) - SIZES["notes"], 1, counted)
    assert found.left == ("notes",)


def test_a_pattern_that_does_not_fit_gets_whole_cards_more():
    found = fit(made(), BLOCKS, 2, 2, lambda book: 7 + len(everything(book)))
    assert (found.wished, found.room) == (2, 8)


def test_a_card_gives_up_nothing_that_a_maker_needs():
    book = made()
    bare = without(book, BLOCKS)

    def rounds(one):
        return [row.label + row.text + row.total for part in one.parts for block in part.blocks if block.kind == "rounds" for row in block.rows]

    assert rounds(bare) == rounds(book) != []
    # Of a caution nothing is given up but what a maker can do about it, which is no part of it: "advice".
    assert without(book, [name for name in BLOCKS if name != "advice"]).safety.cautions == book.safety.cautions
    assert bare.safety.cautions == tuple(one._replace(more=()) for one in book.safety.cautions)
    assert (bare.materials, bare.abbreviations, bare.safety.standing) == (book.materials, book.abbreviations, book.safety.standing)
    assert len(bare.finishing) == len(book.finishing)


@pytest.mark.parametrize("name", CARDS)
def test_a_card_says_what_it_gives_up(name):
    built, setting = card(name), layout(name)
    assert built.pages % setting.file_multiple == 0
    told = [message(problem) for problem in built.problems if problem.code.startswith("card-")]
    more = any("does not fit" in sentence for sentence in told)
    panels = built.pages * len(setting.sheet.panels) // 2 if setting.sheet else built.pages
    assert more == (panels > setting.card_sides)
    assert set(setting.drop) == set(BLOCKS)


@pytest.mark.parametrize("name", CARDS)
def test_letters_of_the_statement_are_as_large_as_the_panel_asks(name):
    """16 CFR 1500.19(d)(9) by way of shared/safety: the sizes follow from the area of the panel."""
    signal, hazard, rest, _ = statement_sizes(layout(name).width_mm, layout(name).height_mm)
    lines = [line for page in lines_of(card(name).data) for line in page]
    words = ("WARNING:", "CHOKING", "Small parts", "Not for children under 3 yrs")
    by_words = {word: max((line.size for line in lines if word in line.text), default=0.0) for word in words}
    assert by_words["WARNING:"] >= signal - 0.05
    assert by_words["CHOKING"] >= hazard - 0.05
    assert by_words["Not for children under 3 yrs"] >= rest - 0.05
    assert by_words["Small parts"] >= rest - 0.05


@pytest.mark.parametrize("name", CARDS)
def test_a_card_has_fields_for_its_maker_a_code_and_every_total(name):
    document = pypdfium2.PdfDocument(card(name).data)
    text = re.sub(r"\s+", " ", "\n".join(page.get_textpage().get_text_bounded() for page in document))
    for words in ("Made by", "Address", "Batch or type number", "Place and date of making", "Video", "Rnd 9", "Not for children under 3"):
        assert words in text
    for page in document:
        left, bottom, right, top = page.get_trimbox()
        words = page.get_textpage()
        for at in range(words.count_rects()):
            a, b, c, d = words.get_rect(at)
            assert left + 5 * MM <= a <= c <= right - 5 * MM
            assert bottom + 5 * MM <= b <= d <= top - 5 * MM


@pytest.mark.parametrize("name", CARDS)
def test_the_acorn_fits_on_every_card(name):
    assert card(name).pages == (2 if layout(name).sheet else layout(name).card_sides)


def test_rounds_are_larger_than_the_rest():
    for name in CARDS:
        lines = [line for page in lines_of(card(name).data) for line in page]
        row = next(line for line in lines if "(sc, inc) x 6" in line.text.replace("\u00a0", " "))
        assert row.size >= 10  # read at arm's length; common practice, no source
        assert row.size > layout(name).body_pt


def test_warnings_stand_in_all_languages_and_the_rounds_in_the_first():
    text = " ".join(line.text for page in lines_of(card("card-a6", ("en-US", "de", "fr"), "EU").data) for line in page)
    text = re.sub(r"\s+", " ", text)
    assert "6 sc in MR" in text
    assert "6 fM" not in text
    flat = re.sub(r"\W+", "", text).casefold()
    assert "achtung" in flat
    assert "attention" in flat or "avertissement" in flat


def test_a_code_for_print_has_its_quiet_zone_and_modules_that_can_be_scanned():
    address = "https://example.org/acorn"
    drawn = qr(address).decode()
    # ISO/IEC 18004: version 2 has 25 modules a side; four modules of quiet zone on each side.
    assert modules(address) == 25 + 8
    assert f'viewBox="0 0 {modules(address)} {modules(address)}"' in drawn
    assert 18 / modules(address) >= 0.4  # mm a module; for a phone at reading distance 0.33 is usual; common practice, no source
    for bad in ("", "https://example.org/" + "a" * 300):
        with pytest.raises(ValueError, match="characters"):
            qr(bad)


@pytest.mark.parametrize("name", CARDS)
def test_tables_hold_rows_and_nothing_else(name):
    """ISO 32000-1, table 337: a table holds rows, groups of rows and a caption. A box that is set as a block makes a table of its own."""
    tables = 0
    with pikepdf.open(io.BytesIO(card(name).data)) as document:
        waiting = [document.Root.StructTreeRoot.K]
        while waiting:
            one = waiting.pop()
            if isinstance(one, pikepdf.Array):
                waiting += list(one)
            elif isinstance(one, pikepdf.Dictionary) and "/S" in one:
                kids = one.get("/K", pikepdf.Array())
                kids = list(kids) if isinstance(kids, pikepdf.Array) else [kids]
                if one.S == "/Table":
                    tables += 1
                    assert {str(kid.S) for kid in kids} <= {"/TR", "/THead", "/TBody", "/TFoot", "/Caption"}
                waiting += kids
    assert tables > 1
