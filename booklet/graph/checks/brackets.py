"""Lines in, those with a bracket that is not closed, or closed by another shape, out.

Bad:    Rnd 3: (sc, inc x 6 (18)
Good:   Rnd 3: (sc, inc) x 6 (18)
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span, within
from booklet.graph.checks._subject import Line, Subject, nodes
from booklet.notation.tree import Group
from booklet.source.tree import Piece

CODES = ("bracket-unbalanced",)

_BRACKET = re.compile(r"[()\[\]{}]")
PAIRS = {"(": ")", "[": "]", "{": "}"}
OPENERS = {closer: opener for opener, closer in PAIRS.items()}


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A note at the first bracket that has no partner: the line was read with it closed where that makes sense."""
    for line in subject.lines():
        lonely = _lonely(line.step.pieces)
        if lonely is None:
            continue
        piece, offset, closed = lonely
        span = within(piece.line, piece.column, offset, offset + 1)
        yield diagnostic(
            "bracket-unbalanced",
            span,
            edits=_edits(subject, line, span, closed),
            part=line.section.title,
            round=line.number,
            label=line.label,
            bracket=piece.text[offset],
        )


class Lonely(NamedTuple):
    """A bracket without a partner of its own shape."""

    piece: Piece
    offset: int
    closed: Span | None  # the bracket of another shape that closes it


def _lonely(pieces: tuple[Piece, ...]) -> Lonely | None:
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
                return Lonely(piece, offset, None)
            opened, at = open_ones.pop()
            if PAIRS[opened.text[at]] != character:
                return Lonely(opened, at, within(piece.line, piece.column, offset, offset + 1))
    return Lonely(*open_ones[0], None) if open_ones else None


def _is_label(before: str) -> bool:
    """`3`, `Rnd 3`, `4-7`, `a`: nothing but a word and numbers."""
    return len(before) < 40 and len(before.split()) <= 3 and any(character.isdigit() for character in before) and "," not in before


def _edits(subject: Subject, line: Line, at: Span, closed: Span | None) -> tuple[Edit, ...]:
    """The partner, where the line was read as if it were there; the bracket itself goes where it only doubles another."""
    bracket = subject.text(at)
    if closed is not None:
        return (Edit(closed, PAIRS[bracket]),)
    instruction = line.settled.instruction
    if instruction is None:
        return ()
    stated = instruction.stated_span
    if bracket in PAIRS and stated is not None and (at.end_line, at.end_column) == (stated.line, stated.column):
        return (Edit(_point(stated.end_line, stated.end_column), PAIRS[bracket]),)
    for node, _ in nodes(instruction):
        if not isinstance(node, Group):
            continue
        words = subject.text(node.span)
        if bracket in PAIRS and (node.span.line, node.span.column) == (at.line, at.column):
            if len(node.items) == 1 and isinstance(node.items[0], Group) and node.items[0].times == 1:
                return (Edit(at, ""),)
            return (Edit(_point(node.span.end_line, node.span.end_column - len(words) + len(words.rstrip())), PAIRS[bracket]),)
        if bracket not in PAIRS and (node.span.end_line, node.span.end_column) == (at.end_line, at.end_column):
            return (Edit(_point(node.span.line, node.span.column), OPENERS[bracket]),)
    return ()


def _point(line: int, column: int) -> Span:
    return Span(line, column, line, column)
