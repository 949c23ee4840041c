"""Head values: numbers, units, yarns, notions and choices are read, and every slip is named."""

import pytest


@pytest.mark.parametrize(
    ("entry", "mm", "codes"),
    [
        ("hook: 2.5 mm", 2.5, []),
        ("hook: 2,5 mm", 2.5, []),
        ("hook: C-2 (2.75 mm)", 2.75, []),
        ("hook size: 3 mm", 3.0, []),
        ("Hook: 3 mm", 3.0, []),
        ("hook: 2.5", 2.5, ["unit-missing"]),
        ("hook: 2.5 cm", 2.5, ["wrong-unit"]),
        ("hook: 300 mm", None, ["wrong-unit"]),
        ("hook: G", None, ["not-a-length"]),
        ("hook:", None, []),
    ],
)
def test_hooks(head, entry, mm, codes):
    found = head(entry)
    assert (found.pattern.hook_mm, found.codes) == (mm, codes)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("24 sc x 26 rnds = 10 cm", (24, 26, 100, 100, "single_crochet")),
        ("24 sts and 26 rounds = 4 in", (24, 26, 101.6, 101.6, "single_crochet")),
        ("18 hdc by 12 rows = 10 cm", (18, 12, 100, 100, "half_double_crochet")),
        ("24 sts x 26 rows = 10 x 10 cm", (24, 26, 100, 100, "single_crochet")),
        ("24 single crochet and 26 rounds in 10 cm x 12 cm", (24, 26, 100, 120, "single_crochet")),
        ("10 cm = 24 sc", (24, None, 100, 100, "single_crochet")),
        ("12 sc = 5 cm", (12, None, 50, 50, "single_crochet")),
        ("24.5 sc x 26 rnds = 10 cm", (24.5, 26, 100, 100, "single_crochet")),
    ],
)
def test_gauges(head, text, expected):
    found = head(f"gauge: {text}")
    gauge = found.pattern.gauge
    assert (gauge.stitches, gauge.rounds, gauge.width_mm, gauge.height_mm) == expected[:4]
    assert (gauge.stitch, found.codes) == (expected[4], [])


def test_a_gauge_by_rounds_is_kept_as_text(head):
    found = head("gauge: Rnds 1-3 = 9 cm square")
    assert (found.pattern.gauge, found.pattern.field("gauge"), found.codes) == (None, "Rnds 1-3 = 9 cm square", [])


@pytest.mark.parametrize("text", ["24 sc x 26 rnds", "tight", "10 cm"])
def test_gauges_that_say_too_little(head, text):
    assert head(f"gauge: {text}").codes == ["gauge-not-understood"]


def test_a_yarn_in_one_line_and_as_a_map(head):
    found = head(
        "yarns:\n  A:\n    color: chestnut\n    weight: medium (4)\n    fiber: 100% cotton\n    put-up: 125 m / 50 g\n"
        '    drawn: "#7A4A2B"\n    used: 23 g\n  MC: oat, light (3), 80% cotton, 20% wool, 137 yd / 1.75 oz, Harbour Cotton\n'
        "  T: black thread, only for: eyes embroidered"
    )
    one, two, three = found.pattern.yarns
    assert (one.colour, one.weight, one.weight_name, one.fibre) == ("chestnut", 4, "medium", "100% cotton")
    assert (one.ball_m, one.ball_g, one.drawn, one.used_g) == (125, 50, "#7a4a2b", 23)
    assert (two.code, two.colour, two.weight, two.fibre, two.name) == (
        "MC",
        "oat",
        3,
        "80% cotton, 20% wool",
        "Harbour Cotton",
    )
    assert two.ball_m == pytest.approx(125.27, abs=0.01)  # 137 yd of 0.9144 m
    assert two.ball_g == pytest.approx(49.6, abs=0.05)  # 1.75 oz of 28.3495 g
    assert three.only_for == (("eyes", "embroidered"),)


@pytest.mark.parametrize(
    ("text", "number", "name"),
    [
        ("3", 3, ""),
        ("light (3)", 3, "light"),
        ("3 (light)", 3, "light"),
        ("DK", 3, "DK"),
        ("worsted", 4, "worsted"),
        ("weight 4", 4, ""),
        ("light (4)", 4, "light"),
        ("super bulky (6)", 6, "super bulky"),
    ],
)
def test_weights(head, text, number, name):
    """Categories and names: Craft Yarn Council, Standard Yarn Weight System."""
    found = head(f"yarns:\n  A:\n    colour: red\n    weight: {text}")
    assert (found.pattern.yarns[0].weight, found.pattern.yarns[0].weight_name, found.codes) == (number, name, [])


@pytest.mark.parametrize(
    ("entry", "code"),
    [
        ("weight: 9", "weight-unknown"),
        ("weight: thick", "weight-unknown"),
        ("ball: 125 m", "ball-not-understood"),
        ("ball: 125 / 50", "ball-not-understood"),
        ("drawn: brown", "not-a-colour"),
        ('drawn: "#abc"', "not-a-colour"),
        ("used: some", "not-a-length"),
        ("used: 23", "unit-missing"),
        ("colr: red", "unknown-key"),
    ],
)
def test_slips_of_a_yarn(head, entry, code):
    assert head(f"yarns:\n  A:\n    name: x\n    {entry}").codes == [code]


@pytest.mark.parametrize(
    ("line", "name", "count", "size"),
    [
        ("stuffing", "stuffing", None, None),
        ("2 safety eyes, 6 mm", "safety eyes", 2, 6),
        ("2 x 6 mm safety eyes", "safety eyes", 2, 6),
        ("1 pair of safety eyes (8 mm)", "pair of safety eyes", 1, 8),
        ("a pair of safety eyes (8 mm)", "safety eyes", 2, 8),
        ("4 stitch markers", "stitch markers", 4, None),
        ("black embroidery thread, 50 cm", "black embroidery thread", None, 500),
        ("box 10 x 20 mm, 5 mm", "box 10 x 20 mm, 5 mm", None, None),
    ],
)
def test_notions_in_one_line(head, line, name, count, size):
    notion = head(f"notions:\n  - {line}").pattern.notions[0]
    assert (notion.text, notion.name, notion.count, notion.size_mm) == (line, name, count, size)


def test_measured_notions(head, body):
    found = body(
        "## Head\n\nRnd 1: 6 sc in MR (6)\nEither (eyes: safety): Stuff.\nOr (eyes: sewn): Stuff.",
        "notions:\n  - knob: {shape: sphere, diameter: 3 cm}\n  - safety eyes:\n      count: 2\n      diameter: 8 mm\n"
        "      attached: locked\n      on: Head\n      only for: eyes safety\n  - bell:\n    only for: eyes sewn",
    )
    knob, eyes = found.pattern.notions[:2]
    assert (knob.name, knob.shape, knob.dimensions) == ("knob", "sphere", (("diameter", 30.0),))
    assert (eyes.name, eyes.count, eyes.dimensions, eyes.attached, eyes.on) == (
        "safety eyes",
        2,
        (("diameter", 8.0),),
        "locked",
        "Head",
    )
    assert eyes.only_for == (("eyes", "safety"),)
    assert head("notions:\n  - knob: {shape: sfere, diameter: 30}").codes == ["not-a-choice", "unit-missing"]


@pytest.mark.parametrize(
    ("entry", "months"),
    [
        ("toy-age: 3+", 36),
        ("age: 0+", 0),
        ("toy-age: 18 months", 18),
        ("toy-age: 3 years and up", 36),
        ("toy-age: 6m+", 6),
        ("toy age: 3", 36),
    ],
)
def test_ages(head, entry, months):
    found = head(entry)
    assert (found.pattern.toy_age_months, found.codes) == (months, [])


def test_other_fields(head):
    found = head(
        "made as: Toy\nmarkets: US, eu, Great Britain\nmaker-age: 9+\nsizes: small, large\nlevel: Easy\ndate: 2026-11-24"
    )
    pattern = found.pattern
    assert (pattern.made_as, pattern.markets, pattern.maker_age_years, pattern.sizes) == (
        "toy",
        ("US", "EU", "UK"),
        9,
        ("small", "large"),
    )
    assert (pattern.field("level"), found.codes) == ("Easy", [])


@pytest.mark.parametrize(
    ("entry", "code", "edit"),
    [
        ("desinger: me", "unknown-key", "designer"),
        ("guage: 24 sc = 10 cm", "unknown-key", "gauge"),
        ("xyzzy: me", "unknown-key", None),
        ("level: easey", "not-a-choice", "easy"),
        ("made as: toys", "not-a-choice", "toy"),
        ("markets: US, Mars", "not-a-market", None),
        ("toy-age: kids", "not-an-age", None),
        ("date: yesterday", "not-a-date", None),
        ("cover: /etc/passwd", "picture-outside", None),
        ("cover: ../x.jpg", "picture-outside", None),
        ("cover: https://example.org/x.jpg", "picture-outside", None),
        ("video: http://example.org", "link-refused", "https://example.org"),
        ("video: javascript:alert(1)", "link-refused", None),
        ("designer:\n  - one\n  - two", "not-a-text", None),
        ("yarns:\n  - red", "yarn-without-code", None),
    ],
)
def test_slips_of_the_head(head, entry, code, edit):
    found = head(entry)
    assert found.codes == [code]
    edits = found.problems[0].edits
    assert (edits[0].text if edits else None) == edit


def test_translated_keys(head):
    assert head("nadel: 3 mm\ngröße: 12 cm").pattern.hook_mm == 3


@pytest.mark.parametrize(
    ("tag", "meant", "codes"),
    [
        ("en-US", "en-US", []),
        ("en_us", "en-US", []),
        ("en", "en-US", []),
        ("English", "en-US", ["language-unknown"]),
        ("tlh", "en-US", ["language-unknown"]),
    ],
)
def test_languages(text, tag, meant, codes):
    found = text(f"---\ntitle: x\nlanguage: {tag}\n---\n\n## A\n\nRnd 1: 6 sc in MR (6)\n")
    assert (found.pattern.language, found.codes) == (meant, codes)


def test_terms(text):
    rounds = "\n\n## A\n\nRnd 1: 6 sc in MR (6)\n"
    assert text(f"---\nlanguage: en-US\n---{rounds}").pattern.terms == "US"
    assert text(f"---\nlanguage: en-US\nterms: UK\n---{rounds}").pattern.terms == "UK"
    assert text(f"---\nlanguage: en-US\nterms: UK terms\n---{rounds}").codes == ["not-a-choice"]


def test_without_a_head_everything_else_goes_on(text):
    found = text("## A\n\nRnd 1: 6 sc in MR (6)\n")
    assert found.codes == ["language-guessed", "no-head"] or found.codes == ["no-head", "language-guessed"]
    assert found.pattern.language == "en-US" and found.pattern.parts[0].title == "A"


def test_a_house_file_gives_defaults_and_the_pattern_wins(head):
    found = head(
        "hook: 3 mm\nyarns:\n  A: red", "designer: Studio\nhook: 4 mm\nyarns:\n  A: blue\n  B: oat\nlabels: R\n"
    )
    assert (found.pattern.field("designer"), found.pattern.hook_mm, found.pattern.field("labels")) == ("Studio", 3, "R")
    assert [(yarn.code, yarn.colour) for yarn in found.pattern.yarns] == [("A", "red"), ("B", "oat")]
    assert found.codes == []
    assert [(p.code, p.file) for p in head("", "desinger: x").problems] == [("unknown-key", "house.yaml")]


def test_only_for_names_a_choice_of_a_step(head):
    assert head("notions:\n  - 2 buttons, only for: ears round").codes == ["only-for-unknown"]
