"""What the writer writes is read back as the same tree, for every language and for generated instructions."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.diagnostics.span import START
from booklet.notation.lex import lexicon
from booklet.notation.read import read_line
from booklet.notation.tree import Act, Group, Instruction, Node, Target, Work
from booklet.notation.write import numbers_text, write
from booklet.source.tree import Piece
from booklet.tables.language import load, printable

PLAIN = ("single_crochet", "half_double_crochet", "double_crochet", "treble_crochet", "slip_stitch", "bobble")
SHAPING = ("increase", "decrease", "invisible_decrease", "sc2tog", "sc3tog", "hdc2tog")

counts = st.integers(1, 60)
works = st.one_of(
    st.builds(lambda s, n: Work(s, n, START), st.sampled_from(PLAIN + SHAPING), counts),
    st.builds(lambda s, n: Work(s, n, START, Target("next", 1), n), st.sampled_from(PLAIN[:4]), st.integers(2, 6)),
    st.builds(
        lambda s, n, k: Work(s, k, START, Target("next", n), k),
        st.sampled_from(PLAIN[:4]),
        st.integers(7, 60),
        st.integers(2, 5),
    ),
    st.builds(
        lambda s, loop: Work(s, 4, START, loop=loop), st.sampled_from(PLAIN[:4]), st.sampled_from(("front", "back"))
    ),
    st.builds(lambda n: Work("skip", n, START), st.integers(1, 9)),
)
groups = st.recursive(
    st.builds(
        lambda items, n: Group(tuple(items), n, START), st.lists(works, min_size=1, max_size=4), st.integers(2, 40)
    ),
    lambda inner: st.builds(
        lambda items, n: Group(tuple(items), n, START),
        st.lists(st.one_of(works, inner), min_size=1, max_size=3),
        st.integers(2, 9),
    ),
    max_leaves=4,
)
# What a language can write only where its table has the form: key of writing.tsv -> nodes. Each kind of node of the tree stands here.
spaces = st.sampled_from((0, 1, 2, 3, 5))
FORMS: dict[str, st.SearchStrategy[Node]] = {
    "space": st.builds(
        lambda s, n, k: Work(s, n, START, Target("space", 1, "", k), n),
        st.sampled_from(PLAIN[:4]),
        st.integers(1, 5),
        spaces,
    ),
    "space_places": st.builds(
        lambda s, n: Work(s, 1, START, Target("space", n, "", 2), 1), st.sampled_from(PLAIN[:4]), st.integers(2, 5)
    ),
    "spaces": st.builds(
        lambda s, n, k: Work(s, n, START, Target("spaces", 0, "", k), n),
        st.sampled_from(PLAIN[:4]),
        st.integers(1, 5),
        spaces,
    ),
    "same_space": st.builds(
        lambda s, n: Work(s, n, START, Target("same_space", 1), n), st.sampled_from(PLAIN[:4]), st.integers(1, 5)
    ),
    "in_next_ch": st.builds(
        lambda s, n: Work(s, 1, START, Target("next", n, "chain")), st.sampled_from(PLAIN[:4]), st.integers(2, 9)
    ),
    "skip_first": st.just(Work("skip", 1, START, Target("first", 1))),
    "skip_space": st.builds(lambda n: Work("skip", n, START, Target("space", n)), st.integers(1, 4)),
    "group_in": st.builds(
        lambda n, k, kind: Group(
            (Work("double_crochet", n, START), Work("chain", 2, START), Work("double_crochet", n, START)),
            1,
            START,
            0,
            kind(k),
        ),
        st.integers(1, 5),
        spaces,
        st.sampled_from(
            (
                lambda k: Target("space", 1, "", k),
                lambda k: Target("spaces", 0, "", k),
                lambda k: Target("next", 1),
                lambda k: Target("next", 3),
                lambda k: Target("same", 1),
                lambda k: Target("same_space", 1),
                lambda k: Target("space", 2, "", k),
            )
        ),
    ),
    "group_until": st.builds(
        lambda n: Group((Work("single_crochet", 1, START), Work("decrease", 1, START)), None, START, 0, None, n),
        st.integers(1, 9),
    ),
    "earlier": st.builds(
        lambda n, loop: Work("single_crochet", n, START, Target("earlier", n, loop, 6)),
        st.integers(2, 30),
        st.sampled_from(("front", "back")),
    ),
    "earlier_all": st.builds(
        lambda n, loop: Work("single_crochet", n, START, Target("earlier", 0, loop, 6), n),
        st.integers(1, 3),
        st.sampled_from(("front", "back")),
    ),
    "evenly": st.builds(lambda n: Work("increase", n, START, Target("evenly")), st.integers(2, 9)),
    "to_count": st.builds(lambda n: Work("decrease", 1, START, Target("to_count", n)), st.integers(2, 40)),
    "free": st.builds(lambda n: Work("single_crochet", n, START, Target("free", 1), n), st.integers(2, 40)),
    "both_pieces": st.builds(lambda n: Work("single_crochet", n, START, Target("both_pieces", n)), st.integers(2, 9)),
    "both_layers": st.builds(lambda n: Work("single_crochet", n, START, Target("both_layers", n)), st.integers(2, 9)),
    "leave": st.just(Act("leave", START)),
    "turn": st.just(Act("turn", START)),
}
SENTENCES: dict[str, Node] = {
    "as_round": Act("as_round", START, "3", 1),
    "as_round_n": Act("as_round", START, "5,6", 2),
    "last_round": Act("as_round", START, "last 1", 1),
    "last_rounds": Act("as_round", START, "last 2", 3),
    "as_before": Act("as_before", START),
    "as_before_to": Act("as_before", START, "", 42),
}
bodies = st.lists(st.one_of(works, groups), min_size=1, max_size=5)


def in_words(tag: str, items: list[Node]) -> tuple[str, tuple[Node, ...]]:
    """The line as written, and the first reading of it."""
    language = load(tag)
    text = write(instruction(items, (9,), None), language)
    found = read_line((Piece(text, 1, 1),), lexicon(language, ("A", "B")))
    assert found.readings, (text, found)
    return text, found.readings[0].items


@pytest.mark.parametrize("tag", printable())
@pytest.mark.parametrize("key", FORMS)
def test_every_kind_of_node_is_read_back(tag: str, key: str) -> None:
    if key not in load(tag).writing:
        pytest.skip(f"{tag} has no form {key} yet")

    @settings(max_examples=25, deadline=None)
    @given(FORMS[key], st.integers(2, 9))
    def check(node: Node, n: int) -> None:
        before = Work("half_double_crochet", n, START)
        text, items = in_words(tag, [before, node])
        assert [bare(item) for item in items] == [bare(before), bare(node)], text

    check()


@pytest.mark.parametrize("tag", printable())
@pytest.mark.parametrize("key", SENTENCES)
def test_lines_that_name_other_lines_are_read_back(tag: str, key: str) -> None:
    if key not in load(tag).writing:
        pytest.skip(f"{tag} has no form {key} yet")
    text, items = in_words(tag, [SENTENCES[key]])
    assert [bare(item) for item in items] == [bare(SENTENCES[key])], text


def instruction(items: list[Node], numbers: tuple[int, ...], stated: int | None) -> Instruction:
    """An instruction without a place in a file."""
    return Instruction("round", "", numbers, tuple(items), stated, None, START, START)


def bare(node: Node) -> object:
    """A node without its place; `3 sc in next 3 sts` and the like count their stitches by the target."""
    if isinstance(node, Group):
        return ("group", tuple(bare(item) for item in node.items), node.times, node.leave, node.target, node.until)
    if isinstance(node, Work):
        count = None if node.target.n or node.target.kind in ("around", "spaces", "earlier", "to_count") else node.count
        return ("work", node.stitch, count, node.target[:4], node.each, node.loop)
    return ("act", node.kind, node.value, node.n)


@pytest.mark.parametrize("tag", printable())
def test_reading_what_was_written_gives_the_same_tree(tag: str) -> None:
    language = load(tag)
    words = lexicon(language, ("A", "B"))

    @settings(max_examples=150, deadline=None)
    @given(bodies, st.integers(1, 90), st.one_of(st.none(), st.integers(1, 300)))
    def check(items: list[Node], number: int, stated: int | None) -> None:
        line = instruction(items, (number,), stated)
        text = write(line, language)
        found = read_line((Piece(text, 1, 1),), words)
        assert found.readings, (text, found)
        first = found.readings[0]
        assert [bare(node) for node in first.items] == [bare(node) for node in items], text
        assert (first.numbers, first.stated) == ((number,), stated), text

    check()


@pytest.mark.parametrize(
    "text",
    [
        "Rnd 1: 6 sc in MR (6)",
        "Rnds 4–7: sc in each st around (18)",
        "Rnd 2: 2 sc in each st around (12)",
        "Rnd 3: (sc, inc) x 6 (18)",
        "Rnd 4: 2 sc, inc, (4 sc, inc) x 5, 2 sc (36)",
        "Rnd 1: from 2nd ch from hook: 5 sc, 3 sc in last ch, on the other side of the ch: 4 sc, 2 sc in last ch (14)",
        "Row 1: sc in 2nd ch from hook, sc in each ch across (7)",
        "Row 2: ch 1, turn, sc in each st across (7)",
        "Rnd 5: BLO: sc in each st around (18)",
        "Rnd 6: with B, 6 sc, change to A, 6 sc, join with sl st to first st (12)",
        "Rnd 9: ch 3, 14 sc on first Leg, 3 sc on ch, 14 sc on second Leg, 3 sc on other side of ch (34)",
        "Rnds 5, 7 and 9: (2 sc, dec) around (21)",
    ],
)
def test_canonical_lines_are_written_as_they_are_read(text: str) -> None:
    language = load("en-US")
    found = read_line((Piece(text, 1, 1),), lexicon(language, ("A", "B"), ("Leg",)))
    assert found.readings, found
    assert write(found.readings[0], language) == text


def test_numbers_of_rounds() -> None:
    language = load("en-US")
    assert numbers_text((4, 5, 6, 7), language) == "4–7"
    assert numbers_text((5, 7), language) == "5 and 7"
    assert numbers_text((3,), language) == "3"
