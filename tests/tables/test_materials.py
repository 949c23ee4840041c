"""Usual names of materials: every language has all of them, shares are written as the CLDR says, half a line is never turned."""

from __future__ import annotations

from pathlib import Path

import pytest
from babel import Locale
from babel.numbers import format_percent

from booklet import pipeline, translation
from booklet.catalogues.message import OPTIONAL
from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.tables import materials
from booklet.tables.language import load, page_words, printable
from booklet.tables.lineage import lineage
from booklet.tables.materials import fibres, ids, inflected, known, things
from booklet.tables.reader import TableFault

EXAMPLES = Path(__file__).parents[2] / "examples"
FOREIGN = [tag for tag in printable() if not tag.startswith("en")]
each = pytest.mark.parametrize("tag", printable())
foreign = pytest.mark.parametrize("tag", FOREIGN)


@each
def test_every_language_names_the_same_materials(tag: str):
    assert set(ids(tag)) == set(ids("en-US"))
    assert len(ids(tag)) > 80


@each
def test_a_share_is_written_as_the_cldr_writes_it(tag: str):
    # Source: percent patterns of the Unicode CLDR through Babel. Chinese and Japanese labels put the fibre first: common practice, no source.
    told = fibres("40% cotton", "en-US", tag)
    percent = format_percent(0.4, locale=Locale.parse(tag, sep="-")).replace("\u200e", "").replace("\u200f", "")
    spaces = str.maketrans("\u202f\u00a0", "  ")
    assert percent.translate(spaces) in told.translate(spaces)


# Source: Annex I of Regulation (EU) No 1007/2011, table 1 (numbers 1, 5, 26, 30, 35), from memory.
ANNEX = {
    "de": ("Wolle", "Baumwolle", "Polyacryl", "Polyamid", "Polyester"),
    "fr": ("laine", "coton", "acrylique", "polyamide", "polyester"),
    "es": ("lana", "algodón", "acrílico", "poliamida", "poliéster"),
    "it": ("lana", "cotone", "acrilico", "poliammide", "poliestere"),
    "nl": ("wol", "katoen", "acryl", "polyamide", "polyester"),
    "da": ("uld", "bomuld", "akryl", "polyamid", "polyester"),
    "sv": ("ull", "bomull", "akryl", "polyamid", "polyester"),
    "pl": ("wełna", "bawełna", "akryl", "poliamid", "poliester"),
}


@pytest.mark.parametrize("tag", ANNEX)
def test_the_names_of_the_regulation(tag: str):
    told = tuple(known("fibre", word, "en-GB", tag) for word in ("wool", "cotton", "acrylic", "polyamide", "polyester"))
    assert told == ANNEX[tag]


@foreign
def test_what_every_kit_holds_has_a_name(tag: str):
    wanted = ("yarn needle", "stitch marker", "4 stitch markers", "scissors", "safety eyes", "polyester stuffing", "stuffing", "pins")
    for words in wanted:
        bare = words.removeprefix("4 ")
        told = known("notion", bare, "en-US", tag)
        assert told and told != bare, words


@foreign
def test_there_and_back(tag: str):
    """A pattern written in the language is turned into English too; a name that two things share in a language may come back as the other."""
    for one in ids(tag):
        family = one.partition(".")[0]
        kind = {"fibre": "fibre", "colour": "yarn colour", "notion": "notion"}[family]
        row = materials._table(tag)[0][one]
        assert known(kind, row.name, tag, "en-US") or "," in row.name or "(" in row.name, row


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("60% cotton, 40% acrylic", "60\u00a0% Baumwolle, 40\u00a0% Polyacryl"),
        ("80 % merino 20 % nylon", "80\u00a0% Merinowolle, 20\u00a0% Polyamid"),
        ("cotton/linen", "Baumwolle, Leinen"),
        ("100% moonbeam", ""),
        ("60% cotton, 40% moonbeam", ""),
        ("100%", ""),
        ("", ""),
        ("% % %", ""),
    ],
)
def test_fibres(text: str, told: str):
    assert fibres(text, "en-US", "de") == told


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("stuffing", "Füllwatte"),
        ("Yarn needle", "Wollnadel"),
        ("black embroidery thread, 50 cm", "Stickgarn, schwarz, 50\u00a0cm"),
        ("embroidery thread (black)", "Stickgarn, schwarz"),
        ("safety eyes, 2.5 mm", "Sicherheitsaugen, 2,5\u00a0mm"),
        ("a yarn needle of my own", ""),
        ("stuffing, made by my aunt", ""),
        ("black", "schwarz"),
    ],
)
def test_things(text: str, told: str):
    assert things(text, "en-US", "de") == told


@pytest.mark.parametrize(
    ("tag", "name", "forms"),
    [
        ("de", "Maschenmarkierer", {"one": "Maschenmarkierer", "other": "Maschenmarkierer"}),
        ("de", "Sicherheitsaugen", {"one": "Sicherheitsauge", "other": "Sicherheitsaugen"}),
        ("pl", "guzik", {"one": "guzik", "few": "guziki", "many": "guzików"}),
        ("ru", "магниты", {"one": "магнит", "few": "магнита", "many": "магнитов"}),
        ("ru", "Муха", {"one": "Муха", "few": "Муха"}),  # a translator's own word stays
    ],
)
def test_a_number_asks_for_its_form(tag: str, name: str, forms: dict[str, str]):
    assert {category: inflected(name, category, tag) for category in forms} == forms


def test_a_wrong_row_is_told_with_its_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    load("de"), page_words("de"), lineage("de")
    (tmp_path / "languages/de").mkdir(parents=True)
    (tmp_path / "languages/de/materials.tsv").write_text("id\tname\tplural\talso\nfiber.cotton\tBaumwolle\n", "utf-8")
    for module in ("reader", "lineage"):
        monkeypatch.setattr(f"booklet.tables.{module}.folder", lambda name: tmp_path)
    materials._table.cache_clear()
    try:
        with pytest.raises(TableFault, match=r"materials\.tsv:2"):
            ids("de")
    finally:
        materials._table.cache_clear()


@foreign
def test_the_materials_of_a_booklet_are_in_its_language(tag: str):
    """The pebble has no catalogue: nothing of its list of things is left in English, and nothing of it is told as missing."""
    path = EXAMPLES / "pebble/pebble.md"
    understood = pipeline.understand(path.read_bytes(), str(path))
    book, problems = pipeline.book_of(understood, Edition((tag,), "", "metric"), layout("a5"), path.parent, pipeline.Shared())
    told = " ".join((*(item.text for item in book.materials.items), *(yarn.details for yarn in book.materials.yarns))).casefold()
    assert told
    for word in ("cotton", "stuffing", "needle", "marker", "scissors"):
        assert word not in told, told
    (gap,) = [found for found in problems if found.code == "translation-incomplete"]
    messages = translation.messages(understood.pattern, understood.language, tag)
    known_ones = sum(bool(known(one.kind, one.text, "en-US", tag)) for one in messages)
    assert known_ones >= 4
    assert dict(gap.values)["missing"] == sum(one.kind not in OPTIONAL for one in messages) - known_ones


def test_a_label_of_a_kit_speaks_its_language():
    from booklet.pages import label
    from booklet.pages.wording import words

    speech = words(Edition(("de",), ""), load("de"), page_words("de"), "en-US")
    assert label._usual("notion", "safety eyes, 8 mm", speech) == "Sicherheitsaugen, 8\u00a0mm"
    assert label._usual("fibre", "100% cotton", speech) == "100\u00a0% Baumwolle"
    assert label._usual("notion", "stuffing", speech) == "Füllwatte"
    assert label._usual("notion", "moon dust", speech) == "moon dust"
