"""Bytes in, blocks and head values out: nothing lost, nothing raised, nothing slow."""


import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.source.read import read, read_house
from booklet.tables.limits import limits
from tests.timing import below, linear

HEADISH = st.sampled_from(
    [
        "---",
        "title: A: b",
        "yarns:",
        "  A: red",
        "\tB: #fff",
        "- item",
        "  - x: {a: 1",
        "'open",
        "key: |",
        "",
        "# no",
        "a: &b *c",
        "n: [a, {b: [c",
        "—",
        'q: "x" y',
        "## Head",
        "  deep: - - -",
        "? a",
        ": b",
        "!!x: y",
        "a: >\n  b",
        "ä: é",
        "- - - z",
    ]
)
BODYISH = st.sampled_from(
    [
        "# A",
        "## B (make 2)",
        "Rnd 1: 6 sc in MR (6)",
        "",
        "  more",
        "- item",
        "  - deeper",
        "1. one",
        "> quote",
        "| a | b |",
        "|---|---|",
        "![a](b.jpg)",
        "*caption*",
        "```",
        "<!-- x",
        "-->",
        "***",
        "text",
        "\ttab",
        "3. inc x 6 (12)",
        "* a",
        "<b>",
        "\x0b",
        "\u2028z",
        "~~~",
    ]
)
TEXTS = st.one_of(
    st.text(max_size=200),
    st.lists(HEADISH, max_size=12).map("\n".join),
    st.lists(BODYISH, max_size=16).map("\n".join),
    st.lists(st.one_of(HEADISH, BODYISH), max_size=16).map("\r\n".join),
)


@given(st.binary(max_size=300))
@settings(max_examples=150, deadline=None)
def test_no_bytes_raise(data):
    source, _ = read(data, "x.md")
    assert source.file == "x.md"
    read_house(data, "house.yaml")


@given(TEXTS)
@settings(max_examples=150, deadline=None)
def test_blocks_cover_the_body_in_order_and_pieces_are_where_they_say(text):
    source, problems = read(text.encode("utf-8", "surrogatepass"), "x.md")
    if any(problem.code == "not-text" for problem in problems):
        return
    lines = lines_of(source.text)
    covered = []
    for block in source.blocks:
        assert block.span.line <= block.span.end_line
        covered += range(block.span.line, block.span.end_line + 1)
        for piece in block.pieces:
            assert lines[piece.line - 1][piece.column - 1 :][: len(piece.text)] == piece.text
            assert block.span.line <= piece.line <= block.span.end_line
    assert covered == sorted(set(covered))
    first = source.head_span.end_line + 1 if source.head_span else 1
    for number, line in enumerate(lines, 1):
        if line.strip() and number >= first:
            assert number in covered, line


@given(TEXTS)
@settings(max_examples=150, deadline=None)
def test_values_of_the_head_lie_inside_the_head(text):
    source, problems = read(text.encode("utf-8", "surrogatepass"), "x.md")
    lines = lines_of(source.text)

    def look(value):
        assert 1 <= value.span.line <= value.span.end_line <= len(lines)
        assert value.span.column >= 1
        for item in value.items:
            look(item)
        for pair in value.pairs:
            look(pair[0])
            look(pair[1])

    for key, value in source.head:
        look(key)
        look(value)
    for problem in problems:
        assert 1 <= problem.span.line <= max(len(lines), 1)


def lines_of(text):
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


def codes(data):
    return [problem.code for problem in read(data, "x.md")[1]]


@pytest.mark.parametrize(
    ("data", "code", "variant"),
    [
        (b"", "empty-file", ""),
        (b" \n\n", "empty-file", ""),
        (b"\x89PNG\r\n\x00\x00", "not-text", "binary"),
        ("## Ball\n".encode("utf-16"), "not-text", "utf16"),
        ("## Bär\n".encode("latin-1"), "not-text", "encoding"),
        (b"x" * 10_000_000, "file-too-large", ""),
    ],
)
def test_files_that_are_no_text(data, code, variant):
    _, problems = read(data, "x.md")
    assert [(problem.code, problem.help) for problem in problems] == [(code, variant)]


def test_a_byte_that_is_not_utf8_is_named_where_it_stands():
    _, problems = read("one\ntwo é three\n".encode("latin-1"), "x.md")
    assert problems[0].span[:2] == (2, 5)


def test_byte_order_mark_and_line_ends_are_kept():
    source, problems = read("\ufeff---\r\ntitle: A\r\n---\r\n\r\n## B\r\n".encode(), "x.md")
    assert (source.byte_order_mark, source.line_end, source.text[:3]) == (True, "\r\n", "---")
    assert source.head[0][1].text == "A" and source.blocks[0].span.line == 5 and not problems
    assert read(b"one\rtwo\r\rthree", "x.md")[0].blocks[1].span.line == 4


def test_only_lf_crlf_and_cr_end_a_line():
    source, _ = read("one\x0btwo\u2028three\x85four\n\nfive".encode(), "x.md")
    assert [block.span.line for block in source.blocks] == [1, 3]


HOSTILE = {
    "brackets in the body": lambda n: "[" * n,
    "brackets in a value": lambda n: "---\na: " + "[" * n + "\n---\n",
    "braces in a value": lambda n: "---\na: " + "{a: " * (n // 4) + "\n---\n",
    "brackets over lines": lambda n: "---\na: " + "[\n " * (n // 3) + "\n---\n",
    "nested dashes": lambda n: "---\na:\n  " + "- " * (n // 2) + "x\n---\n",
    "quotes": lambda n: '---\na: "' + "\\" * n + "\n---\n",
    "apostrophes": lambda n: "---\na: " + "'" * (n | 1) + "\n---\n",
    "comments without end": lambda n: "<!-- a\n" * (n // 7),
    "fences": lambda n: "```\n\n~~~~\n\n" * (n // 11),
    "blanks": lambda n: "---\na: b" + " " * n + "#c\n---\n",
    "rules": lambda n: "- " * (n // 2) + "x",
    "pipes": lambda n: "|" * n + "\n" + "|" * (n // 8),
    "items": lambda n: "".join(" " * (at % 200) + "- a\n" for at in range(n // 100)),
    "entries": lambda n: "---\n" + "".join(f"k{at}: v\n" for at in range(n // 10)) + "---\n",
    "flows": lambda n: "---\n" + "".join(f"k{at}: [*v]\n" for at in range(n // 60)) + "---\n",
    "pictures": lambda n: "![" * (n // 2),
    "setting in": lambda n: "---\n" + "".join(" " * min(at, 900) + "a:\n" for at in range(n // 900)) + "---\n",
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_text_takes_linear_time(name):
    """Four times the text may take four times as long; a quadratic trap would take sixteen."""
    small, large = HOSTILE[name](30_000).encode(), HOSTILE[name](120_000).encode()
    assert linear(lambda: read(small, "x.md"), lambda: read(large, "x.md"))


@pytest.mark.parametrize("name", ["brackets in the body", "brackets in a value", "nested dashes", "pictures"])
def test_four_megabytes_of_brackets_are_read_at_once(name):
    data = HOSTILE[name](3_990_000).encode()
    assert len(data) <= limits()["file_bytes"]
    assert below(1, lambda: read(data, "x.md"))


def test_blocks_of_every_kind():
    text = """# One

para
more
- item a
  goes on
  - deeper
* star
1. first
2) second

> quoted
> twice

| a | b |
|---|---|
| 1 | 2 |

![alt](a.jpg){width=60mm}
*A caption.*

```
code *as* it is
```

<!-- a
comment -->

***
#5 marker is no heading
"""
    source, problems = read(text.encode(), "x.md")
    assert not problems
    assert [(block.kind, block.level, block.marker) for block in source.blocks] == [
        ("heading", 1, ""),
        ("paragraph", 0, ""),
        ("item", 0, "-"),
        ("item", 1, "-"),
        ("item", 0, "*"),
        ("item", 0, "1."),
        ("item", 0, "2)"),
        ("quote", 0, ""),
        ("table", 0, ""),
        ("picture", 0, ""),
        ("code", 0, ""),
        ("comment", 0, ""),
        ("rule", 0, ""),
        ("paragraph", 0, ""),
    ]
    assert [piece.text for piece in source.blocks[2].pieces] == ["item a", "goes on"]
    assert source.blocks[2].pieces[0].column == 3
    assert [piece.text for piece in source.blocks[7].pieces] == ["quoted", "twice"]
    assert len(source.blocks[9].pieces) == 2


def test_a_head_may_begin_with_a_comment():
    source, problems = read(b"---\n# my own note\ntitle: Bear\n---\n\nText.\n", "bear.md")
    assert [(key.text, value.text) for key, value in source.head] == [("title", "Bear")]
    assert problems == ()


def test_dashes_above_a_title_are_no_head():
    source, _ = read(b"---\n# Bear\n\nA note: text.\n\n---\n\nMore.\n", "bear.md")
    assert source.head == ()
