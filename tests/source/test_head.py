"""What designers really type in a head is read as it was meant, and each slip has its own finding with a mend."""

import pytest

from booklet.source.read import read, read_house

SLIPS = [
    ("title: Bruno: a bear", "Bruno: a bear", "colon-in-value"),
    ("drawn: #7a4a2b", "#7a4a2b", "hash-in-value"),
    ("designer: Studio #1", "Studio #1", "hash-in-value"),
    ("title: *Bruno", "*Bruno", "sign-at-start"),
    ("title: *Bruno*", "*Bruno*", "sign-at-start"),
    ("contact: @studio", "@studio", "sign-at-start"),
    ("fibre: %100 cotton", "%100 cotton", "sign-at-start"),
    ("title: &Co", "&Co", "sign-at-start"),
    ("title: !Wow", "!Wow", "sign-at-start"),
    ("title: `Bruno`", "`Bruno`", "sign-at-start"),
    ("title: [2 sc, inc] x 6", "[2 sc, inc] x 6", "sign-at-start"),
    ("title: > Bruno", "> Bruno", "sign-at-start"),
    ('title: "Bruno', "Bruno", "quote-not-closed"),
    ("title: 't Vosje", "'t Vosje", "quote-not-closed"),
    ('title: "Bruno" the bear', '"Bruno" the bear', "text-after-quote"),
    (r'cover: "photos\cat.jpg"', r"photos\cat.jpg", "backslash-in-quotes"),
    ("hook:2.5 mm", "2.5 mm", "space-after-colon"),
    ("hook:\t2.5 mm", "2.5 mm", "tab-in-head"),
    ("licence: For your\nown use", "For your own use", "head-line-without-key"),
    ("title: Bruno\n  the: bear", "Bruno the: bear", "colon-in-value"),
]
CLEAN = [
    ("title: Bruno", "Bruno"),
    ("title: 'Bruno: a bear'", "Bruno: a bear"),
    ('drawn: "#7a4a2b"', "#7a4a2b"),
    ("n: 0012", "0012"),
    ("n: 1.10", "1.10"),
    ("n: 2,5 mm", "2,5 mm"),
    ("n: no", "no"),
    ("on: yes", "yes"),
    ("n: ~", "~"),
    ("n:", ""),
    ("title: it's a bear", "it's a bear"),
    ("title: 'it''s'", "it's"),
    (r'title: "a \"b\""', 'a "b"'),
    ("licence: For your\n  own use.\n\n  Thank you.", "For your own use. Thank you."),
    ("licence: >\n  For your\n  own use.", "For your own use."),
    ("licence: |\n  For your\n  # own use.", "For your\n# own use."),
    ("title: Bär “x” – y", "Bär “x” – y"),
    ("video: https://example.org/a#b", "https://example.org/a#b"),
    ('finished size: 6" tall', '6" tall'),
]


def head(text):
    return read(f"---\n{text}\n---\n".encode(), "x.md")


@pytest.mark.parametrize(("text", "meant", "code"), SLIPS)
def test_a_slip_is_understood_and_named(text, meant, code):
    source, problems = head(text)
    assert source.head[0][1].text == meant
    assert [problem.code for problem in problems] == [code]
    assert problems[0].edits


@pytest.mark.parametrize(("text", "meant"), CLEAN)
def test_what_is_no_slip_is_left_alone(text, meant):
    source, problems = head(text)
    assert (source.head[0][1].text, problems) == (meant, ())


@pytest.mark.parametrize(("text", "meant", "code"), SLIPS)
def test_the_mend_reads_back_the_same_without_the_slip(text, meant, code):
    whole = f"---\n{text}\n---\n"
    _, problems = head(text)
    lines = whole.split("\n")
    starts = [sum(len(line) + 1 for line in lines[:n]) for n in range(len(lines))]
    for edit in sorted(problems[0].edits, reverse=True):
        at = starts[edit.span.line - 1] + edit.span.column - 1
        end = starts[edit.span.end_line - 1] + edit.span.end_column - 1
        whole = whole[:at] + edit.text + whole[end:]
    source, left = read(whole.encode(), "x.md")
    assert (source.head[0][1].text, left) == (meant, ())


def test_comments_at_the_end_of_a_line_are_said():
    source, problems = head("hook: 3 mm # or smaller\n# a line of its own")
    assert source.head[0][1].text == "3 mm"
    assert [(problem.code, dict(problem.values)["text"]) for problem in problems] == [("comment-in-head", "or smaller")]


def test_maps_and_lists_in_every_dress():
    source, problems = head(
        "yarns:\n  A:\n    colour: red\n    fibre: cotton\n  B: oat\n"
        "notions:\n- stuffing\n- knob: {shape: sphere, diameter: 30 mm}\n- eyes:\n    count: 2\n- name: x\n  size: y\n"
        "markets: [US, EU]\nflat: {a: 1,\n  b: [x, 'y, z']}"
    )
    assert not problems
    values = {key.text: value for key, value in source.head}
    assert [key.text for key, _ in values["yarns"].pairs] == ["A", "B"]
    assert [key.text for key, _ in values["yarns"].pairs[0][1].pairs] == ["colour", "fibre"]
    stuffing, knob, eyes, named = values["notions"].items
    assert stuffing.text == "stuffing"
    assert [(key.text, value.text) for key, value in knob.pairs[0][1].pairs] == [
        ("shape", "sphere"),
        ("diameter", "30 mm"),
    ]
    assert eyes.pairs[0][1].pairs[0][1].text == "2"
    assert [(key.text, value.text) for key, value in named.pairs] == [("name", "x"), ("size", "y")]
    assert [item.text for item in values["markets"].items] == ["US", "EU"]
    assert values["flat"].pairs[1][1].items[1].text == "y, z"
    inner = knob.pairs[0][1].pairs[1][1].span
    assert (inner.line, inner.column, inner.end_column) == (9, 35, 40)
    assert values["flat"].pairs[1][0].span[:2] == (16, 3)


def test_slips_in_brackets_keep_their_places():
    source, problems = head("knob: {drawn: #7a4a2b, by: @me, n: 2}")
    assert [(key.text, value.text) for key, value in source.head[0][1].pairs] == [
        ("drawn", "#7a4a2b"),
        ("by", "@me"),
        ("n", "2"),
    ]
    assert [(problem.code, problem.span.column) for problem in problems] == [
        ("hash-in-value", 15),
        ("sign-at-start", 28),
    ]


def test_one_bad_entry_loses_one_entry():
    source, problems = head("a: {x: y: z}\ntitle: Bruno")
    assert [problem.code for problem in problems] == ["head-not-understood"]
    assert source.head[1][1].text == "Bruno"


def test_double_keys_are_kept_and_reported():
    source, problems = head("title: A\nyarns:\n  A: x\n  A: y\ntitle: B")
    assert [value.text for key, value in source.head if key.text == "title"] == ["A", "B"]
    assert [(problem.code, problem.span.line, dict(problem.values)["line"]) for problem in problems] == [
        ("double-key", 5, 4),
        ("double-key", 6, 2),
    ]


@pytest.mark.parametrize(
    ("text", "code", "keys", "blocks"),
    [
        ("---\ntitle: A\n\n## B\n\ntext\n", "head-not-closed", ["title"], 2),
        ("---\ntitle: A\ntext without a key\n", "head-not-closed", ["title"], 1),
        ("title: A\n---\n\n## B\n", "head-not-opened", ["title"], 1),
        ("———\ntitle: A\n———\n\n## B\n", "head-dashes", ["title"], 1),
    ],
)
def test_a_head_without_its_dashes(text, code, keys, blocks):
    source, problems = read(text.encode(), "x.md")
    assert {problem.code for problem in problems} == {code}
    assert [key.text for key, _ in source.head] == keys
    assert len(source.blocks) == blocks


@pytest.mark.parametrize(
    "text", ["## B\n\ntext\n", "---\n\ntext below a rule\n", "Note: this is prose\n\nand more\n", "one\n---\ntwo"]
)
def test_no_head_where_there_is_none(text):
    source, problems = read(text.encode(), "x.md")
    assert (source.head, source.head_span, problems) == ((), None, ())


def test_a_house_file_is_all_head():
    source, problems = read_house(b"designer: Studio\ndec: invisible decrease\n", "house.yaml")
    assert [key.text for key, _ in source.head] == ["designer", "dec"] and not problems
    _, problems = read_house(b"---\ntitle: a: b\n", "house.yaml")
    assert [(problem.code, problem.file) for problem in problems] == [("colon-in-value", "house.yaml")]
