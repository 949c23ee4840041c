"""US and UK (and Australian) editions: stitches by identity and listed, other words filled in to be looked at, terms and spelling apart."""

from __future__ import annotations

import re
from pathlib import Path

import polib
import pytest

from booklet import pipeline, translation
from booklet.catalogues import reword
from booklet.diagnostics.codes import help_text, message, severity
from booklet.editions.discover import layout, layouts
from booklet.editions.edition import Edition
from booklet.pages import measures
from booklet.pages.book import Prose
from booklet.tables import wording
from booklet.tables.language import load, page_words
from booklet.tables.reader import TableFault
from tests.catalogues.called import run

BALL = """\
---
title: Gray ball
language: {language}
terms: {terms}
hook: 3.5 mm
gauge: 24 sc x 25 rnds = 10 cm
yarns:
  A: gray, medium (4), 100% cotton, 125 m / 50 g
---

Change color after 3 sc; work 2 hdc and a single crochet, then skip none. See [the gray page](https://example.org/color-3-sc).
Check your gauge.

## Ball

With A. Worked in a spiral.

Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnd 3: hdc around (12)
Rnd 4: dec x 6 (6)

Fasten off. Close the hole.
"""
US = BALL.format(language="en-US", terms="US")


def made(text: str, tag: str, terms: str, units: str = "metric", folder: Path | None = None, market: str = ""):
    understood = pipeline.understand(text.encode(), "ball.md")
    return pipeline.book_of(understood, Edition((tag,), terms, units, market), layout("a5"), folder or Path("nowhere"), pipeline.Shared())


def prose(book) -> str:
    return " ".join(block.text for section in book.notes for block in section.blocks if isinstance(block, Prose))


def test_stitches_in_prose_are_printed_by_identity_and_each_is_listed():
    book, problems = made(US, "en-GB", "UK")
    # Source: trade lists that set UK beside US terms (shared/terms): sc = dc, hdc = htr.
    assert "Change color after 3 dc; work 2 htr and a double crochet, then skip none." in prose(book)
    assert "https://example.org/color-3-sc" in prose(book)
    told = [(dict(found.values)["word"], dict(found.values)["told"]) for found in problems if found.code == "stitch-word-in-prose"]
    assert told == [("sc", "dc"), ("hdc", "htr"), ("single crochet", "double crochet")]
    lines = US.split("\n")
    for found in (one for one in problems if one.code in reword.CODES):
        text = lines[found.span.line - 1][found.span.column - 1 : found.span.end_column - 1]
        assert text == dict(found.values)["word"]
        assert severity(found) == "note" and "{" not in message(found) + help_text(found)


def test_other_words_are_named_and_not_replaced():
    _, problems = made(US, "en-GB", "UK")
    told = {dict(found.values)["word"]: dict(found.values)["told"] for found in problems if found.code == "wording-to-review"}
    # Source: dictionaries of both countries; gauge and tension, skip and miss: common practice, no source.
    assert told == {"color": "colour", "skip": "miss", "gray": "grey", "gauge": "tension"}
    book, problems = made(US, "en-US", "UK")  # UK terms in American spelling
    told = {dict(found.values)["word"] for found in problems if found.code == "wording-to-review"}
    assert told == {"skip", "gauge"}
    assert "after 3 dc" in prose(book)
    assert not made(US, "en-US", "US")[1]


def test_the_reverse():
    book, problems = made(BALL.format(language="en-GB", terms="UK").replace("sc", "dc").replace("hdc", "htr").replace("hdc", "htr")
                          .replace("color ", "colour ").replace("single crochet", "double crochet"), "en-US", "US")  # fmt: skip
    assert "Change colour after 3 sc" in prose(book)
    assert ("colour", "color") in [tuple(dict(found.values)[key] for key in ("word", "told")) for found in problems if found.code == "wording-to-review"]


def test_a_catalogue_is_filled_in_to_be_looked_at_and_then_printed(tmp_path: Path):
    file = tmp_path / "ball.md"
    file.write_text(US, "utf-8")
    assert run("translate", str(file), "--language", "en-GB") == 0
    path = tmp_path / "locale/ball.en-GB.po"
    first = path.read_bytes()
    entries = {one.msgid: one for one in polib.pofile(str(path))}
    one = next(entry for text, entry in entries.items() if text.startswith("Change color"))
    assert one.fuzzy and "colour = " not in one.msgstr
    assert one.msgstr.startswith("Change colour after 3 {sc}; work 2 {hdc} and a {single crochet}, then miss none.")
    assert "[the grey page](https://example.org/color-3-sc)" in one.msgstr and "Check your tension." in one.msgstr
    assert entries["Gray ball"].msgstr == "Grey ball" and entries["Ball"].msgstr == ""
    assert "color = colour" in one.comment
    assert run("translate", str(file), "--language", "en-GB") == 0 and path.read_bytes() == first
    # Until somebody has looked at it, nothing of it is printed.
    assert "Change color" in prose(made(US, "en-GB", "UK", folder=tmp_path)[0])
    path.write_bytes(first.replace(b"#, fuzzy\n", b""))
    book, problems = made(US, "en-GB", "UK", folder=tmp_path)
    assert "Change colour after 3 dc" in prose(book) and book.title == "Grey ball"
    assert [found.code for found in problems if found.code == "wording-to-review"] == []
    assert run("check", str(file), "--language", "en-GB") == 0
    understood = pipeline.understand(US.encode(), "ball.md")
    codes = {found.code for found in translation.check(understood, "en-GB", tmp_path)}
    assert not {code for code in codes if code.startswith("translation")}


@pytest.mark.parametrize(
    ("tag", "terms", "gauge", "declared", "weight", "stitch"),
    [
        ("en-US", "US", "Gauge", "US terms", "medium (4)", "sc"),
        ("en-US", "UK", "Tension", "UK terms", "medium (4)", "dc"),
        ("en-GB", "UK", "Tension", "UK terms", "aran (4)", "dc"),
        ("en-GB", "US", "Gauge", "US terms", "aran (4)", "sc"),  # US terms in British spelling
        ("en-AU", "UK", "Tension", "UK terms", "10 ply (4)", "dc"),
    ],
)
def test_terms_spelling_and_market_are_three_things(tag: str, terms: str, gauge: str, declared: str, weight: str, stitch: str):
    book, _ = made(US, tag, terms)
    fact = next(one for one in book.glance if one.label in ("Gauge", "Tension"))
    assert fact.label == gauge and f" {stitch} " in fact.value.replace("\u00a0", " ")
    assert declared in book.abbreviations.declaration
    assert weight in book.materials.yarns[0].details
    words = " ".join(page_words(tag).values())
    assert ("colour" in words) == (tag != "en-US")


def test_the_units_of_the_market_stand_first():
    def said(tag: str, market: str) -> str:
        book, _ = made(US, tag, load(tag).terms, "both", market=market)
        return " ".join(fact.value for fact in book.glance).replace("\u00a0", " ")

    # Source: Unicode CLDR, measurementSystem: inches in the United States, metric elsewhere (paper of Canada: Letter all the same).
    assert "4 in (10 cm)" in said("en-US", "US")
    assert "4 Zoll (10 cm)" in said("de", "US")
    assert "10 cm (4 in)" in said("en-GB", "UK")
    assert "10 cm (4 in)" in said("en-US", "CA")
    assert "3.5 mm (US E-4)" in said("en-US", "US")  # Source: conversion charts of yarn shops (shared/sizes/hooks.tsv)
    style = measures.Style("both", ".", page_words("en-US"), "imperial")
    assert measures.mass(50, style) == "1.8\u00a0oz (50\u00a0g)"


def test_a_metric_edition_in_uk_terms_has_no_us_letter():
    book, _ = made(US, "en-GB", "UK")
    assert "3.5\u00a0mm" in [fact.value for fact in book.glance]


def test_rows_differ_and_are_read_both_ways():
    for one in wording.wordings():
        assert one.words["US"] != one.words["UK"]
        assert not one.page or one.page in page_words("en-US")
    us, uk = load("en-US"), load("en-GB")
    assert reword.reworded("Skip the colored gauge.", us, uk) == "Miss the coloured tension."
    assert reword.reworded("Miss the coloured tension.", uk, us) == "Skip the colored gauge."
    assert reword.reworded("Skip the colored gauge.", us, load("de")) == "Skip the colored gauge."
    assert reword.reworded("discolored, color-block {gray}", us, uk) == "discolored, color-block {gray}"


def test_a_wrong_row_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    (tmp_path / "wording.tsv").write_text("kind\tUS\tUK\tpage\tsource\nspelling\tgray\tgray\n", "utf-8")
    monkeypatch.setattr("booklet.tables.reader.folder", lambda name: tmp_path)
    wording.wordings.cache_clear()
    try:
        with pytest.raises(TableFault, match=r"wording\.tsv:2"):
            wording.wordings()
    finally:
        wording.wordings.cache_clear()


@pytest.mark.parametrize("name", layouts())
@pytest.mark.parametrize("reader", ["some", "none"])
def test_the_terms_are_declared_before_the_first_instruction(name: str, reader: str):
    understood = pipeline.understand(US.encode(), "ball.md")
    edition = Edition(("en-GB",), "US", layout=name, reader=reader)
    page, _, _ = pipeline.set_pages(understood, edition, layout(name), Path("nowhere"), pipeline.Shared())
    text = re.sub(r"<[^>]+>|&nbsp;", " ", page[page.index("<body") :]).replace("\u00a0", " ")
    first = min(found for found in (text.find("6 sc in"), text.find("Rnd 1")) if found >= 0)
    assert 0 <= text.find("This pattern is written in US terms.") < first


def test_plain_text_declares_its_terms_too():
    from booklet.outputs.plain_text import plain_text

    text = plain_text(made(US, "en-GB", "US")[0]).decode()
    assert 0 <= text.find("This pattern is written in US terms.") < text.find("Rnd 1")
