"""Standard sentences become data only if all of their words are understood; the tables hold the wordings."""

import pytest

from booklet.pattern.templates import parse
from booklet.tables.language import load

HEAD = "yarns:\n  A: chestnut\n  B: oat\n  MC: black\nnotions:\n  - 2 safety eyes, 6 mm"
PARTS = "".join(
    f"\n## {name}\n\nRnd 1: 6 sc in MR (6)\n" for name in ("Head", "Body", "Ear (make 2)", "Arm (make 2)", "Left paw")
)


def cases():
    yield from {
        "With A.": ("yarn.with", {"yarn": "A"}),
        "In oat.": ("yarn.with", {"yarn": "B"}),
        "With color MC.": ("yarn.with", {"yarn": "MC"}),
        "With Z.": ("yarn.with", {"yarn": "Z"}),
        "Change to B.": ("yarn.change", {"yarn": "B"}),
        "Switch to yarn B.": ("yarn.change", {"yarn": "B"}),
        "With a 3 mm hook.": ("hook", {"hook_mm": 3}),
        "Worked in a spiral.": ("worked", {"how": "spiral"}),
        "Work in continuous rounds.": ("worked", {"how": "spiral"}),
        "Worked in joined rounds.": ("worked", {"how": "joined"}),
        "Worked in rows.": ("worked", {"how": "rows"}),
        "The rounds begin at the centre back.": ("start.at", {"where": "centre-back"}),
        "Fasten off.": ("fasten_off", {}),
        "Fasten off, leaving a 15 cm tail.": ("fasten_off", {"tail_mm": 150}),
        "Fasten off and leave a 6 in tail for sewing.": ("fasten_off", {"tail_mm": 152.4}),
        "Fasten off, leaving a 15 cm (6 in) tail.": ("fasten_off", {"tail_mm": 150}),
        "FASTEN OFF, leaving a long tail for sewing!": None,
        "Do not fasten off.": ("fasten_off.not", {}),
        "Don’t fasten off.": ("fasten_off.not", {}),
        "Close the hole.": ("close", {}),
        "Close the remaining stitches.": ("close", {}),
        "Leave open.": ("leave_open", {}),
        "Leave the opening open.": ("leave_open", {}),
        "Press flat and close through both layers.": ("close_flat", {}),
        "Press flat and close through both layers with 6 sc.": ("close_flat", {"stitches": 6}),
        "Right side out.": ("side", {"out": "right"}),
        "Stuff.": ("stuff", {"amount": "normal"}),
        "Stuff firmly.": ("stuff", {"amount": "firm"}),
        "**Stuff firmly.**": ("stuff", {"amount": "firm"}),
        "Stuff the head lightly.": ("stuff", {"amount": "light", "what": "Head"}),
        "Do not stuff.": ("stuff", {"amount": "none"}),
        "Place the safety eyes between Rnds 5 and 6, 5 sts between them.": (
            "place.between",
            {"what": "safety eyes", "a": 5, "b": 6, "apart": 5, "unit": "round"},
        ),
        "Place the eyes between rounds 5-6.": ("place.between", {"what": "safety eyes", "a": 5, "b": 6}),
        "Place 2 buttons between Rnd 5 and Rnd 6 of the Body.": (
            "place.between",
            {"what": "buttons", "count": 2, "a": 5, "b": 6, "on": "Body"},
        ),
        "Place a button on Rnd 3 of the Body.": ("place.on", {"what": "button", "round": 3, "on": "Body"}),
        "Place a button 4 sts left of the center front.": ("place.beside", {"what": "button", "n": 4, "side": "left"}),
        "Embroider the eyes between Rnds 5 & 6, 5 sts between them.": (
            "embroider.between",
            {"what": "eyes", "a": 5, "b": 6, "apart": 5},
        ),
        "Embroider a mouth from Rnd 1 to Rnd 3.": ("embroider", {"what": "mouth", "words": "from Rnd 1 to Rnd 3"}),
        "Sew the Head to the Body.": ("sew", {"what": "Head", "onto": "Body"}),
        "Sew the ears to the head, over Rnds 1 to 3, 6 sts between them.": (
            "sew",
            {"what": "Ear", "onto": "Head", "a": 1, "b": 3, "apart": 6},
        ),
        "Sew both ears to the head over Rows 1-3.": (
            "sew",
            {"what": "Ear", "onto": "Head", "a": 1, "b": 3, "unit": "row"},
        ),
        "Sew the ear to the head, over Rnds 1 to 3, centered under the eyes.": (
            "sew",
            {"what": "Ear", "a": 1, "b": 3, "under": "eyes"},
        ),
        "Sew the Arms to the Body, between Rnds 2 and 3, 9 sts between them.": (
            "sew",
            {"what": "Arm", "how": "between", "a": 2, "b": 3, "apart": 9},
        ),
        "Sew 2 Ears to Rnds 1 to 3 of the Head.": ("sew", {"what": "Ear", "count": 2, "a": 1, "b": 3}),
        "Sew the left paw to the left arm.": ("sew", {"what": "Left paw", "onto": "Arm"}),
        "Sew the Ear to the Head over sts 8 to 13 of Rnd 4.": (
            "sew.stitches",
            {"what": "Ear", "onto": "Head", "p": 8, "q": 13, "round": 4},
        ),
        "Crochet the Arms into the Body at Rnd 8.": ("crochet_in", {"what": "Arm", "onto": "Body", "round": 8}),
        "Weave in all ends.": ("weave_in", {}),
        "Mark the first stitch of every round.": ("marker", {}),
        "Block to 10 cm.": ("block", {"size_mm": 100}),
        "Work as Arm to Rnd 6.": ("as_part", {"part": "Arm", "round": 6}),
        "Stripe sequence: 2 rounds A, 2 rounds B.": ("stripes", {"rest": "2 rounds A, 2 rounds B"}),
        "Cut 12 strands of A, 20 cm long, and knot a fringe.": ("strands", {"n": 12, "yarn": "A", "length_mm": 200}),
        "Make a pompon of 4 cm.": ("pompon", {"size_mm": 40}),
        "Attach the Head to the Body with a joint so that it turns.": ("joint", {"what": "Head", "onto": "Body"}),
        "Video at 12:30.": ("video", {"time": "12:30"}),
    }.items()


@pytest.mark.parametrize(("sentence", "expected"), list(cases()))
def test_sentences(body, sentence, expected):
    found = body(f"{PARTS}\n## Assembly\n\n{sentence}", HEAD)
    steps = found.pattern.sections[-1].steps
    assert len(steps) == 1
    if expected is None:
        assert steps[0].kind == "prose"
        return
    assert (steps[0].kind, steps[0].name) == ("sentence", expected[0])
    values = dict(steps[0].values)
    assert {name: values.get(name) for name in expected[1]} == expected[1]


@pytest.mark.parametrize(
    ("sentence", "remainder"),
    [
        ("Stuff firmly, but not the ears.", ", but not the ears"),
        ("Sew the Head to the Body with the open edge down.", "with the open edge down"),
        ("Cut the yarn of the first one only.", "of the first one only"),
        ("Fasten off, leaving a 10 or 15 cm tail.", ", leaving a 10 or 15 cm tail"),
    ],
)
def test_a_remainder_makes_it_prose_and_is_named(body, sentence, remainder):
    found = body(f"{PARTS}\n## Assembly\n\n{sentence}", HEAD)
    step = found.pattern.sections[-1].steps[0]
    assert (step.kind, step.text) == ("prose", sentence)
    assert found.codes == ["sentence-not-understood-whole"]
    assert dict(found.problems[0].values)["remainder"] == remainder


@pytest.mark.parametrize(
    "sentence",
    [
        "Fill the hips first and the neck last.",
        "With yarn B, lay two long stitches.",
        "Work on slowly.",
        "Put the kettle on.",
    ],
)
def test_plain_prose_is_left_in_peace(body, sentence):
    found = body(f"{PARTS}\n## Assembly\n\n{sentence}", HEAD)
    assert (found.pattern.sections[-1].steps[0].kind, found.codes) == ("prose", [])


def test_joined_sentences_are_two(body):
    found = body(
        f"{PARTS}\n## Assembly\n\nFasten off and close the hole. Stuff firmly, fasten off, and weave in all ends.", HEAD
    )
    steps = found.pattern.sections[-1].steps
    assert [step.name for step in steps] == ["fasten_off", "close", "stuff", "fasten_off", "weave_in"]
    assert [step.text for step in steps[:2]] == ["Fasten off", "close the hole."]


def test_apart_is_read_as_between_and_said(body):
    found = body(f"{PARTS}\nPlace the eyes between Rnds 5 and 6, 5 sts apart.", HEAD)
    assert found.pattern.parts[-1].steps[-1].value("apart") == 5
    assert found.codes == ["apart-read-as-between"]


def test_prose_sentences_of_a_block_stay_together_and_abbreviations_end_nothing(body):
    found = body(
        f"{PARTS}\n## Assembly\n\nFirst this. Then that, approx. 5 cm wide. Sew the Head to the Body. See Rnd. 3 and the sts. 4 and 5.",
        HEAD,
    )
    steps = found.pattern.sections[-1].steps
    assert [(step.kind, step.text) for step in steps] == [
        ("prose", "First this. Then that, approx. 5 cm wide."),
        ("sentence", "Sew the Head to the Body."),
        ("prose", "See Rnd. 3 and the sts. 4 and 5."),
    ]


def test_a_sentence_over_two_lines_keeps_both_places(body):
    found = body(f"{PARTS}\n## Assembly\n\n1. Sew the Head\n   to the Body. More.", HEAD)
    first = found.pattern.sections[-1].steps[0]
    assert [(piece.text, piece.column) for piece in first.pieces] == [("Sew the Head", 4), ("to the Body.", 4)]
    assert (first.marker, first.span.end_line - first.span.line) == ("1.", 1)


def test_every_wording_of_the_table_parses_and_every_first_wording_can_be_printed():
    seen = set()
    for template in load("en-US", "US").sentences:
        parse(template.text)
        if (template.id, template.fixed) not in seen and not template.id.startswith("."):
            assert not set("[]()|") & set(template.text), f"the first wording is printed: {template.text}"
        seen.add((template.id, template.fixed))
