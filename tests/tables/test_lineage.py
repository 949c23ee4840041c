"""Variants of a language: a few rows before those of the base; what neither says is missing, and a base that is none is a fault of the table."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from booklet.notation.lex import lexicon
from booklet.notation.read import read_line
from booklet.notation.write import write
from booklet.resources import folder
from booklet.source.tree import Piece
from booklet.tables import lineage as lines
from booklet.tables.language import load, page_words, tags, variants
from booklet.tables.lineage import lineage, pairs_of, rows_of
from booklet.tables.reader import TableFault, pairs
from booklet.tables.techniques import technique


def test_a_variant_names_its_base() -> None:
    assert lineage("es-419") == ("es-419", "es")
    assert lineage("en-AU") == ("en-AU", "en-GB")
    assert lineage("de") == ("de",)
    assert set(variants()) == {tag for tag in tags() if "base" in pairs(lines.settings(tag))}


def test_its_own_rows_win_and_all_others_are_the_bases() -> None:
    own, base = page_words("es-419"), page_words("es")
    assert own.keys() == base.keys()
    said = pairs("languages/es-419/page.tsv")
    assert {key for key in own if own[key] != base[key]} <= set(said)
    assert own["chart_row"] == base["chart_row"]
    assert own["number_group"] == "," and base["number_group"] == "."
    assert "base" not in load("es-419").settings and load("es-419").settings["hyphenation"] == "es"


def test_latin_america_names_stitches_otherwise_than_spain() -> None:
    """Sources: ES1 Amigos del Crochet, basic stitches (medio punto, punto vareta); G1 crochet_terms of FrancophonIA (punto deslizado)."""
    here, there = load("es-419").names, load("es").names
    assert (here["single_crochet"].term, there["single_crochet"].term) == ("medio punto", "punto bajo")
    assert (here["double_crochet"].term, there["double_crochet"].term) == ("vareta", "punto alto")
    assert (here["slip_stitch"].term, there["slip_stitch"].term) == ("punto deslizado", "punto raso")
    assert here["increase"] == there["increase"]


def test_one_round_in_both_and_each_reads_the_other() -> None:
    home, here, there = load("en-US"), load("es-419"), load("es")
    meant = read_line((Piece("Rnd 3: sl st, 2 sc, 2 hdc, 2 dc, 2 tr (9)", 1, 1),), lexicon(home, ()), flat=False).readings[0]
    assert write(meant, here) == "V3: 1 pd, 2 mp, 2 mv, 2 var, 2 vd (9)"
    assert write(meant, there) == "V3: 1 pr, 2 pb, 2 mpa, 2 pa, 2 pad (9)"
    for text in (write(meant, here), write(meant, there)):
        for language in (here, there):
            found = read_line((Piece(text, 1, 1),), lexicon(language, ()), flat=False).readings[0]
            assert found.items == meant.items or write(found, home) == write(meant, home), (text, language.tag)


def test_every_stitch_of_a_variant_is_named_in_its_own_family_of_words() -> None:
    """No name of Latin America holds a stitch word of Spain: what the base calls `2 pa juntos` must not slip through."""
    spain = re.compile(r"\b(pb|pa|pad|pat|pr|punto bajo|puntos bajos|punto alto|puntos altos|punto raso)\b")
    found = load("es-419")
    wrong = [name for name in found.names.values() for text in (name.abbr, name.term, name.plural) if spain.search(text)]
    wrong += [text for text in found.writing.values() if spain.search(text)]
    assert wrong == []


def test_australia_has_the_terms_of_the_united_kingdom_and_its_own_plies() -> None:
    """Source: Craftys (UK), table of yarn weights with AU names: 8 ply is DK, 10 ply aran, 12 ply chunky."""
    here = load("en-AU")
    assert here.terms == "UK" and here.names == load("en-GB").names
    assert page_words("en-AU")["weight.3"] == "8 ply (3)" and page_words("en-AU")["gauge"] == "Tension"


def test_techniques_come_from_the_base() -> None:
    assert technique("chain", "en-AU") == technique("chain", "en-GB") is not None
    assert technique("magic-ring", "es-419") == technique("magic-ring", "es") is not None


@pytest.mark.parametrize("base", ["es-419", "xx", "../de", ""])
def test_a_base_that_is_none_is_a_fault_with_its_file(base: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    languages = tmp_path / "languages"
    languages.mkdir()
    for path in (folder("shared") / "languages").iterdir():
        (languages / path.name).symlink_to(path)
    (languages / "es").unlink()
    (languages / "es").mkdir()
    (languages / "es" / "settings.tsv").write_text(f"name\tX\nbase\t{base}\n", "utf-8")
    for module in ("lineage", "reader"):
        monkeypatch.setattr(f"booklet.tables.{module}.folder", lambda name: tmp_path)
    lineage.cache_clear()
    try:
        if base:
            with pytest.raises(TableFault, match=r"languages/es/settings\.tsv"):
                lineage("es-419")
        else:
            assert lineage("es") == ("es",)
    finally:
        lineage.cache_clear()


def test_a_table_that_nobody_has_is_told() -> None:
    for read in (pairs_of, rows_of):
        with pytest.raises(FileNotFoundError):
            read("es-419", "nothing.tsv")
