"""Tokens behind a label in, the same with numbers of rounds in one form out: `, 5 rounds`, `on each of the next 5 rounds`."""

from __future__ import annotations

from booklet.notation.lex import Token

_LEADS = frozenset(("on", "in", "each", "the", "next", "more"))
_OTHER = frozenset(
    "repeat as as_before from dash range between num header open for times hash slash close star loop".split()
)


def tallies(line: list[Token]) -> list[Token]:
    """`sc around, 5 rounds` and `36 sc on each of the next 5 rounds` become `…, for 5 rounds`. A round of the past is left alone."""
    found: list[Token] = []
    for i, token in enumerate(line):
        if token.role == "header" and found and found[-1].role == "num" and len(found) > 1 and _counts(line, i):
            at = len(found) - 1
            while at and found[at - 1].role in _LEADS:
                at -= 1
            if at and found[at - 1].role not in _OTHER:
                told = found[-1]
                del found[at:]
                found += [told._replace(role="for", number=0), told]
        found.append(token)
    return found


def _counts(line: list[Token], at: int) -> bool:
    """Is the word behind a number no label of its own (`R 5`), and no place (`two rounds below`)?"""
    after = line[at + 1].role if at + 1 < len(line) else ""
    return line[at - 1].number > 1 and after not in ("num", "ordinal", "the", "colon", "loop", "of", "each")
