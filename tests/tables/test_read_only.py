"""A language that can be read and not printed: a folder without the tables of printing; patterns in it build in any printed language."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from booklet import pipeline
from booklet.cli import main
from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.tables.language import PRINTED, lacking, load, printable, spoken, tags
from booklet.tables.lineage import holder

READ = ("cs", "hu", "sk")
PATTERN = """---
title: Labda
language: hu
hook: 2.5 mm
made as: decoration
---

## Labda

1. sor: 6 rp a varázskörbe (6)
2. sor: 6 szap (12)
3. sor: *1 rp, 1 szap* ism. 6x (18)
4-6. sor: minden szembe 1 rp (18)
7. sor: (1 rp, fogy) x 6 (12)

Tömd ki.

8. sor: 6 fogy (6)
"""


def test_a_language_is_printable_or_says_what_it_lacks() -> None:
    assert set(READ) == set(tags()) - set(printable())
    for tag in tags():
        assert lacking(tag) == tuple(name for name in PRINTED if not holder(tag, name))
        assert bool(lacking(tag)) == (tag in READ)


def test_the_list_of_languages_says_it() -> None:
    found = CliRunner().invoke(main, ["list", "languages", "--json"])
    rows = {row["tag"]: row for row in json.loads(found.stdout)}
    assert {tag for tag, row in rows.items() if row["use"] == "read"} == set(READ)
    assert rows["hu"]["lacking"] == ["page.tsv", "writing.tsv"]
    assert rows["de"]["lacking"] == []


@pytest.mark.parametrize("command", ["build", "chart"])
def test_nothing_is_printed_in_it(tmp_path, command: str) -> None:
    file = tmp_path / "labda.md"
    file.write_text(PATTERN, "utf-8")
    found = CliRunner().invoke(main, [command, str(file), "-o", str(tmp_path / "out")])
    assert found.exit_code == 2
    assert "shared/languages/hu has no page.tsv and no writing.tsv" in found.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("tag", ["de", "en-US"])
def test_its_patterns_are_printed_in_other_languages(tag: str) -> None:
    understood = pipeline.understand(PATTERN.encode(), "labda.md")
    assert [line.total for line in understood.graph.settled] == [6, 12, 18, 18, 12, 6]
    book = pipeline.compose_book(understood, Edition((tag,), load(tag).terms), layout("a5"), pipeline.Shared())
    assert book.parts


def test_rounds_are_told_back_in_english() -> None:
    assert spoken(load("hu")).tag == "en-US"
    assert spoken(load("de")).tag == "de"
