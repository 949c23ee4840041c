"""Sections, instruction lines, choices, pictures and prose: what is a round, what is a sentence, what stays words."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.pattern.lines import is_header, is_instruction
from booklet.pattern.resolve import resolve
from booklet.resources import folder
from booklet.source.read import read
from booklet.tables.language import load
from tests.timing import linear

LANGUAGE = load("en-US", "US")
BALL = "\n## Ball (make 1)\n\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\n"
EXAMPLES = sorted((folder("shared").parent / "examples").glob("*/*.md"))


def kinds(section):
    return [step.kind for step in section.steps]


@pytest.mark.parametrize(
    "line",
    [
        "Rnd 1: 6 sc",
        "Rnds 4-9: sc around",
        "R3: 21 sc",
        "R4–9 21 sc",
        "Round 3 – 21 sc",
        "Row 2. ch 1, turn",
        "RND 12) 6 sc",
        "rnd. 3: 6 sc",
        "3rd rnd: 21 sc.",
        "3. round: 6 sc",
        "4-9 rounds: sc around",
        "Next rnd: 21 sc.",
        "Last round: dec x 6",
        "Rnds 4 and 6: sc around",
        "→ Rnd 3: 6 sc",
        "Foundation chain: ch 7",
        "Magic ring: 6 sc",
    ],
)
def test_headers(line):
    assert is_header(line, LANGUAGE)


@pytest.mark.parametrize(
    "line",
    [
        "Round off the edges.",
        "Rows of beads look nice.",
        "2 rounds later the ear begins.",
        "3. Sew the ear on.",
        "Next come the ears.",
        "The rounds begin at the center back.",
        "Ready.",
        "",
        "Foundation: none",
        "Right side out.",
    ],
)
def test_no_headers(line):
    assert not is_header(line, LANGUAGE)


@pytest.mark.parametrize(
    ("line", "marker"),
    [
        ("6 sc in MR (6)", ""),
        ("sc around (18)", ""),
        ("(sc, inc) x 6 (18)", ""),
        ("[2 sc, inc] x 6 [24]", ""),
        ("Ch 7.", ""),
        ("Chain 7", ""),
        ("BLO, sc around (18)", ""),
        ("Repeat Rnd 3 (18)", "3."),
        ("inc x 6", "3."),
        ("*sc, inc; rep from * around (18)", ""),
        ("3: inc x 6 (12)", ""),
        ("3) inc x 6 (12)", ""),
        ("(sc, inc) x 7 (21)", "3."),
        ("21 sc (21)", "-"),
        ("dec x 6", "•"),
        ("FLO: 2 sc in each st", "4."),
    ],
)
def test_lines_without_header_that_are_instructions(line, marker):
    assert is_instruction(line, marker, LANGUAGE)


@pytest.mark.parametrize(
    ("line", "marker"),
    [
        ("Sew the ear on.", "3."),
        ("2 Paws become the hands.", "2."),
        ("Single crochet is the first stitch that you learn.", ""),
        ("Chain stitches lift the hook.", ""),
        ("Stuff firmly.", ""),
        ("Weave in all ends.", "1."),
        ("Cut 3 strands.", "-"),
        ("(see the picture)", ""),
        ("6 mm safety eyes", "-"),
        ("Turn.", ""),
        ("3 colors are used.", "3."),
    ],
)
def test_lines_that_are_words(line, marker):
    assert not is_instruction(line, marker, LANGUAGE)


def test_a_paragraph_may_hold_lines_sentences_and_continuations(body):
    found = body(
        "## Ball (make 1)\n\nWith A. Worked in a spiral.\nRnd 1: 6 sc in MR (6)\nRnd 2: 2 sc,\n  inc x 3,\n  2 sc (10)\nRnd 3: 2 sc,\n"
        "6 sc (10)\nStuff firmly.",
        "yarns:\n  A: red",
    )
    part = found.pattern.parts[0]
    assert kinds(part) == ["sentence", "sentence", "line", "line", "line", "sentence"]
    second = part.steps[3]
    assert [(piece.text, piece.column) for piece in second.pieces] == [
        ("Rnd 2: 2 sc,", 1),
        ("inc x 3,", 3),
        ("2 sc (10)", 3),
    ]
    assert [piece.text for piece in part.steps[4].pieces] == ["Rnd 3: 2 sc,", "6 sc (10)"]
    assert second.span.line + 2 == second.span.end_line
    assert (part.steps[1].span.line, part.steps[1].span.column) == (part.steps[0].span.line, 9)


def test_numbered_items_keep_their_number_and_starred_ones_their_star(body):
    found = body("## Ball\n\n1. 6 sc in MR (6)\n2. inc x 6 (12)\n* sc, inc; rep from * around (18)\n- sc around (18)")
    lines = [step.pieces[0] for step in found.pattern.parts[0].steps]
    assert [piece.text for piece in lines] == [
        "1. 6 sc in MR (6)",
        "2. inc x 6 (12)",
        "* sc, inc; rep from * around (18)",
        "sc around (18)",
    ]
    assert [piece.column for piece in lines] == [1, 1, 1, 3]


@pytest.mark.parametrize(
    ("heading", "title", "make", "differs"),
    [
        ("Leg (make 2)", "Leg", 2, ()),
        ("Leg [make two]", "Leg", 2, ()),
        ("Leg (make 2: second not fastened off)", "Leg", 2, ("second not fastened off",)),
        ("Leg (make 4: 2 in A and B, 2 in B and C)", "Leg", 4, ("2 in A and B", "2 in B and C")),
        ("Leg (make 2, mirrored)", "Leg", 2, ("mirrored",)),
        ("Leg (x2)", "Leg", 2, ()),
        ("Leg (2x)", "Leg", 2, ()),
        ("Leg x 2", "Leg", 2, ()),
        ("Legs - make 2", "Legs", 2, ()),
        ("Arm (left)", "Arm (left)", 1, ()),
        ("Leg", "Leg", 1, ()),
    ],
)
def test_headings(body, heading, title, make, differs):
    part = body(f"## {heading}\n\nRnd 1: 6 sc in MR (6)\n").pattern.parts[0]
    assert (part.title, part.make, part.differs) == (title, make, differs)


def test_roles_of_sections(body):
    found = body(
        "Hello.\n\n## Notes\n\nUse cotton.\n\n## Special stitches\n\ncurl (cu): ch 6, 2 sc in each ch. Counts as 1 st.\n"
        "- **bump** (bu) = 3 dc in one st\n\n## Ear\n\nRnd 1: 6 sc in MR (6)\n\n### Tip\n\nRnd 2: inc x 6 (12)\n\n## Assembly\n\n"
        "1. 2 sc are left.\n\n## Thanks\n\nTo all."
    )
    assert [section.role for section in found.pattern.sections] == [
        "intro",
        "notes",
        "stitches",
        "part",
        "assembly",
        "other",
    ]
    assert kinds(found.pattern.parts[0]) == ["line", "heading", "line"]
    assert [own[:3] for own in found.pattern.own_stitches] == [
        ("curl", "cu", "ch 6, 2 sc in each ch. Counts as 1 st."),
        ("bump", "bu", "3 dc in one st"),
    ]


def test_a_bare_list_of_rounds_is_a_part_and_a_level_1_heading_the_title(text):
    found = text("# Little ball\n\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\n")
    assert [(part.role, part.title) for part in found.pattern.sections] == [("part", "Little ball")]
    assert text("# Ear\n\nRnd 1: 6 sc in MR (6)\n\n# Leg\n\nRnd 1: 6 sc in MR (6)\n").pattern.parts[1].title == "Leg"


def test_choices(body):
    found = body(
        f"{BALL}\nEither (eyes: safety): Place the eyes between Rnds 1 and 2. Press.\n"
        "Or (eyes: sewn): Embroider the eyes between Rnds 1 and 2.\n\n"
        "Optional (mouth): Embroider a mouth.\n\nStuff.\n\n"
        "Either (top: flat): Rnd 3: sc around (12)\nOr (top: round): Rnd 3: dec x 6 (6)\nRnd 4: dec x 3"
    )
    pattern = found.pattern
    assert pattern.choices == (("eyes", ("safety", "sewn")), ("mouth", ("with", "without")), ("top", ("flat", "round")))
    steps = pattern.parts[0].steps
    assert [(step.kind, step.choices) for step in steps[2:]] == [
        ("sentence", (("eyes", "safety"),)),
        ("prose", (("eyes", "safety"),)),
        ("sentence", (("eyes", "sewn"),)),
        ("sentence", (("mouth", "with"),)),
        ("sentence", ()),
        ("line", (("top", "flat"),)),
        ("line", (("top", "round"),)),
        ("line", ()),
    ]
    assert steps[7].pieces[0].text == "Rnd 3: sc around (12)" and steps[7].pieces[0].column == 21
    assert found.codes == []


@pytest.mark.parametrize(
    ("line", "values", "codes"),
    [
        ("![A ball](a/b.jpg)", {"alt": "A ball", "path": "a/b.jpg"}, []),
        ('![A ball](b.jpg){width=6cm caption="Words: here."}', {"width_mm": 60, "caption": "Words: here."}, []),
        ("![A ball](b.jpg){actual-size}", {"actual_size": 1}, []),
        ("![A ball](b.jpg)\n*Below it.*", {"caption": "Below it."}, []),
        ("![](b.jpg)", {}, ["picture-without-description"]),
        ("![A](../b.jpg)", {}, ["picture-outside"]),
        ("![A](a/../../b.jpg)", {}, ["picture-outside"]),
        ("![A](%2e%2e/b.jpg)", {}, ["picture-outside"]),
        ("![A](/b.jpg)", {}, ["picture-outside"]),
        ("![A](C:\\b.jpg)", {}, ["picture-outside"]),
        ("![A](https://example.org/b.jpg)", {}, ["picture-outside"]),
        ("![A](data:image/png;base64,AAAA)", {}, ["picture-outside"]),
        ("![A](b.jpg){onclick=steal}", {}, ["picture-attribute-unknown"]),
        ("![A](b.jpg){width=wide}", {}, ["not-a-length"]),
        ("Words ![A](../b.jpg) words.", None, ["picture-outside"]),
    ],
)
def test_pictures(body, line, values, codes):
    found = body(f"{BALL}\n{line}")
    assert found.codes == codes
    if values is not None:
        step = found.pattern.parts[0].steps[-1]
        assert step.kind == "picture"
        for name, value in values.items():
            assert step.value(name) == value


@pytest.mark.parametrize(
    ("line", "codes"),
    [
        ("Words with [a link](https://example.org), [mail](mailto:a@example.org), [here](#ball).", []),
        ("Yarn < 3 mm and a <3 for you, x <- y.", []),
        ("In prose [2 sc, inc](28) is text.", []),
        ("<script>alert(1)</script>", ["raw-html", "raw-html"]),
        ('<img src="x" onerror="alert(1)">', ["raw-html"]),
        ("[click](javascript:alert)", ["link-refused"]),
        ("[click](http://example.org)", ["link-refused"]),
        ("[click](file.html)", ["link-refused"]),
        ("[click]: http://example.org", ["link-refused"]),
        ("<http://example.org>", ["link-refused"]),
        ("> <b>quoted</b>", ["raw-html", "raw-html"]),
        ("```\n<b>code</b>\n```", []),
        ("<!-- <b>never printed</b> -->", []),
    ],
)
def test_what_prose_may_not_ask_for(body, line, codes):
    assert body(f"{BALL}\n{line}").codes == codes


def test_a_misspelt_part_is_named(body):
    found = body(f"{BALL}\n## Head\n\nRnd 1: 6 sc in MR (6)\n\n## Assembly\n\n1. Sew the Haed to the Ball.")
    assert found.codes == ["part-unknown"]
    assert found.problems[0].edits[0].text == "Head"


def test_an_empty_or_unreadable_file_has_one_finding(text):
    assert text("").codes == ["empty-file"]
    assert text("---\ntitle: A\nlanguage: en-US\n---\n").codes == ["no-parts"]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_examples_have_no_warning_and_every_line_is_found(path: Path):
    from booklet.diagnostics.codes import severity

    data = path.read_bytes()
    source, first = read(data, path.name)
    pattern, second = resolve(source)
    assert [problem.code for problem in (*first, *second) if severity(problem) != "note"] == []
    lines = [step.pieces[0].line for part in pattern.parts for step in part.steps if step.kind == "line"]
    written = [
        number
        for number, line in enumerate(data.decode().split("\n"), 1)
        if line.startswith(("Rnd ", "Rnds ", "Row ", "Rows ", "Ch "))
    ]
    assert lines == written


PARTS = st.sampled_from(
    [
        "## Leg (make 2)",
        "Rnd 1: 6 sc in MR (6)",
        "",
        "Either (a: b): Stuff.",
        "Or (a: c): Rnd 2: inc",
        "Optional (m): x",
        "Sew the Leg to the Body.",
        "Place the eyes between Rnds 5 and 6, 5 sts apart.",
        "1. inc x 6",
        "* sc *",
        "  more",
        "Fasten off and",
        "![](x){",
        "[a](b",
        "<x",
        "---",
        "hook: 2",
        "yarns: {A: red}",
        "notions: [2 eyes 3 mm]",
        "## Special stitches",
        "a (b): c",
        "With A, and B. Then C.",
        "Rnds",
        "R",
        "3rd",
        "( (",
    ]
)


@given(
    st.one_of(
        st.text(max_size=120),
        st.lists(PARTS, max_size=15).map("\n".join),
        st.lists(PARTS, max_size=12).map(lambda lines: "---\n" + "\n".join(lines)),
    )
)
@settings(max_examples=100, deadline=None)
def test_nothing_raises_and_steps_stand_where_they_say(text):
    source, _ = read(text.encode("utf-8", "replace"), "x.md")
    pattern, _ = resolve(source)
    lines = source.text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    last = (0, 0)
    for section in pattern.sections:
        for step in section.steps:
            for piece in step.pieces:
                if step.kind != "code":
                    assert lines[piece.line - 1][piece.column - 1 :][: len(piece.text)] == piece.text
                    assert (piece.line, piece.column) >= last
                    last = (piece.line, piece.column + len(piece.text))


LONG = {
    "sentences": "Sew the Ball to the Ball to the Ball to the Ball. ",
    "an endless sentence": "sew the ball to ",
    "brackets": "(",
    "either": "Either (",
    "stops": ". A",
    "links": "[a](",
    "html": "<a ",
    "rounds": "Rnd 1, ",
    "numbers": "12 ",
}


@pytest.mark.parametrize("name", LONG)
def test_hostile_words_take_linear_time(name):
    def source(size):
        text = f"---\ntitle: A\nlanguage: en-US\n---\n{BALL}\n{LONG[name] * (size // len(LONG[name]))}\n"
        return read(text.encode(), "x.md")[0]

    small, large = source(10_000), source(40_000)
    assert linear(lambda: resolve(small), lambda: resolve(large), floor=0.1)
