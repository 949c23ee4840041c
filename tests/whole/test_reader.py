"""How much a reader is told, measured on finished pages: lessons with their pictures, compact patterns without losing a line."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pypdfium2
import pytest

from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.pages.book import Book, Rounds, Technique
from booklet.pipeline import Shared, build, compose_book, understand

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
MM = 72 / 25.4


def edition(reader: str, name: str, **settings) -> Edition:
    return Edition(("en-US",), "US", reader=reader, layout=name, **settings)


@cache
def book(file: str, reader: str, name: str = "a5", **settings) -> Book:
    understood = understand((EXAMPLES / file).read_bytes(), file)
    return compose_book(understood, edition(reader, name, **settings), layout(name), Shared())


@cache
def pages(file: str, reader: str, name: str) -> tuple[pypdfium2.PdfDocument, tuple[str, ...]]:
    understood = understand((EXAMPLES / file).read_bytes(), file)
    made = pypdfium2.PdfDocument(build(understood, edition(reader, name), (EXAMPLES / file).parent).data)
    return made, tuple(page.get_textpage().get_text_bounded() for page in made)


def words(text: str) -> str:
    return re.sub(r"[\W_]+", "", text.replace("\u00ad", ""))


def blocks(one: Book) -> list:
    return [block for stretch in (*one.notes, *one.parts, *one.finishing) for block in stretch.blocks]


def lessons(one: Book) -> list[Technique]:
    return [block for block in blocks(one) if isinstance(block, Technique)]


def where(made: pypdfium2.PdfDocument, text: str, after: tuple[int, float]) -> tuple[int, float]:
    """Page and height above the foot (mm) of the first place of a text behind another place."""
    for number in range(after[0], len(made)):
        letters = made[number].get_textpage()
        found = letters.search(text, match_case=True)
        while (at := found.get_next()) is not None:
            top = letters.get_charbox(at[0])[3] / MM
            if (-number, top) < (-after[0], after[1]):
                return number, top
    raise AssertionError(f"not printed: {text}")


@pytest.mark.parametrize("name", ["a5", "a4"])
def test_a_lesson_begins_with_its_first_step_and_a_picture_stands_beside_its_own(name: str) -> None:
    made, _ = pages("acorn/acorn.md", "first-timer", name)
    field = layout(name)
    last = (0, 1000.0)
    for lesson in lessons(book("acorn/acorn.md", "first-timer", name)):
        # The list of techniques prints the title too: the lesson is where its purpose stands.
        head, height = last = where(made, " ".join(lesson.purpose.split()[:4]), last)
        for number, step in enumerate(lesson.steps, 1):
            page, top = last = where(made, " ".join(step.text.split()[:4]), last)
            if number == 1:
                assert page == head and top < height, f"{lesson.title}: no heading at the foot of a page"
            if step.drawing is None:
                continue
            picture = made[page].render(scale=100 / 72).to_pil().convert("L")
            dots = 100 / 25.4
            inner = field.margins.inner if page % 2 == 0 or not field.two_sided else field.margins.outer
            right = inner + field.width_mm - field.margins.inner - field.margins.outer
            high = picture.height / dots
            area = picture.crop(
                tuple(int(v * dots) for v in (right - 44, high - top, right - 1, min(high, high - top + step.drawing.height_mm)))
            )
            inked = sum(area.histogram()[:200]) / (area.width * area.height)
            assert inked > 0.02, f"{lesson.title}, step {number}: its picture is not beside it"


def test_every_technique_is_taught_once_and_before_it_is_worked() -> None:
    one = book("acorn/acorn.md", "first-timer")
    found = [lesson.anchor for lesson in lessons(one)]
    assert len(found) == len(set(found))
    assert {"technique-magic-ring", "technique-single-crochet", "technique-increase", "technique-decrease", "technique-stuffing"} <= set(found)
    assert {entry.anchor for entry in one.lessons} == set(found)
    nut = one.parts[0].blocks
    kinds = [block.anchor if isinstance(block, Technique) else block.rows[0].label if isinstance(block, Rounds) else "" for block in nut]
    assert kinds.index("technique-magic-ring") < kinds.index("Rnd 1") < kinds.index("technique-increase") < kinds.index("Rnd 2")
    assert kinds.index("technique-decrease") < kinds.index("Rnd 8")


def test_the_first_rounds_are_told_in_plain_words_with_their_totals() -> None:
    rows = [row for block in book("acorn/acorn.md", "first-timer").parts[0].blocks if isinstance(block, Rounds) for row in block.rows]
    assert all(row.plain for row in rows[:4])
    assert rows[2].plain.endswith("Now you have 18 stitches.")
    assert rows[0].checks
    some = [row for block in book("acorn/acorn.md", "some").parts[0].blocks if isinstance(block, Rounds) for row in block.rows]
    assert not any(row.plain for row in some)
    assert any("6 stitches" in check for row in some for check in row.checks), "the opening to come is told to everybody but experts"


def test_an_otter_teaches_what_its_parts_bring() -> None:
    named = [lesson.anchor.removeprefix("technique-") for lesson in lessons(book("harbour-otter/otter.md", "first-timer"))]
    found = set(named)
    assert len(named) == len(found), "pictures part its list of assembly steps, and each technique still stands once"
    wanted = "back-loop join-pieces changing-color hiding-thread oval-start into-chain turning joined-rounds front-loop close-flat sew-flat whip-stitch"
    assert set(wanted.split()) <= found
    assert not found & {"double-crochet", "bobble", "blocking", "pompon", "left-handed"}


@pytest.mark.parametrize(("file", "name", "most"), [("acorn/acorn.md", "a4", 2), ("acorn/acorn.md", "a5", 2), ("harbour-otter/otter.md", "a4", 2)])
def test_an_experienced_reader_gets_a_compact_pattern(file: str, name: str, most: int) -> None:
    made, texts = pages(file, "none", name)
    assert len(made) <= most
    printed = words("".join(texts))
    one = book(file, "none", name)
    for block in blocks(one):
        for row in block.rows if isinstance(block, Rounds) else ():
            assert words(row.text) in printed, row.text
    assert all(words(caution.text) in printed for caution in one.safety.cautions if not caution.statement)
    assert words(one.safety.standing) in printed
    assert not lessons(one)


def test_a_language_without_texts_prints_none_and_says_so() -> None:
    from booklet.pages.guide import _note
    from booklet.pages.techniques import lessons as made
    from booklet.pages.wording import Words
    from booklet.tables.language import load, page_words

    english = page_words("en-US")
    other = Words(replace(load("de"), tag="xx"), english, None, False, False)  # type: ignore[arg-type]
    assert made(["magic-ring", "increase"], other) == ()
    assert _note(["magic-ring", "increase"], other) == english["techniques_missing"].replace("{n}", "2")
    drafts = other._replace(language=load("de"))
    assert _note(["magic-ring", "increase"], drafts) == english["techniques_draft"]
    assert _note(["magic-ring"], other._replace(language=load("en-US"))) == ""


def test_the_terms_of_an_edition_reach_the_lessons() -> None:
    understood = understand((EXAMPLES / "acorn/acorn.md").read_bytes(), "acorn.md")
    one = compose_book(understood, replace(edition("first-timer", "a5"), terms="UK"), layout("a5"), Shared())
    texts = " ".join(step.text for lesson in lessons(one) for step in lesson.steps)
    assert "double crochet" in texts and "single crochet" not in texts
    assert "Single crochet" not in {lesson.title for lesson in lessons(one)}


def test_a_left_hand_gets_its_lesson_and_mirrored_drawings() -> None:
    right, left = book("acorn/acorn.md", "first-timer"), book("acorn/acorn.md", "first-timer", left_handed=True)
    assert {lesson.anchor for lesson in lessons(left)} - {lesson.anchor for lesson in lessons(right)} == {"technique-left-handed"}
    ring = [next(lesson for lesson in lessons(one) if lesson.anchor == "technique-magic-ring").steps[0].drawing for one in (right, left)]
    assert ring[0] is not None and ring[1] is not None
    assert ring[0].drawing.paths != ring[1].drawing.paths


def test_a_chosen_way_is_the_only_one_taught() -> None:
    found = {lesson.anchor for lesson in lessons(book("acorn/acorn.md", "first-timer", choices=(("eyes", "embroidered"),)))}
    assert "technique-embroider-eyes" in found
    assert "technique-safety-eyes" not in found
