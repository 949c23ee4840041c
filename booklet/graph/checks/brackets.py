"""Lines in, those with a bracket that is not closed, or closed by another shape, out.

Bad:    Rnd 3: (sc, inc x 6 (18)
Good:   Rnd 3: (sc, inc) x 6 (18)
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.diagnostics.span import within
from booklet.graph.checks._subject import Subject
from booklet.source.tree import Piece

CODES = ("bracket-unbalanced",)

_BRACKET = re.compile(r"[()\[\]{}]")
PAIRS = {"(": ")", "[": "]", "{": "}"}


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A note at the first bracket that has no partner: the line was read with it closed where that makes sense."""
    for line in subject.lines():
        at = _lonely(line.step.pieces)
        if at is None:
            continue
        piece, offset = at
        yield diagnostic(
            "bracket-unbalanced",
            within(piece.line, piece.column, offset, offset + 1),
            part=line.section.title,
            round=line.number,
            label=line.label,
            bracket=piece.text[offset],
        )


def _lonely(pieces: tuple[Piece, ...]) -> tuple[Piece, int] | None:
    """The first bracket without a partner of its own shape. `3)` at the start of a line is a label, not a bracket."""
    open_ones: list[tuple[Piece, int]] = []
    for index, piece in enumerate(pieces):
        for found in _BRACKET.finditer(piece.text):
            offset, character = found.start(), found.group()
            if character in PAIRS:
                open_ones.append((piece, offset))
                continue
            if not open_ones:
                if index == 0 and _is_label(piece.text[:offset]):
                    continue
                return piece, offset
            opened, at = open_ones.pop()
            if PAIRS[opened.text[at]] != character:
                return opened, at
    return open_ones[0] if open_ones else None


def _is_label(before: str) -> bool:
    """`3`, `Rnd 3`, `4-7`, `a`: nothing but a word and numbers."""
    return len(before) < 40 and len(before.split()) <= 3 and any(character.isdigit() for character in before) and "," not in before
