"""Checks of figures on whole patterns: what each must see, and neighbours that it must leave alone."""

from pathlib import Path

import pytest

from booklet import pipeline
from booklet.diagnostics.codes import severity
from tests.timing import below

EXAMPLES = Path(__file__).parents[2] / "examples"
BALL = """
## Ball
Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnds 4-6: sc around (18)
{early}
Rnd 7: (sc, dec) x 6 (12)
{middle}
Rnd 8: dec x 6 (6)
{late}
"""


def codes(head="", early="", middle="", late="", after=""):
    body = BALL.format(**{key: f"\n{text}\n" for key, text in (("early", early), ("middle", middle), ("late", late))})
    text = f"---\nlanguage: en-US\n{head}\n---\n{body}\n{after}\n"
    return [found.code for found in pipeline.understand(text.encode(), "ball.md").problems]


@pytest.mark.parametrize(
    ("where", "expected"),
    [
        ({"early": "Place the safety eyes between Rnds 4 and 5, 4 sts between them."}, False),
        ({"middle": "Place the safety eyes between Rnds 4 and 5, 4 sts between them."}, False),
        ({"late": "Place the safety eyes between Rnds 4 and 5, 4 sts between them."}, True),
        ({"late": "Embroider the eyes between Rnds 4 and 5, 4 sts between them."}, False),
        (
            {
                "late": "Close the hole.",
                "after": "## Assembly\nPlace the safety eyes between Rnds 4 and 5 of the Ball, 4 sts between them.",
            },
            True,
        ),
    ],
)
def test_eyes_too_late(where, expected):
    assert ("eyes-too-late" in codes(**where)) == expected


def test_large_eyes_need_a_wide_opening():
    # 12 stitches of 4.17 mm: an opening of 16 mm, twice an 8 mm eye, not twice a 9 mm eye.
    placed = "Place the safety eyes between Rnds 4 and 5, 4 sts between them."
    head = "gauge: 24 sc x 25 rnds = 10 cm\nnotions:\n  - 2 safety eyes, {} mm"
    assert "eyes-too-late" not in codes(head.format(7), middle=placed)
    assert "eyes-too-late" in codes(head.format(9), middle=placed)


@pytest.mark.parametrize(
    ("where", "expected"),
    [
        ({"early": "Stuff firmly."}, False),
        ({"middle": "Stuff firmly."}, False),
        ({"late": "Stuff firmly. Close the hole."}, True),
        ({"middle": "Stuff firmly.", "late": "Stuff a little more. Close the hole."}, False),
        ({"late": "Do not stuff. Close the hole."}, False),
    ],
)
def test_stuffing_too_late(where, expected):
    assert ("stuffing-too-late" in codes(**where)) == expected


def test_narrow_parts_are_measured_by_themselves():
    text = "---\nlanguage: en-US\n---\n## Tail\nRnd 1: 6 sc in MR (6)\nRnds 2-9: sc around (6)\n\nStuff lightly.\n\nLeave open.\n"
    assert "stuffing-too-late" not in [found.code for found in pipeline.understand(text.encode(), "tail.md").problems]


@pytest.mark.parametrize(("apart", "expected"), [(4, False), (16, False), (17, True), (40, True)])
def test_placement_outside(apart, expected):
    placed = f"Place the safety eyes between Rnds 4 and 5, {apart} sts between them."
    assert ("placement-outside" in codes(early=placed)) == expected


@pytest.mark.parametrize(
    ("cut", "expected"),
    [("Fasten off.", True), ("Fasten off, leaving a long tail.", True), ("Fasten off, leaving a 30 cm tail.", False)],
)
def test_tails(cut, expected):
    cap = f"## Cap\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\n\n{cut}\n\n## Assembly\n\nSew the Cap to the Ball, over Rnds 1 to 2."
    assert ("tail-missing" in codes(late="Fasten off. Close the hole.", after=cap)) == expected


def test_a_tail_on_the_other_part_is_enough():
    cap = "## Cap\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\n\nFasten off.\n\n## Assembly\n\nSew the Cap to the Ball, over Rnds 1 to 2."
    assert "tail-missing" not in codes(late="Fasten off, leaving a 30 cm tail.", after=cap)


@pytest.mark.parametrize(
    ("hook", "expected"),
    # Outside check: two yarn shops' conversion charts: 4 mm = G-6, 5 mm = H-8, 3.5 mm = E-4, 4.5 mm = 7.
    [("4 mm (G-6)", False), ("4 mm (H-8)", True), ("US H/8 (5 mm)", False), ("3.5 mm / E", False), ("3.5 mm / F", True),
     ("4.5 mm (US 7)", False),
     ("3 mm (D)", False), ("4 mm", False), ("4.5 mm (G-6)", True), ("4 mm, for amigurumi (G-6)", False)],
)  # fmt: skip
def test_hook_letters(hook, expected):
    assert ("hook-letter-differs" in codes(f'hook: "{hook}"')) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    # 1 in = 25.4 mm, 1 yd = 0.9144 m, 1 oz = 28.35 g (NIST Handbook 44).
    [("12 cm (4¾ in) tall", False), ("12 cm (6 in) tall", True), ("10 cm / 4 in", False), ("2 cm (1 in)", True), ("2 cm (3/4 in)", False),
     ("12 cm tall, 6 in wide", False), ("12-15 cm (5-6 in)", False), ("15 cm (5-6 in)", False)],
)  # fmt: skip
def test_inches(text, expected):
    assert ("inches-differ" in codes(f"finished size: {text}")) == expected


def test_inches_in_the_body_are_pointed_at():
    found = pipeline.understand(b"---\nlanguage: en-US\n---\n\nCut 20 cm (10 in) of yarn for it.\n", "x.md").problems
    spans = [problem.span for problem in found if problem.code == "inches-differ"]
    assert [(span.line, span.column, span.end_column) for span in spans] == [(5, 12, 17)]


def test_notions_that_are_needed():
    assert "notion-missing" in codes("notions:\n  - yarn needle", early="Stuff firmly.")
    assert "notion-missing" not in codes("notions:\n  - polyester stuffing", early="Stuff firmly.")
    assert "notion-missing" not in codes(early="Stuff firmly.")  # no list at all is said once, by no-safety-data
    assert "notion-missing" in codes("notions:\n  - stuffing", early="Place the safety eyes between Rnds 4 and 5.")


def test_finished_size_is_compared_within_a_quarter():
    head = "gauge: 24 sc x 25 rnds = 10 cm\nfinished size: {}"
    assert "size-differs" not in codes(head.format("2 cm tall"), early="Stuff firmly.", late="Close the hole.")
    assert "size-differs" in codes(head.format("3 cm tall"), early="Stuff firmly.", late="Close the hole.")
    assert "size-differs" not in codes(head.format("as large as an egg"), late="Close the hole.")


@pytest.mark.parametrize(
    ("gauge", "expected"),
    [("24 sc x 26 rnds = 10 cm", False), ("24 sc x 12 rnds = 10 cm", True), ("24 sc x 40 rnds = 10 cm", True), ("24 sc = 10 cm", False)],
)
def test_gauge_doubtful(gauge, expected):
    assert ("gauge-doubtful" in codes(f"hook: 2.5 mm\ngauge: {gauge}")) == expected


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*/*.md")), ids=lambda path: path.stem)
def test_examples_have_no_warning_of_ours(path):
    from booklet.figures.checks import CODES

    found = pipeline.understand(path.read_bytes(), path.name).problems
    assert [problem.code for problem in found if problem.code in CODES and severity(problem) != "note"] == []


def test_figures_of_three_thousand_stitches_are_quick():
    # A bound on time is a bad test on a busy machine: ten times what was measured (about 11 ms for 2,800 stitches).

    from booklet.figures.compute import compute
    from booklet.figures.inflate import inflate

    path = EXAMPLES / "harbour-otter" / "otter.md"
    whole = pipeline.understand(path.read_bytes(), path.name)

    def anew():
        inflate.cache_clear()
        compute(whole.pattern, whole.graph)

    assert below(0.15, anew)


@pytest.mark.parametrize(
    ("weight", "expected"),
    # Craft Yarn Council, Standard Yarn Weight System: names and numbers of the categories (magazine reprint, October 2018).
    [(weight, False) for weight in ("light (3)", "baby (1)", "baby (2)", "DK (3)", "medium (4)", "worsted (4)", "super bulky (6)")]
    + [(weight, True) for weight in ("light (4)", "bulky (3)", "medium (3)")],
)
def test_weight_name_differs(weight, expected):
    head = f"yarns:\n  A: blue, {weight}, 100% cotton, 125 m / 50 g"
    assert ("weight-name-differs" in codes(head)) == expected
