"""Lines as long as they may be, of one piece again and again: reading takes as much longer as they are longer, and no more."""

from __future__ import annotations

import pytest

from booklet.notation.lex import lexicon
from booklet.notation.read import LIMIT_CHARACTERS, read_line
from booklet.source.tree import Piece
from booklet.tables.language import load
from tests.timing import linear

WORDS = lexicon(load("en-US"), ("A", "B"), ("Leg",), ())
PIECES = (
    "a.", "s.c.", "x. ", "join, ", "turn. join. ", "18 sc join, ", "sc in each sp, ", "(black) ", "sc together with the arm, ",
    "first leg, ", "2 sc tog ", "leaving 6 sts, ", "6x(sc) ", "5 - 10 sc in each ", "in the last 3 ", "24-24 rp ", "stuff, ",
)  # fmt: skip


@pytest.mark.parametrize("piece", PIECES)
def test_reading_takes_linear_time(piece: str) -> None:
    def line(size: int) -> tuple[Piece, ...]:
        return (Piece("Rnd 1: " + piece * ((size - 7) // len(piece)), 1, 1),)

    short, long = line(LIMIT_CHARACTERS // 4), line(LIMIT_CHARACTERS)
    assert linear(lambda: read_line(short, WORDS), lambda: read_line(long, WORDS), floor=0.1)
