"""Rounds in plain words: what a beginner reads, or hears, in every language that a booklet can be set in."""

from __future__ import annotations

import os
import re
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.diagnostics.span import START
from booklet.notation.lex import lexicon
from booklet.notation.plain import plain_words
from booklet.notation.read import read_line
from booklet.notation.tree import Act, Group, Instruction, Node, Target, Work
from booklet.source.tree import Piece
from booklet.tables.language import load, printable, variants
from booklet.tables.lineage import pairs_of
from booklet.tables.plain import SLOT, plain_forms
from booklet.tables.plurals import categories, category
from booklet.tables.reader import TableFault
from booklet.tables.stitches import stitches
from tests.notation.cases import cases
from tests.notation.test_write import FORMS, SENTENCES, bodies, instruction

GOLDEN = Path(__file__).parent / "plain"
# Keys that a language has only where it needs them; with a number behind a key, its form for that number.
OPTIONAL = re.compile(r"(stitch_each|stitch_bare|stitch|stitch\..*|then_verb|then_last|verb\..*|place\.post.*|.*\.\d+)$")


def plain(text: str, tag: str = "en-US") -> str:
    return plain_words(read(text), load(tag))


@cache
def read(text: str) -> Instruction:
    return read_line((Piece(text, 1, 1),), lexicon(load("en-US"), ("A", "B"), ("Leg",))).readings[0]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("Rnd 1: 6 sc in MR (6)", "Work 6 single crochets into the ring. Now you have 6 stitches."),
        ("Rnd 2: inc x 6", "Work 2 single crochets in each of the next 6 stitches."),
        ("Rnd 3: (sc, inc) x 6", "Work 1 single crochet in the next stitch, then 2 single crochets in the next stitch; do this 6 times."),
        ("Rnd 4: hdc around", "Work 1 half double crochet in every stitch to the end."),
        ("Rnd 8: *2 sc, dec; rep from * around", "Work 1 single crochet in each of the next 2 stitches, then the next 2 stitches together as 1 single crochet; "
         "do this again and again to the end."),
    ],
)  # fmt: skip
def test_plain_words(line: str, words: str) -> None:
    assert plain(line) == words


def test_every_line_can_be_told() -> None:
    """No line of the cases leaves a slot open or says nothing."""
    language = load("en-US")
    words = lexicon(language, ("A", "B"), ("Leg", "Body"))
    for case in cases("en-US"):
        for line in case.lines:
            for reading in read_line((Piece(line, 1, 1),), words).readings[:1]:
                told = plain_words(reading, language)
                assert "{" not in told and "  " not in told, (line, told)


def test_what_is_repeated_is_a_sentence_of_its_own() -> None:
    """So that "this" can mean nothing but what stands in it."""
    told = plain("Rnd 4: 2 sc, inc, (4 sc, inc) x 5, 2 sc (36)").split(". ")
    assert [sentence.startswith("Work 1 single crochet in each of the next 4") for sentence in told] == [False, True, False, False]
    assert told[1].endswith("do this 5 times")


def test_a_range_says_how_many_rounds_it_is() -> None:
    assert "Work 4 rounds like this. Now" in plain("Rnds 4-7: sc around (18)")
    assert "like this" not in plain("Rnd 4: sc around (18)") + plain("Rnds 5, 7 and 9: sc around (18)") + plain("Rnds 5-8: repeat Rnds 3-4 twice")


# One of each kind that a beginner meets.
TYPICAL = (
    "Rnd 1: 6 sc in MR (6)",
    "Rnd 2: inc x 6 (12)",
    "Rnd 3: (sc, inc) x 6 (18)",
    "Rnd 4: 2 sc, inc, (4 sc, inc) x 5, 2 sc (36)",
    "Rnd 5: sc around (18)",
    "Rnd 6: (3 sc, dec) x 6 (24)",
    "Rnd 7: inv dec x 6 (6)",
    "Rnd 8: (2 sc, (sc, inc) x 2, 5 sc) x 3 (33)",
    "Rnd 9: 3 sc in same st, 2 dc in next st",
    "Row 2: ch 1, turn, sc in each st across (7)",
    "Row 3: ch 3 (counts as st), dc in next 5 sts, leave the rest unworked",
    "Rnd 9: skip 2 sts, 5 dc in next st, skip 1 st, sc",
    "Rnd 10: BLO: sc in each st around (18)",
    "Rnd 11: 4 sc in FLO, BPdc in next 3 sts, FPdc",
    "Rnd 12: with B, 6 sc, change to A, sc, join with sl st to first st (12)",
    "Rnd 13: (3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1, 3 dc in each ch-2 sp around",
    "Rnd 14: 5 sc, bobble, 5 sc",
    "Rnd 1: from 2nd ch from hook: 5 sc, 3 sc in last ch, on the other side of the ch: 4 sc, 2 sc in last ch (14)",
    "Row 1: sc in 2nd ch from hook, sc in each ch across (7)",
    "Rnd 9: ch 3, 14 sc on first Leg, 3 sc on ch, 14 sc on second Leg, 3 sc on other side of ch (34)",
    "Rnd 15: (sc, inc) to last 3 sts",
    "Rnds 18-21: sc around (18)",
    "Rnd 16: repeat Rnds 3-4 2 times",
    "Rnd 17: 12 sc in front loop of Rnd 6",
)


@pytest.mark.parametrize("tag", printable())
def test_typical_rounds(tag: str) -> None:
    """The lines of a language, to be read whole by somebody who crochets in it; from memory. UPDATE=1 writes them anew."""
    made = "".join(f"{line}\n    {plain(line, tag)}\n" for line in TYPICAL)
    file = GOLDEN / f"{tag}.txt"
    if os.environ.get("UPDATE"):
        file.write_text(made, "utf-8")
    assert made == file.read_text("utf-8")


@pytest.mark.parametrize("tag", printable())
def test_every_language_says_everything(tag: str) -> None:
    """Every key of the English table, with no slot of its own invention; every plural category that the language has."""
    own, english = pairs_of(tag, "plain.tsv"), pairs_of("en-US", "plain.tsv")
    missing = {key for key in english if not OPTIONAL.match(key) or re.match(r"place\.post|nth\.1$", key)} - {*own}
    assert not missing - {"nth.1"}, sorted(missing)
    verbs = {key.removeprefix("verb.") for key in own if key.startswith("verb.")} | {"work"}
    for key, cell in own.items():
        like = key if key in english else re.sub(r"\.\d+$", "", key)
        like = "stitch" if like.startswith("stitch") else "then" if like.startswith(("then", "verb")) else like
        assert like in english, key
        slots = {*SLOT.findall(cell)} - verbs
        assert slots <= {*SLOT.findall(english[like])} | {"n"}, (key, cell)
        assert re.sub(r"^ | $", "", cell) == cell.strip() and "  " not in cell.replace(" | ", "|"), (key, cell)
    forms = plain_forms(tag, load(tag).settings["plural"])
    assert forms.has("stitch") or all(forms.has(f"stitch.{one}") for one in made_by_name())


def made_by_name() -> set[str]:
    """Stitches that are told by their own name; shaping is told by what it does."""
    return {id for id, one in stitches().items() if one.family not in ("increase", "decrease", "skip")}


@pytest.mark.parametrize("tag", printable())
def test_a_number_finds_its_form(tag: str) -> None:
    """Forms parted by a bar are as many as the plural categories; the rule of a number decides, checked against the CLDR elsewhere."""
    rules = load(tag).settings["plural"]
    forms = plain_forms(tag, rules)
    for key, found in forms.forms.items():
        assert len(found) in (1, len(categories(rules))), key
    for n in (1, 2, 5, 21, 22, 25):
        told = plain_words(instruction([Work("single_crochet", n, START, Target("ring"))], (1,), None), load(tag))
        key = next(one for one in ("stitch.single_crochet", "stitch") if forms.has(one))
        form = forms.forms[key][-1] if len(forms.forms[key]) == 1 else forms.forms[key][categories(rules).index(category(rules, n))]
        name = load(tag).names["single_crochet"]
        expected = form.replace("{n}", str(n)).replace("{stitches}", name.plural).replace("{stitch}", name.term)
        assert expected in told, (n, told)


def test_cases_and_counters() -> None:
    """Forms of a noun behind a number: Russian, Polish and Hebrew grammar; Japanese counters stand behind. From memory."""
    for tag, n, words in (
        ("ru", 1, "1 столбик без накида"), ("ru", 3, "3 столбика без накида"), ("ru", 5, "5 столбиков без накида"), ("ru", 21, "21 столбик без накида"),
        ("pl", 1, "1 półsłupek"), ("pl", 3, "3 półsłupki"), ("pl", 12, "12 półsłupków"), ("pl", 22, "22 półsłupki"),
        ("he", 1, "חצי עמוד אחד"), ("he", 2, "2 חצאי עמוד"),
        ("fr", 1, "1 maille serrée"), ("fr", 2, "2 mailles serrées"), ("de", 1, "1 feste Masche"), ("de", 2, "2 feste Maschen"),
        ("ja", 6, "細編みを6目"), ("ko", 6, "짧은뜨기를 6코"),
    ):  # fmt: skip
        told = plain_words(instruction([Work("single_crochet", n, START, Target("ring"))], (1,), None), load(tag))
        assert words in told, told


NODES = st.one_of(bodies, *(st.lists(nodes, min_size=1, max_size=3) for nodes in FORMS.values()), *(st.just([one]) for one in SENTENCES.values()))
ENGLISH = re.compile(r"[A-Za-z]+")


@cache
def known_letters(tag: str) -> frozenset[str]:
    """Every word in Latin letters that the language's own tables print."""
    language = load(tag)
    words = " ".join([*pairs_of(tag, "plain.tsv").values(), *language.writing.values()])
    return frozenset(ENGLISH.findall(words + " " + " ".join(f"{name.term} {name.plural}" for name in language.names.values())))


@pytest.mark.parametrize("tag", printable())
def test_whatever_is_written_can_be_told(tag: str) -> None:
    """Generated rounds: every number stands there, nothing is open, abbreviated, English or unbounded, and brackets pair."""
    language = load(tag)
    named = {name.term for name in language.names.values()} | {name.plural for name in language.names.values()}
    short = {name.abbr for id, name in language.names.items() if id != "skip" and not any(name.abbr in long for long in named)}
    abbreviated = re.compile(rf"(?<!\w)({'|'.join(map(re.escape, sorted(short)))})(?!\w)") if short else None

    @settings(max_examples=60, deadline=None)
    @given(NODES, st.one_of(st.none(), st.integers(1, 300)), st.sampled_from(("round", "row")))
    def check(items: list[Node], stated: int | None, kind: str) -> None:
        line = instruction(items, (9,), stated)
        told = plain_words(Instruction(kind, *(getattr(line, name) for name in Instruction.__slots__[1:])), language)
        for number in numbers(items) | ({stated} if stated is not None else set()):
            assert number in (1, 2) or re.search(rf"(?<!\d){number}(?!\d)", told), (number, told)
        assert not re.search(r"[{}]|  | [,.;]|\.\.|,,|\(\)|（）", told.replace(" ;", ";")), told
        assert told.count("(") == told.count(")") and told.count("（") == told.count("）"), told
        assert abbreviated is None or not abbreviated.search(told), told
        assert {*ENGLISH.findall(told)} - {word[:1].upper() + word[1:] for word in known_letters(tag)} <= known_letters(tag), told
        assert len(told) <= 260 * nodes(items) + 80, told

    check()


def nodes(items: list[Node] | tuple[Node, ...]) -> int:
    return sum(1 + (nodes(node.items) if isinstance(node, Group) else 0) for node in items)


def numbers(items: list[Node] | tuple[Node, ...]) -> set[int]:
    """The numbers that the hands need: of stitches, of places, of repeats."""
    found: set[int] = set()
    for node in items:
        if isinstance(node, Group):
            found |= numbers(node.items) | {n for n in (node.times, node.leave, node.until) if isinstance(n, int) and n}
            found |= {node.target.n} if node.target is not None and isinstance(node.target.n, int) and node.target.n else set()
        elif isinstance(node, Work):
            uses = stitches()[node.stitch].uses if stitches()[node.stitch].family == "decrease" else 1
            grown = stitches()[node.stitch].leaves if stitches()[node.stitch].family == "increase" else 1
            found |= {n for n in (node.target.n, node.each * grown, node.target.instance) if isinstance(n, int) and n} | {uses}
            found |= {node.count} if isinstance(node.count, int) and node.target.kind == "next" and not node.target.n else set()
        elif isinstance(node, Act) and node.kind in ("as_round", "as_before"):
            found |= {n for n in (node.n,) if isinstance(n, int) and n}
    return found


def test_a_wrong_row_is_told_with_its_file(monkeypatch: pytest.MonkeyPatch) -> None:
    from booklet.tables import plain as table

    for rows in ({"total": "a | b | c"}, {"verbs": "somewhere"}, {"verb.work": "a | b | c | d"}):
        monkeypatch.setattr(table, "pairs_of", lambda tag, name, rows=rows: rows)
        with pytest.raises(TableFault, match=r"shared/languages/en-US/plain\.tsv"):
            table.plain_forms.__wrapped__("en-US", "one: n = 1; other")


def test_a_variant_says_only_what_differs() -> None:
    assert "aguja" in plain("Row 1: sc in 2nd ch from hook", "es-419")
    assert "ganchillo" in plain("Row 1: sc in 2nd ch from hook", "es")
    assert {*variants()} <= {*printable()}
    assert plain("Rnd 9: skip 2 sts, sc", "en-AU").startswith("Miss the next 2 stitches, then work 1 double crochet")
