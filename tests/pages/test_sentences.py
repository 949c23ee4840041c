"""Standard sentences, printed from the table of the edition's language."""

import pytest

from booklet.diagnostics.span import START
from booklet.editions.edition import Edition
from booklet.pages.sentences import say
from booklet.pages.wording import words
from booklet.pattern.model import Step
from booklet.source.tree import Piece
from booklet.tables.language import load, page_words


def said(name, units="metric", **values):
    step = Step("sentence", START, (Piece("as typed.", 1, 1),), 0, name, tuple(values.items()))
    return say(step, words(Edition(("en-US",), "US", units), load("en-US"), page_words("en-US"), "en-US")).replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("name", "values", "wanted"),
    [
        ("yarn.with", {"yarn": "A"}, "With A."),
        ("worked", {"how": "spiral"}, "Worked in a spiral."),
        ("worked", {"how": "rows"}, "Worked in rows."),
        ("fasten_off", {}, "Fasten off."),
        ("fasten_off", {"tail_mm": 150.0}, "Fasten off, leaving a 15 cm tail."),
        ("stuff", {"amount": "firm"}, "Stuff firmly."),
        ("stuff", {"amount": "none"}, "Do not stuff."),
        ("hook", {"hook_mm": 3.0}, "With a 3 mm hook."),
        ("block", {"size_mm": 95.0}, "Block to 9.5 cm."),
        (
            "place.between",
            {"what": "safety eyes", "what_words": "the safety eyes", "unit": "round", "a": 5, "b": 6, "apart": 5},
            "Place the safety eyes between Rnds 5 and 6, 5 sts between them.",
        ),
        (
            "sew",
            {"what": "Paw", "what_words": "2 Paws", "count": 2, "onto": "Arm", "onto_words": "the Arms", "unit": "round", "a": 1, "b": 2},
            "Sew 2 Paws to the Arms, over Rnds 1 to 2.",
        ),
        (
            "sew",
            {"what": "Scarf", "what_words": "the Scarf", "onto": "Body", "onto_words": "the Body", "unit": "row", "a": 1, "b": 2},
            "Sew the Scarf to the Body, over Rows 1 to 2.",
        ),
    ],
)
def test_sentences(name, values, wanted):
    assert said(name, **values) == wanted


def test_lengths_are_in_the_units_of_the_edition():
    # 15 cm / 2.54 = 5.9 in
    assert said("fasten_off", "imperial", tail_mm=150.0) == "Fasten off, leaving a 6 in tail."
    assert said("hook", "imperial", hook_mm=3.0) == "With a 3 mm hook."


def test_what_no_wording_says_whole_stays_as_typed():
    assert said("fasten_off", tail_mm=150.0, colour="red") == "as typed."
    assert said("no.such.sentence") == "as typed."


def test_apart_is_printed_as_stitches_between():
    assert "5 sts between them" in said("place.between", what="eyes", a=5, b=6, apart=5, apart_as="apart")
