"""The fixed words of the page: every key that is asked for exists, every key that exists is asked for."""

import re
from pathlib import Path

import pytest

from booklet.diagnostics.span import START
from booklet.editions.edition import Edition
from booklet.notation.tree import Act, Instruction
from booklet.notation.write import body, inside, label
from booklet.pages import measures
from booklet.pages.wording import category, quotes, words
from booklet.resources import folder
from booklet.tables.language import from_memory, is_draft, load, page_words, printable
from booklet.tables.lineage import lineage

ROOM = Path(__file__).parents[2] / "booklet" / "pages"
OUTSIDE = (ROOM.parent / "translation.py", ROOM.parent / "tables" / "materials.py")
PYTHON = "\n".join(path.read_text("utf-8") for path in (*sorted(ROOM.glob("*.py")), *OUTSIDE))
LAYOUTS = "\n".join(path.read_text("utf-8") for path in sorted(folder("layouts").rglob("*.html")))
# Looked up by what a pattern holds: a level, a stitch, a code … (the part before the dot).
BY_VALUE = (
    "level level_note weight choice explain terms terms_name stretch chart_form loop legend size colophon severity pair abbr caution told"
).split()


def asked() -> set[str]:
    keys = set(re.findall(r"words\.([a-z_]+)\b", LAYOUTS))
    keys |= set(re.findall(r"(?:text|plural|optional)\(\s*\"([a-z_.]+)\"", PYTHON))
    keys |= set(re.findall(r"(?:page|words)\[[\"']([a-z_]+)[\"']\]", PYTHON))
    return {key for key in keys if not key.endswith(".")}


@pytest.mark.parametrize("tag", printable())
def test_every_word_that_is_asked_for_is_there(tag):
    words = page_words(tag)
    last = load(tag).settings["plural"].rpartition(";")[2].partition(":")[0].strip()
    missing = {key for key in asked() if key not in words and f"{key}.{last}" not in words}
    assert not missing


def test_no_word_is_left_over():
    used = asked()
    left = {key for key in page_words("en-US") if key.removesuffix(".one").removesuffix(".other") not in used}
    assert {key for key in left if key.split(".")[0] not in BY_VALUE} == set()


PLURALS = {key.removesuffix(".one") for key in page_words("en-US") if key.endswith(".one")}


@pytest.mark.parametrize("tag", printable())
def test_singular_comes_with_plural(tag):
    """Every form of the language's plural rules, and no other."""
    words = page_words(tag)
    forms = [rule.partition(":")[0].strip() for rule in load(tag).settings["plural"].split(";")]
    wanted = {f"{key}.{form}" for key in PLURALS for form in forms}
    assert {key for key in words if re.search(r"\.(one|two|few|many|other)$", key)} == wanted
    for key in wanted:
        assert "{n}" in words[key]


# Source: plural rules of the Unicode CLDR, samples of cardinal whole numbers. "many" of French, Italian, Portuguese and Spanish
# begins at a million, which no pattern holds (shared/limits.toml).
SAMPLES = {
    "en-US": {"one": (1,), "other": (0, 2, 16, 100, 1000)},
    "en-GB": {"one": (1,), "other": (0, 2, 16, 101)},
    "en-AU": {"one": (1,), "other": (0, 2, 16, 101)},
    "de": {"one": (1,), "other": (0, 2, 16, 101)},
    "nl": {"one": (1,), "other": (0, 2, 16, 101)},
    "sv": {"one": (1,), "other": (0, 2, 16, 101)},
    "da": {"one": (1,), "other": (0, 2, 16, 101)},
    "nb": {"one": (1,), "other": (0, 2, 16, 101)},
    "es": {"one": (1,), "other": (0, 2, 16, 101)},
    "es-419": {"one": (1,), "other": (0, 2, 16, 101)},
    "it": {"one": (1,), "other": (0, 2, 16, 101)},
    "fr": {"one": (0, 1), "other": (2, 17, 100, 1000)},
    "pt-BR": {"one": (0, 1), "other": (2, 17, 100, 1000)},
    "pl": {"one": (1,), "few": (2, 3, 4, 22, 24, 32, 102, 1002), "many": (0, 5, 11, 12, 13, 14, 19, 21, 31, 100, 101, 112, 1000)},
    "ru": {"one": (1, 21, 31, 81, 101, 1001), "few": (2, 4, 22, 24, 102, 1002), "many": (0, 5, 11, 12, 14, 19, 25, 100, 111, 112, 1000)},
    "ja": {"other": (0, 1, 2, 15, 100)},
    "ko": {"other": (0, 1, 2, 15, 100)},
    "he": {"one": (1,), "two": (2,), "other": (0, 3, 17, 20, 100)},
}


@pytest.mark.parametrize("tag", printable())
def test_plurals_are_those_of_cldr(tag):
    rules = load(tag).settings["plural"]
    for form, numbers in SAMPLES[tag].items():
        assert {number: category(rules, number) for number in numbers} == dict.fromkeys(numbers, form)


@pytest.mark.parametrize("tag", printable())
def test_plurals_are_those_of_the_library_too(tag):
    """Source: the plural rules of the Unicode CLDR as Babel holds them, for every whole number that a booklet may print."""
    from babel import Locale

    rule = Locale.parse(tag, sep="-").plural_form
    rules = load(tag).settings["plural"]
    assert [category(rules, n) for n in range(2_001)] == [rule(n) for n in range(2_001)]
    assert category(rules, 200_000) == rule(200_000)  # the largest pattern (shared/limits.toml)


FOUR_DIGITS_WHOLE = ("es", "es-419", "pl")


@pytest.mark.parametrize("tag", printable())
def test_numbers_are_written_as_cldr_writes_them(tag):
    """Source: the number symbols and patterns of the Unicode CLDR, by Babel. Spaces of any width count as the same.

    Babel does not know minimumGroupingDigits of the CLDR, which is 2 in Spanish and Polish: four digits are not grouped there.
    """
    from babel.numbers import format_decimal

    style = measures.Style("metric", load(tag).settings["decimal"], page_words(tag))
    assert page_words(tag)["number_group_from"] == ("10000" if tag in FOUR_DIGITS_WHOLE else "1000")
    for number in (7, 999, 12345, 123456) + (() if tag in FOUR_DIGITS_WHOLE else (1234, 4312)):
        same = [re.sub(r"\s", " ", text) for text in (measures.count(number, style), format_decimal(number, locale=tag.replace("-", "_")))]
        assert same[0] == same[1]
    if tag in FOUR_DIGITS_WHOLE:
        assert measures.count(4312, style) == "4312"
    assert measures.decimal(16.6, 1, style) == format_decimal(16.6, locale=tag.replace("-", "_"))


@pytest.mark.parametrize("tag", printable())
def test_rows_from_memory_are_named_where_a_language_is_a_draft(tag):
    named = dict(from_memory(tag))
    assert is_draft(tag) == (not tag.startswith("en"))
    if is_draft(tag):
        tables = [named[f"languages/{one}/page.tsv"] for one in lineage(tag)]
        assert tables[-1] == len(page_words(lineage(tag)[-1])) and all(tables)
        assert named[f"safety/notes/{lineage(tag)[-1]}.tsv"] > 60


@pytest.mark.parametrize("tag", printable())
def test_every_language_has_every_word_with_the_same_slots(tag):
    model, words = page_words("en-US"), page_words(tag)
    plain = {key: text for key, text in model.items() if key.rpartition(".")[0] not in PLURALS}
    assert set(plain) <= set(words)
    assert {key: sorted(re.findall(r"{\w+}", words[key])) for key in plain} == {
        key: sorted(re.findall(r"{\w+}", text)) for key, text in plain.items()
    }


@pytest.mark.parametrize("tag", printable())
def test_settings_are_complete(tag):
    settings = load(tag).settings
    assert settings["status"] in ("own", "draft", "checked")
    assert settings["paper"] in ("a4", "letter") and settings["units"] in ("metric", "imperial") and settings["decimal"] in ".,"
    opening, closing = quotes(load(tag))
    assert opening and closing


def test_no_words_in_layouts_or_styles():
    """What stands in a layout is markup: a word between two tags would be printed in every language."""
    for path in folder("layouts").rglob("*.html"):
        text = re.sub(r"&#\d+;|\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}|<style>.*?</style>", "", path.read_text("utf-8"), flags=re.DOTALL)
        assert not re.findall(r">[^<>]*[A-Za-z]{2,}[^<>]*<", text), path.name
    for path in folder("layouts").rglob("*.css"):
        text = re.sub(r"/\*.*?\*/", "", path.read_text("utf-8"), flags=re.DOTALL)
        declared = re.findall(r"content:([^;}]*)", text)
        assert not [words for one in declared for words in re.findall(r'"([^"]*[A-Za-z][^"]*)"', one)], path.name


@pytest.mark.parametrize(
    ("tag", "day"),
    [
        # Source: Unicode CLDR, dateFormats/long of each language.
        ("en-US", "March 5, 2026"), ("en-GB", "5 March 2026"), ("en-AU", "5 March 2026"), ("de", "5. März 2026"), ("fr", "5 mars 2026"),
        ("es", "5 de marzo de 2026"), ("es-419", "5 de marzo de 2026"), ("it", "5 marzo 2026"), ("nl", "5 maart 2026"), ("da", "5. marts 2026"),
        ("sv", "5 mars 2026"), ("nb", "5. mars 2026"), ("pt-BR", "5 de março de 2026"), ("pl", "5 marca 2026"), ("ru", "5 марта 2026\u202fг."),
        ("ja", "2026年3月5日"), ("he", "5 במרץ 2026"), ("ko", "2026년 3월 5일"),
    ],
)  # fmt: skip
def test_a_day_is_written_as_in_the_language(tag: str, day: str) -> None:
    speaks = words(Edition((tag,), ""), load(tag), {}, tag)
    assert " ".join(speaks.date("2026-03-05").split()) == " ".join(day.split())
    assert speaks.date("spring 2026") == "spring 2026"
    assert speaks.date("") == ""


@pytest.mark.parametrize("tag", printable())
def test_the_label_of_a_round_within_a_sentence(tag: str) -> None:
    """German nouns and the abbreviations of English and Spanish keep their capital; `in toer 9`, `au tour 9`, `i omg 9`. From memory."""
    language = load(tag)
    told = inside(label("round", (9,), language), language)
    capital = told[:1].isupper()
    assert capital == (tag.split("-")[0] in ("en", "es")), told
    line = Instruction("round", "", (9,), (Act("as_round", START, "3,4", 1),), None, None, START, START)
    again = body(line, language)
    assert not any(word[:1].isupper() for word in again.split()) or tag.split("-")[0] in ("en", "es", "de"), again
