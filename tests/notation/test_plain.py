"""Rounds in plain words: what a beginner reads, or hears."""

from __future__ import annotations

import pytest

from booklet.notation.lex import lexicon
from booklet.notation.plain import plain_words
from booklet.notation.read import read_line
from booklet.source.tree import Piece
from booklet.tables.language import load
from tests.notation.cases import cases


def plain(text: str) -> str:
    language = load("en-US")
    return plain_words(read_line((Piece(text, 1, 1),), lexicon(language, ("A", "B"))).readings[0], language)


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
