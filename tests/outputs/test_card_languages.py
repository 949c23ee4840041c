"""Cards in several languages: what stands in all of them, what in the first, and panels of one's own with the rounds."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from booklet import pipeline
from booklet.editions.discover import layout, layouts
from booklet.editions.edition import Edition
from booklet.editions.tongues import further
from booklet.pages.card import without
from booklet.pages.tongues import marks
from tests.built import EXAMPLES, built, understood
from tests.outputs.test_cards import CARDS, lines_of

TAGS = ("en-US", "de", "fr", "ja")


@cache
def page_of(name: str, rounds_in: str, tags: tuple[str, ...] = TAGS, units: str = "imperial") -> str:
    """The page of the acorn's card before it is laid out: the words are all there, and it costs a hundredth."""
    edition = Edition(tags, "US", units, market="EU", layout=name, rounds_in=rounds_in)
    folder = EXAMPLES / "acorn"
    page, _, _ = pipeline.set_pages(understood("acorn/acorn"), edition, layout(name), folder, pipeline.Shared())
    return page


def text(page: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page.split("<body")[1]))


@pytest.mark.parametrize("name", CARDS)
def test_contents_and_cautions_stand_in_all_languages_and_rounds_in_the_first(name: str) -> None:
    page = page_of(name, "first")
    words = text(page)
    for heading in ("Materials EN", "Material DE", "Fournitures FR", "材料 JA"):  # shared/languages/*/page.tsv
        assert heading in words
    for safety in ("About safety EN", "Zur Sicherheit DE", "Sécurité FR", "安全について JA"):
        assert safety in words
    # What is prescribed stands together in one place; in Europe's languages, since Europe's rules ask for those.
    assert words.index("Not suitable for children under 36 months") < words.index("Nicht für Kinder unter 36 Monaten geeignet")
    assert words.index("Ne convient pas aux enfants de moins de 36 mois") < words.index("Zur Sicherheit DE")
    for standing in ("no safety test, no legal advice", "keine Rechtsberatung", "ni conseil juridique", "法律上の助言でもありません"):
        assert standing in words
    assert "6 sc in MR" in words
    for other in ("6 fM", "6 ms", "細編み6目"):
        assert other not in words


@pytest.mark.parametrize("name", CARDS)
def test_rounds_in_all_give_each_language_a_stretch_of_its_own(name: str) -> None:
    page = page_of(name, "all")
    words = text(page)
    for rounds in ("6 sc in MR", "6 fM in den FR", "6 ms dans", "細編み6目"):
        assert words.count(rounds) == 2  # the first round of both parts
    starts = [at.start() for at in re.finditer('class="tongue whole', page)]
    assert len(starts) == 3
    ends = [*starts[1:], page.index('<section class="safety')]
    for start, end, tag, own in zip(starts, ends, TAGS[1:], ("6 fM", "6 ms", "細編み6目"), strict=True):
        assert f'lang="{tag}"' in page[start : start + 60]
        assert text("<body" + page[start:end]).count(own) == 2
    assert page.count('class="chart"') == len(re.findall('class="chart"', page_of(name, "first")))  # charts stand once
    assert page.count('class="legend"') == 4 * len(re.findall('class="legend"', page_of(name, "first")))  # their keys in each language


@pytest.mark.parametrize("rounds_in", ["first", "all"])
def test_no_place_has_its_name_twice_and_no_drawing_bears_words_of_another_language(rounds_in: str) -> None:
    page = page_of("leaflet-dl", rounds_in)
    names = re.findall(r'\bid="([^"]+)"', page)
    assert len(names) == len(set(names))
    pictures = re.findall(r'src="((?:outline|placement)-[^"]+)"', page)
    assert len(pictures) == len(set(pictures))


def test_units_follow_each_language_unless_others_were_asked_for() -> None:
    assert [one.units for one in further(Edition(("en-US", "de"), "US", "imperial"))] == ["metric"]
    assert [one.units for one in further(Edition(("en-US", "de"), "US", "both"))] == ["both"]
    words = text(page_of("card-a6", "first"))
    assert "137 yd" in words
    assert "125 m" in words


def test_marks_tell_two_variants_apart() -> None:
    assert marks(("en-US", "de")) == ("EN", "DE")
    assert marks(("en-US", "en-GB", "de")) == ("EN-US", "EN-GB", "DE")


def test_a_language_from_right_to_left_is_set_so_among_others() -> None:
    page = page_of("leaflet-dl", "all", ("en-US", "he"))
    assert '<div class="tongue whole from-right" lang="he">' in page
    assert ".from-right {" in page
    assert ".from-right {" not in page_of("leaflet-dl", "all")


def test_what_a_card_gives_up_it_gives_up_in_every_language_but_not_contents_and_cautions() -> None:
    edition = Edition(TAGS, "US", "imperial", market="EU", layout="leaflet-dl", rounds_in="all")
    book, _ = pipeline._in_all_languages(understood("acorn/acorn"), edition, layout("leaflet-dl"), EXAMPLES / "acorn", pipeline.Shared())
    bare = without(book, layout("leaflet-dl").drop)
    assert len(bare.others) == len(book.others) == 3
    for before, after in zip(book.others, bare.others, strict=True):
        assert after.materials == before.materials
        assert after.safety.cautions == tuple(one._replace(more=()) for one in before.safety.cautions)
        assert [block.kind for part in after.parts for block in part.blocks].count("plate") == 0
        assert "plate" in [block.kind for part in before.parts for block in part.blocks]
        assert after.tight
    assert without(book, ("glance",)).others[0].glance == ()
    assert without(book, ("glance",)) == replace(book, glance=(), others=tuple(replace(one, glance=()) for one in book.others))


def test_each_language_begins_a_panel_and_its_letters_are_no_smaller() -> None:
    made = built("pebble/pebble", Edition(("en-US", "de"), "US", units="both", layout="card-a5-folded", rounds_in="all"))
    panels = [[replace(line, text=line.text.replace("\u00a0", " ")) for line in lines] for lines in lines_of(made.data)]
    start = next(k for k, lines in enumerate(panels) if any("6 fM" in line.text for line in lines))
    head = sorted(panels[start], key=lambda line: line.base)[:2]
    assert {line.text for line in head} == {"Pocket Pebble", "DE"}
    first = next(line for lines in panels for line in lines if "6 sc" in line.text)
    other = next(line for line in panels[start] if "6 fM" in line.text)
    assert other.size == first.size >= 10  # read at arm's length; common practice, no source
    assert not any("6 sc" in line.text for line in panels[start])


def test_layouts_that_are_no_cards_are_as_before() -> None:
    folder = EXAMPLES / "acorn"
    page, _, _ = pipeline.set_pages(
        understood("acorn/acorn"), Edition(("en-US", "de"), "US", layout="a5"), layout("a5"), folder, pipeline.Shared()
    )
    assert "tongue" not in page.split("<body")[1]
    assert set(CARDS) < set(layouts())
