"""Test copies: every page says whose it is, the margin is wide, and the form has every line of the pattern."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner

from booklet import pipeline
from booklet.cli import main
from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.editions.paper import LEAST_TEXT_MM, noted, paper

ACORN = Path(__file__).parents[2] / "examples" / "acorn" / "acorn.md"
NAME = "Anna Beispiel"


@cache
def understood() -> pipeline.Understood:
    return pipeline.understand(ACORN.read_bytes().replace(b"title: Acorn", b'title: Acorn\nversion: "1.2"\ndate: 2026-03-04'), "acorn.md")


def texts(name: str, reader: str = "some") -> list[str]:
    made = pipeline.build(understood(), Edition(("en-US",), "US", layout=name, reader=reader, tester=NAME), ACORN.parent)
    document = pypdfium2.PdfDocument(made.data)
    try:
        return [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]
    finally:
        document.close()


@pytest.mark.parametrize(("name", "reader"), [("a5", "some"), ("a4", "some"), ("a4", "none")])
def test_every_page_says_whose_copy_it_is(name, reader):
    pages = texts(name, reader)
    assert all(f"Test copy for {NAME}" in page for page in pages)
    assert all("version 1.2" in page and "March 4, 2026" in page for page in pages)
    assert sum("Slips found, line by line" in page for page in pages) >= 1


def test_the_form_has_every_line_and_every_yarn():
    edition = Edition(("de",), "", tester=NAME)
    book, _ = pipeline.book_of(understood(), edition, paper(edition), ACORN.parent, pipeline.Shared())
    assert book.trial is not None
    written = [[row.label for block in part.blocks if block.kind == "rounds" for row in block.rows] for part in book.parts]
    assert [list(part.rows) for part in book.trial.parts] == written
    assert [yarn.colour.code for yarn in book.trial.yarns] == ["A", "B"]
    assert book.trial.stamp == f"Testexemplar für {NAME} · Fassung 1.2 · 4. März 2026"


@pytest.mark.parametrize("name", ["a5", "a4", "letter", "large-print", "ink-saving"])
def test_the_margin_is_wide_and_the_text_stays_legible(name):
    made, usual = noted(layout(name)), layout(name)
    assert made.margins.outer > usual.margins.outer
    assert made.text_mm[0] >= min(LEAST_TEXT_MM, usual.text_mm[0])
    assert made.chart_mm[0] <= made.text_mm[0]


def test_another_booklet_has_neither_stamp_nor_form():
    book, _ = pipeline.book_of(understood(), Edition(("en-US",), "US"), layout("a5"), ACORN.parent, pipeline.Shared())
    assert book.trial is None
    assert paper(Edition(("en-US",), "US", layout="a5")) == layout("a5")


@pytest.mark.parametrize("asked", [("--layout", "card-a6", "--test-copy", "Anna"), ("--test-copy", "  "), ("--test-copy", "A" * 61)])
def test_what_cannot_be_a_test_copy_is_refused(asked, tmp_path):
    found = CliRunner().invoke(main, ["build", str(ACORN), "-o", str(tmp_path), *asked])
    assert found.exit_code == 2
    assert not list(tmp_path.iterdir())


def files(tmp_path, *asked: str) -> str:
    found = CliRunner().invoke(main, ["build", str(ACORN), "-o", str(tmp_path), "--test-copy", NAME, *asked])
    assert found.exit_code == 0, found.output
    (path,) = tmp_path.iterdir()
    return path.read_text("utf-8")


def test_plain_text_has_the_stamp_and_the_form(tmp_path):
    text = files(tmp_path, "--format", "txt", "--layout", "a5", "--language", "en-US")
    assert text.index(f"* Test copy for {NAME}") < text.index("At a glance")
    form = text[text.index("\nYour notes on the test\n") : text.index("\nAbout this pattern\n")]
    for line in ("Begun on: ____________", "  Yours: ____________", "[ ] Rnd 1: ____________", "[ ] Rnds 4–7: ____________"):
        assert f"\n{line}\n" in form
    book, _ = pipeline.book_of(understood(), Edition(("en-US",), "US", tester=NAME), layout("a5"), ACORN.parent, pipeline.Shared())
    assert form.count("[ ]") == sum(len(part.rows) for part in book.trial.parts)
    assert "[ ] " not in text[: text.index("\nYour notes on the test\n")]
    assert max(map(len, text.splitlines())) <= 72


def test_a_telephone_has_the_stamp_and_fields_to_fill_in(tmp_path):
    page = files(tmp_path, "--layout", "phone", "--language", "en-US")
    assert f'<p class="trial-stamp">Test copy for {NAME}' in page
    form = page[page.index('<section class="trial') :]
    form = form[: form.index("</section>")]
    for name in ("Begun on", "Yours · A", "Yours · Gauge", "Rnd 1", "Rnds 4–7"):
        assert f'<input type="text" class="note" aria-label="{name}">' in form
    assert form.count("<textarea") == 1
    assert 'class="blank"></td>' not in form
