"""Every short form that a finished booklet prints in its rounds is explained in its table of abbreviations."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from booklet import pipeline
from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.tables.language import load

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*/*.md"))


def printed_rounds(book) -> list[str]:
    """The text of all rounds as a reader sees it, every kind of space the same."""
    return [
        " ".join(row.text.split()) for part in book.parts for block in part.blocks if block.kind == "rounds" for row in block.rows
    ]


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("file", EXAMPLES, ids=lambda path: path.stem)
def test_no_short_form_is_left_unexplained(file, terms):
    understood = pipeline.understand(file.read_bytes(), file.name)
    book = pipeline.compose_book(understood, Edition(("en-US",), terms), layout("a5"), pipeline.Shared())
    explained = {row.abbr for row in book.abbreviations.rows}
    assert explained, "a booklet with rounds has abbreviations"
    short = {name.abbr for name in load("en-US", terms).names.values() if name.abbr != name.term}
    for text in printed_rounds(book):
        rest = text
        for form in sorted(short, key=len, reverse=True):
            if re.search(rf"(?<![\w-]){re.escape(form)}(?![\w-])", rest):
                assert form in explained, (form, text)
                rest = re.sub(rf"(?<![\w-]){re.escape(form)}(?![\w-])", " ", rest)
