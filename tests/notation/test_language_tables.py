"""Every language says the same: lines written in it are read back as the same tree, its tables are whole, its sentences are recognised."""

from __future__ import annotations

import re

import pytest

from booklet.notation.lex import lexicon
from booklet.notation.read import read_line
from booklet.notation.tree import Instruction
from booklet.notation.write import write
from booklet.pattern.match import Match, Names, match
from booklet.pattern.templates import Book, book, key
from booklet.source.tree import Piece
from booklet.tables.language import Language, Template, load, printable
from booklet.tables.stitches import stitches
from tests.notation.test_write import bare

HOME = "en-US"
OTHERS = [tag for tag in printable() if tag != HOME]
YARNS, PARTS = ("A", "B"), ("Leg",)

# One line for every form of writing.tsv; what they mean is tested elsewhere, here they only have to mean the same in every language.
SPACES = (
    "Rnd 5: dc in next ch-3 sp, 5 dc in next ch-3 sp, 3 dc in each ch-3 sp around",
    "Rnd 5: (3 dc, ch 2, 3 dc) in next ch-2 sp, (sc, ch 1) in each st around",
    "Rnd 5: 3 dc in each of next 4 sps, 2 dc in same sp, dc in next corner sp",
    "Rnd 5: (2 dc, ch 1) in next st, (dc, ch 1) in each corner sp around",
)
EARLIER = ("Rnd 7: 14 sc in front loop of Rnd 5", "Rnd 7: sc in each back loop of Rnd 5")
LINES = (
    "Rnd 1: 6 sc in MR (6)",
    "Rnds 4–7: sc in each st around (18)",
    "Rnds 5, 7 and 9: 18 sc (18)",
    "Rnd 2: 2 sc in each st around (12)",
    "Rnd 3: (sc, inc) x 6 (18)",
    "Rnd 4: 2 sc, inc, (4 sc, inc) x 5, 2 sc (36)",
    "Rnd 8: (2 sc, dec) around (21)",
    "Rnd 8: (2 sc, inc) to last 3 sts, 3 sc (27)",
    "Rnd 4: sc in next 6 sts, 2 sc in next st, 2 hdc in each of next 3 sts (14)",
    "Rnd 1: from 2nd ch from hook: 5 sc, 3 sc in last ch, on the other side of the ch: 4 sc, 2 sc in last ch (14)",
    "Row 1: sc in 2nd ch from hook, sc in each ch across (7)",
    "Row 2: ch 1, turn, sc in each st around (7)",
    "Rnd 5: BLO: sc in each st around (18)",
    "Rnd 5: 9 sc in BLO, 9 sc in FLO (18)",
    "Rnd 4: ch 3 (counts as st), 20 dc, join with sl st to first st (21)",
    "Rnd 4: ch 2 (does not count as st), 21 hdc, join with sl st to first st (21)",
    "Rnd 6: with B, 6 sc, change to A, 6 sc (12)",
    "Rnd 9: ch 3, 14 sc on first Leg, 3 sc on ch, 14 sc on second Leg, 3 sc on other side of ch (34)",
    "Rnd 10: 7 sc through both layers (7)",
    "Rnd 7: 7 sc, ch 5, skip 5, 9 sc",
    "Rnd 7: sl st, 2 hdc, 3 dc, 2 tr, bobble, sc2tog, sc3tog, invisible decrease",
    "For 6 rnds: 21 sc (21)",
    "Row 1: sc in next 6 ch, 2 sc in first ch",
    "Rnd 5: skip first st, 6 sc, skip next 2 sps",
    "Rnd 8: (sc, dec) until 7 sts remain",
    "Rnd 7: 21 sc in third loop (21)",
    "Rnd 8: 4 dec evenly (17)",
    "Rnd 8: 21 sc along the edge (21)",
    "Rnd 8: 7 sc through both pieces (7)",
    "Rnd 9: 14 sc on each Leg, 3 sc on each side of the ch (34)",
    "Row 3: ch 1, turn, 7 sc, leave the rest unworked (7)",
    "Rnd 5: repeat Rnd 3 (21)",
    "Rnd 5: repeat last rnd",
    "Rnd 2: sl st in next sp, ch 3 (counts as st), 2 dc in same sp, join with sl st to first st",
    *SPACES,
    *EARLIER,
)


def read(text: str, language: Language) -> Instruction:
    """The likeliest reading of a line."""
    found = read_line((Piece(text, 1, 1),), lexicon(language, YARNS, PARTS), flat=text.startswith("Row"))
    assert found.readings, (language.tag, text, found.expected)
    return found.readings[0]


def meaning(line: Instruction) -> tuple[object, ...]:
    """What a line says, without places and words."""
    return line.numbers, line.stated, [bare(node) for node in line.items]


# What a first draft prints in a form that is not yet read as the same tree: in writing.tsv it stands behind "#:".
NOT_YET = (
    {("ko", text) for text in SPACES[2:]}
    | {("he", text) for text in SPACES[:2]}
)


@pytest.mark.parametrize("text", LINES)
@pytest.mark.parametrize("tag", OTHERS)
def test_lines_go_through_every_language(tag: str, text: str, request: pytest.FixtureRequest) -> None:
    if (tag, text) in NOT_YET:
        request.applymarker(pytest.mark.xfail(reason="a first draft: not read back yet", strict=True))
    language = load(tag)
    meant = read(text, load(HOME))
    written = write(meant, language)
    assert meaning(read(written, language)) == meaning(meant), written


@pytest.mark.parametrize("tag", printable())
def test_a_language_can_say_all_that_english_can(tag: str) -> None:
    language, english = load(tag), load(HOME)
    assert sorted(english.writing.keys() - language.writing.keys() - language.waiting.keys()) == []
    assert sorted(stitches().keys() - language.names.keys()) == []
    said = {(template.id, template.fixed) for template in language.sentences if not template.id.startswith(".")}
    wanted = {(template.id, template.fixed) for template in english.sentences if not template.id.startswith(".")}
    assert sorted(wanted - said) == []


SAID = {
    "what": "Ear", "thing": "Ear", "onto": "Head", "on": "Head", "part": "Head", "under": "Head", "motif": "Nose", "thread": "Thread",
    "yarn": "A", "hook_mm": "3 mm", "tail_mm": "15 cm", "size_mm": "10 cm", "length_mm": "10 cm", "apart": "4", "a": "5", "b": "6",
    "n": "8", "p": "3", "q": "7", "round": "9", "stitches": "7", "time": "12:30", "rest": "2 A, 3 B",
    "address": "https://example.org/ring",
}  # fmt: skip
NAMES = Names({key("Ear"): "Ear", key("Head"): "Head"}, {}, {key("A"): "A"})
NO_SENTENCE = (".", "section.", "choice.", "bracket.", "verb.", "start.chain", "start.ring")
ALTERNATIVES = re.compile(r"[\[\]()|]")


def filled(text: str, templates: tuple[Template, ...]) -> str:
    """A printed wording with an example in every slot."""

    def slot(found: re.Match[str]) -> str:
        name = found[1]
        if name.startswith("."):
            return filled(next(template.text for template in templates if template.id == name), templates)
        link = next(template.text for template in templates if template.id == ".link")
        return f"{link} x" if name == "words" else SAID[name]

    return re.sub(r"\{(\.?\w+)\}", slot, text)


def recognised(text: str, templates: Book, language: Language) -> Match | None:
    return match(text, templates, language, NAMES)


@pytest.mark.parametrize("tag", printable())
def test_printed_sentences_are_recognised_as_what_they_are(tag: str) -> None:
    language = load(tag)
    wrong = []
    for template in language.sentences:
        if template.id.startswith(NO_SENTENCE) or ALTERNATIVES.search(template.text):
            continue
        text = filled(template.text, language.sentences)
        found = recognised(text, book(language), language)
        if found is None or not found.whole or found.id != template.id or not set(template.fixed) <= set(found.values):
            wrong.append((template.id, text, found))
    assert wrong == []
