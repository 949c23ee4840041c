"""One pattern in every language: rounds, sentences and fixed words are the edition's, the designer's words stay as typed."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path

import pytest

from booklet import pipeline
from booklet.drawings.drawing import Drawing
from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.pages.abbreviations import in_alphabet
from booklet.pages.book import Book, CareSymbol, Caution, Direction, Prose, Rounds
from booklet.resources import folder
from booklet.tables import reader, safety
from booklet.tables.language import load, page_words, printable
from booklet.tables.lineage import lineage
from booklet.tables.reader import rows

EXAMPLES = Path(__file__).parents[2] / "examples"
FOREIGN = [tag for tag in printable() if not tag.startswith("en")]


@cache
def understood(name: str) -> pipeline.Understood:
    file = EXAMPLES / name
    return pipeline.understand(file.read_bytes(), file.name)


@cache
def made(tag: str, name: str = "pebble/pebble.md") -> Book:
    language = load(tag)
    edition = Edition((tag,), language.terms, language.settings["units"])
    return pipeline.compose_book(understood(name), edition, layout("a5"), pipeline.Shared())


def strings(value: object) -> list[str]:
    """Every text of the page model, but for the table of fixed words and the drawings."""
    if isinstance(value, str):
        return [value]
    if isinstance(value, Drawing | dict) or value is None:
        return []
    if isinstance(value, CareSymbol):  # its name is that of a drawing
        return [value.text]
    if isinstance(value, Caution) and value.prescribed and value.language:  # a text of the law, which says that it is in another language
        return [value.only_for, value.where, *value.more, *(one.to_check for one in value.others)]
    if isinstance(value, tuple):
        return [text for item in value for text in strings(item)]
    if is_dataclass(value):
        return [text for field in fields(value) for text in strings(getattr(value, field.name))]
    return []


def plain(text: str) -> str:
    return text.replace("\u00a0", " ").replace("\u202f", " ")


@pytest.mark.parametrize("name", ["pebble/pebble.md", "acorn/acorn.md"])
@pytest.mark.parametrize("tag", FOREIGN)
def test_no_english_leaks_into_another_language(tag: str, name: str) -> None:
    """What both editions print the same way is typed in the pattern, no word at all, or stands in the language's own tables."""
    typed = plain((EXAMPLES / name).read_text("utf-8"))
    language = load(tag)
    own = {*page_words(tag).values(), *(word for stitch in language.names.values() for word in stitch), language.name, tag}
    english = {text for text in strings(made("en-US", name)) if re.search(r"[^\W\d]{3}", text)}
    english = {text for text in english if plain(text).removeprefix("© ") not in typed and text not in own}
    # Anchors, kinds of blocks, colours and names of files are for the layout.
    english = {text for text in english if not re.fullmatch(r"[#a-z_0-9-]+", text)}
    assert len(english) > 40
    assert english & set(strings(made(tag, name))) == set()


# Source of the words: the tables of stitches; of the order of words: common practice, no source.
THIRD = {
    "en-US": ("Rnd 3", "(sc, inc) x 6", "(18)"),
    "en-GB": ("Rnd 3", "(dc, inc) x 6", "(18)"),
    "en-AU": ("Rnd 3", "(dc, inc) x 6", "(18)"),
    "es-419": ("V3", "(mp, aum) x 6", "(18)"),
    "de": ("3. Rd", "(fM, zun) x 6", "(18)"),
    "fr": ("Tour 3", "(ms, aug) x 6", "(18)"),
    "es": ("V3", "(pb, aum) x 6", "(18)"),
    "it": ("Giro 3", "(mb, aum) x 6", "(18)"),
    "nl": ("Toer 3", "(v, meerd) x 6", "(18)"),
    "da": ("3. omg", "(fm, udt) x 6", "(18)"),
    "sv": ("Varv 3", "(fm, ök) x 6", "(18)"),
    "nb": ("Omg 3", "(fm, øk) x 6", "(18)"),
    "pt-BR": ("Carr 3", "(pb, aum) x 6", "(18)"),
    "pl": ("Okr. 3", "(psł, dod) x 6", "(18)"),
    "ru": ("3 ряд", "(сбн, пр) x 6", "(18)"),
    "ko": ("3단", "(짧은뜨기, 늘려뜨기) × 6", "(18코)"),
    "he": ("סיבוב 3", "(חצי עמוד, הוספה) × 6", "(18)"),
    "ja": ("3段目", "（細編み、増し目）×6", "（18目）"),
}


@pytest.mark.parametrize("tag", printable())
def test_rounds_are_written_in_the_language_of_the_edition(tag: str) -> None:
    rows = [row for block in made(tag).parts[0].blocks if isinstance(block, Rounds) for row in block.rows]
    assert (rows[2].label, plain(rows[2].text), rows[2].total) == THIRD[tag]
    totals = [int(re.sub(r"\D", "", row.total)) for row in rows]
    assert totals == [6, 12, 18, 24, 24, 18, 12, 6]  # those that the pattern states


@pytest.mark.parametrize("tag", FOREIGN)
def test_sentences_are_translated_and_prose_keeps_its_language(tag: str) -> None:
    book = made(tag)
    blocks = [block for section in (*book.notes, *book.parts, *book.finishing) for block in section.blocks]
    prose = [block for block in blocks if isinstance(block, Prose)]
    assert book.source == "en-US"
    assert {block.language for block in prose} == {"en-US"}
    assert [block.text.split()[0] for block in prose] == ["A", "Press"]
    # With A. Worked in a spiral. Put the marker … | Stuff lightly. | Fasten off … Close … Weave in …
    assert len([block for block in blocks if isinstance(block, Direction)]) == 4


def test_names_stand_in_the_quotes_of_the_edition() -> None:
    def told(tag: str) -> str:
        return plain(" ".join(strings(made(tag, "harbour-otter/otter.md").finishing)))

    assert "Nähe „Ears“ an „Head“" in told("de")
    assert "Nähe 2 × „Paws“ an „Arms“" in told("de")
    assert "« Ears » sur « Head »" in told("fr")
    assert "деталь «Ears» к детали «Head»" in told("ru")
    assert "「Ears」を「Head」" in told("ja")


def test_english_editions_have_their_spelling() -> None:
    british = " ".join(strings(made("en-GB", "acorn/acorn.md")))
    assert "colour" in british and "anticlockwise" in british and "counterclockwise" not in british
    assert made("en-GB").abbreviations.declaration == page_words("en-GB")["terms.UK"]
    assert made("en-GB").source == ""


def test_terms_are_declared_where_a_language_has_two_systems() -> None:
    assert {tag for tag in printable() if made(tag).abbreviations.declaration} == {"en-US", "en-GB", "en-AU", "es", "es-419", "pl"}


@pytest.mark.parametrize("tag", printable())
def test_an_edition_from_a_draft_says_so(tag: str) -> None:
    note = next(fact.note for fact in made(tag).colophon.facts if fact.label == page_words(tag)["colophon.edition"])
    assert (note == page_words(tag)["draft"]) == (load(tag).settings["status"] == "draft")


def test_letters_are_sorted_as_each_language_sorts_them() -> None:
    # Source: the alphabets. å ä ö end the Swedish one, æ ø å the Danish and Norwegian; ł follows l in Polish.
    for tag, letters in {"sv": "azåäö", "da": "azæøå", "nb": "azæøå", "pl": "lłm", "es": "nño", "ru": "еёж", "de": "aäb"}.items():
        alphabet = load(tag).settings.get("alphabet", "")
        assert "".join(sorted(sorted(letters), key=lambda letter: in_alphabet(letter, alphabet))) == letters


@pytest.mark.parametrize("tag", FOREIGN)
def test_every_language_has_every_caution_with_the_same_values(tag: str) -> None:
    """All codes of the English table, the same {names}, nothing left in English, and a standing caution that sends to a laboratory."""
    english = {row.cells["code"]: row.cells["text"] for row in rows("safety/notes.tsv")}
    tables = [f"safety/notes/{one}.tsv" for one in reversed(lineage(tag)) if (folder("shared") / f"safety/notes/{one}.tsv").is_file()]
    own = {row.cells["code"]: row.cells["text"] for table in tables for row in rows(table)}
    assert list(own) == list(english)
    for code, text in own.items():
        assert sorted(re.findall(r"{\w+}", text)) == sorted(re.findall(r"{\w+}", english[code])), code
        assert text != english[code]
        # Source: the rule of the house that nothing promises safety, in the words of each language (from memory).
        assert not re.search(r"\b(safe|verified|CE|UKCA|sicher|ungefährlich|sûr|sans danger|seguro|sicuro|veilig|sikkert|säker|bezpieczn\w*|безопасн\w*|בטוח\w*)\b|安全|안전", text)
    if tag not in ("ja", "ko", "he"):  # other scripts
        assert re.search("(?i)labor|лаборатори", own["caution"])


def test_a_language_that_lacks_a_caution_is_a_fault_of_its_table(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    load("de")  # its settings are kept: below, the folder of the languages is not there
    monkeypatch.setattr(safety, "folder", lambda name: tmp_path)
    monkeypatch.setattr(reader, "folder", lambda name: tmp_path)
    (tmp_path / "safety/notes").mkdir(parents=True)
    (tmp_path / "safety/notes.tsv").write_text("code\tlanguage\ttext\nmarble\ten\tMarble\npull\ten\tPull\n", "utf-8")
    (tmp_path / "safety/notes/de.tsv").write_text("code\ttext\nmarble\tMurmel\n", "utf-8")
    safety._notes.cache_clear()
    try:
        with pytest.raises(reader.TableFault, match="no sentence for pull"):
            safety.note_text("marble", "de")
    finally:
        safety._notes.cache_clear()


def test_numbers_of_cautions_have_the_decimal_mark_of_the_edition() -> None:
    def said(tag: str) -> str:
        return plain(" ".join(text for caution in made(tag, "acorn/acorn.md").safety.cautions for text in (caution.text, *caution.more)))

    english, german = (re.findall(r"\d[.,]\d+ (?:N|lbf|mm|in)\b", said(tag)) for tag in ("en-US", "de"))
    assert english and [text.replace(".", ",") for text in english] == german
