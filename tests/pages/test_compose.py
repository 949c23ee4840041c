"""From an understood pattern to the page model: one small pattern as a golden file, and the rules one by one."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path

import pytest

from booklet.drawings.drawing import Drawing
from booklet.editions.discover import layout
from booklet.editions.edition import Edition
from booklet.pages.book import Book, Choice, Direction, Photo, Plate, Prose, Rounds, Steps
from booklet.pipeline import Shared, compose_book, understand

GOLDEN = Path(__file__).parent / "golden" / "nut.json"

HEAD = """---
title: Nut
designer: Example Studio
language: en-US
level: easy
hook: 2.5 mm
gauge: 24 sc x 26 rnds = 10 cm
yarns:
  A:
    colour: chestnut
    weight: 3
    fibre: 100% cotton
    ball: 125 m / 50 g
    drawn: "#7a4a2b"
  B: oat, light (3), 100% cotton, 125 m / 50 g
notions:
  - stuffing
  - safety eyes:
      count: 2
      diameter: 6 mm
      only for: eyes safety
made as: toy
toy-age: 3+
markets: US
version: "1.2"
---

"""
BODY = """A nut.

## Nut (make 2: mirrored)

With A. Worked in a spiral.

Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnds 3-5: change to B, sc around (12)

Either (eyes: safety): Place the safety eyes between Rnds 3 and 4, 3 sts between them.
Or (eyes: embroidered): Embroider the eyes between Rnds 3 and 4, 3 sts between them.

![A nut](nut.jpg){caption="The nut."}

Rnd 6: dec x 6 (6)

Fasten off, leaving a 15 cm tail. Close the hole.

## Assembly

1. Sew the Nut to the Nut. Smile.

![Sewn](sewn.jpg)

2. Weave in all ends.
"""


def made(body: str = BODY, head: str = HEAD, **settings) -> Book:
    understood = understand((head + body).encode(), "nut.md")
    edition = Edition(("en-US",), "US", **settings)
    return compose_book(understood, edition, layout("a5"), Shared())


def plain(value):
    """A book as JSON values; drawings by what they are, since their strokes are tested with the drawings."""
    if isinstance(value, Drawing):
        return {"part": value.part, "form": value.form, "rounds": list(value.rounds)}
    if dataclasses.is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in dataclasses.fields(value) if field.name != "words"}
    if hasattr(value, "_asdict"):
        return {name: plain(item) for name, item in value._asdict().items()}
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    return round(value, 2) if isinstance(value, float) else value


def test_the_page_model_of_a_small_pattern():
    # Made by running, read by a person. To make it anew: delete the file, run this test, read what changed.
    found = json.dumps(plain(made()), indent=1, ensure_ascii=False) + "\n"
    if not GOLDEN.exists():
        GOLDEN.parent.mkdir(exist_ok=True)
        GOLDEN.write_text(found, "utf-8")
        pytest.fail("the golden file was missing and has been written: read it, then run again")
    assert found == GOLDEN.read_text("utf-8")


def blocks(book: Book, kind: type) -> list:
    return [block for part in book.parts for block in part.blocks if isinstance(block, kind)]


def rows(book: Book) -> list:
    return [row for block in blocks(book, Rounds) for row in block.rows]


def test_a_range_has_a_box_for_each_round():
    assert [row.boxes for row in rows(made())] == [("1",), ("2",), ("3", "4", "5"), ("6",)]


def test_every_line_prints_the_computed_total():
    book = made(BODY.replace("inc x 6 (12)", "inc x 6 (13)").replace("dec x 6 (6)", "dec x 6"))
    assert [row.total for row in rows(book)] == ["(6)", "(12)", "(12)", "(6)"]
    assert [row.marked for row in rows(book)] == [""] * 4


def test_a_proof_shows_the_stated_total_and_lists_what_was_found():
    book = made(BODY.replace("inc x 6 (12)", "inc x 6 (13)"), proof=True)
    assert [row.marked for row in rows(book)] == ["", "(13)", "", ""]
    assert "total-differs" in {finding.message for finding in book.proof} or any("(13)" in one.message for one in book.proof)
    assert made().proof is None


def test_a_line_that_is_not_understood_is_printed_as_typed():
    book = made(BODY.replace("inc x 6 (12)", "wiggle x 6 (12)"), proof=True)
    assert any("wiggle" in row.text for row in rows(book))


def test_both_alternatives_are_printed_side_by_side_or_the_chosen_one_alone():
    (choice,) = blocks(made(), Choice)
    assert [way.title for way in choice.alternatives] == ["Either · eyes: safety", "Or · eyes: embroidered"]
    chosen = made(choices=(("eyes", "embroidered"),))
    assert not blocks(chosen, Choice)
    assert any("Embroider the eyes" in block.text for block in blocks(chosen, Direction))
    assert not any("safety eyes" in block.text for block in blocks(chosen, Direction))


def test_materials_say_which_choice_they_are_for_and_leave_out_the_others():
    assert ("2 safety eyes, 6\u00a0mm", "eyes: safety") in made().materials.items
    assert not any("eyes" in item.text for item in made(choices=(("eyes", "embroidered"),)).materials.items)


def test_cautions_say_which_choice_brings_them():
    cautions = made().safety.cautions
    # "" is for the nut itself: it is so small that it counts as a small part with either kind of eyes.
    assert {caution.only_for for caution in cautions} == {"", "eyes: safety"}
    larger = made(head=HEAD.replace("gauge: 24 sc x 26 rnds", "gauge: 8 sc x 9 rnds")).safety.cautions
    assert {caution.only_for for caution in larger} == {"eyes: safety", "eyes: embroidered"}
    chosen = made(choices=(("eyes", "safety"),)).safety.cautions
    assert {caution.only_for for caution in chosen} == {""}


def test_prescribed_wordings_come_first_and_the_standing_caution_is_always_there():
    loose = HEAD.replace("diameter: 6 mm", "diameter: 6 mm\n      attached: loose")
    book = made(head=loose, choices=(("eyes", "safety"),))
    # 16 CFR 1500.19(b)(1): the wording for small parts, letter by letter.
    assert book.safety.cautions[0].text == "WARNING: CHOKING HAZARD—Small parts. Not for children under 3 yrs."
    assert book.safety.cautions[0].prescribed
    for head in (HEAD, HEAD.replace("made as: toy", "made as: household")):
        assert "not a safety test" in made(head=head).safety.standing


def test_charts_stand_after_their_last_round_or_at_the_end():
    part = made().parts[0]
    assert isinstance(part.blocks[-1], Plate)
    captions = [chart.caption for block in part.blocks if isinstance(block, Plate) for chart in block.charts]
    assert captions
    assert len(set(captions)) == len(captions)


def test_a_picture_keeps_its_place_and_belongs_to_its_step():
    book = made()
    assert [photo.picture.path for photo in blocks(book, Photo)] == ["nut.jpg"]
    (steps,) = (block for section in book.finishing for block in section.blocks if isinstance(block, Steps))
    assert len(steps.items) == 2
    assert isinstance(steps.items[0][1], Photo)


def test_a_sentence_within_other_words_stays_in_their_paragraph():
    (steps,) = (block for section in made().finishing for block in section.blocks if isinstance(block, Steps))
    assert steps.items[0][0] == Prose("Sew the Nut to the Nut\\. Smile.")
    assert steps.items[1][0] == Direction("Weave in all ends.", sign="weave")


def test_abbreviations_are_those_that_are_used_and_no_others():
    found = {row.abbr for row in made().abbreviations.rows}
    assert found == {"sc", "inc", "dec", "MR", "Rnd", "st"}
    assert made().abbreviations.declaration == "This pattern is written in US terms."


def test_the_yarn_ribbon_is_there_where_yarns_change():
    assert {row.fill for row in rows(made())} == {"#7a4a2b", "#c9c4bc"}
    assert {row.fill for row in rows(made(BODY.replace("change to B, ", "")))} == {""}


def test_units():
    glance = {fact.label: fact.value.replace("\u00a0", " ") for fact in made(units="both").glance}
    assert glance["Gauge"] == "24 sc × 26 rnds = 10 cm (4 in)"
    assert glance["Hook"] == "2.5 mm"
    assert "in" in made(units="imperial").parts[0].size
    tails = [block.text for block in blocks(made(units="imperial"), Direction) if "tail" in block.text]
    assert tails == ["Fasten off, leaving a 6\u00a0in tail. Close the hole."]


def test_a_pattern_without_a_head_still_makes_a_book():
    book = made(head="")
    assert book.glance
    assert book.title


def test_no_word_judges():
    text = json.dumps(plain(made()), ensure_ascii=False).casefold()
    for word in ("verified", "compliant", "certified", "is safe", "passed"):
        assert word not in text


def test_a_very_long_range_has_one_box():
    book = made("## Tube\n\nRnd 1: 6 sc in MR (6)\nRnds 2-61: sc around (6)\nRnds 62-200: sc around (6)\n")
    assert [len(row.boxes) for row in rows(book)] == [1, 60, 1]


def test_a_cover_has_rings_only_where_they_fill_it():
    assert len(made().cover.rings) >= 4
    assert made("## Spot\n\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\n").cover.rings == ()
    # Rounds of six stitches lie so far apart, farther out, that they are rays and no rings.
    tube = made("## Tube\n\nRnd 1: 6 sc in MR (6)\nRnds 2-900: sc around (6)\n").cover.rings
    assert len(tube) < 10


def test_left_handed_charts_are_read_the_other_way():
    plates = [block for block in made(left_handed=True).parts[0].blocks if isinstance(block, Plate)]
    assert "clockwise" in plates[0].reading
    assert "counterclockwise" not in plates[0].reading
