"""`Either (eyes: safety):` at a step's start in, the choice and the rest out; and the choices of a whole pattern gathered."""

from __future__ import annotations

import re
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.pattern.model import Choice, Section
from booklet.pattern.templates import book
from booklet.source.tree import Piece
from booklet.tables.language import Language

KINDS = ("either", "or", "optional")
WITH, WITHOUT = "with", "without"  # the two ways of an optional step


class Opening(NamedTuple):
    """The choice with which a step begins."""

    kind: str  # "either", "or", "optional"
    key: str
    value: str
    span: Span  # from the first word to the colon
    key_span: Span


_PATTERNS: dict[int, re.Pattern[str]] = {}


def _pattern(language: Language) -> re.Pattern[str]:
    key = id(language.sentences)
    if key not in _PATTERNS:
        ways = []
        for kind in KINDS:
            words = sorted(book(language).words(f"choice.{kind}"), key=len, reverse=True)
            ways.append(f"(?P<{kind}>{'|'.join(map(re.escape, words)) or '(?!)'})")
        _PATTERNS[key] = re.compile(
            rf"(?:{'|'.join(ways)})[ \t]*\(\s*(?P<key>[^():]{{1,60}}?)\s*(?::\s*(?P<value>[^():]{{1,60}}?)\s*)?\)\s*:?\s*",
            re.IGNORECASE,
        )
    return _PATTERNS[key]


def opening(piece: Piece, language: Language) -> tuple[Opening, Piece] | None:
    """The choice at the start of a line, and what stands behind it."""
    found = _pattern(language).match(piece.text)
    if found is None:
        return None
    kind = next(kind for kind in KINDS if found[kind])
    words = found[0].rstrip()
    span = Span(piece.line, piece.column, piece.line, piece.column + len(words))
    key_span = Span(piece.line, piece.column + found.start("key"), piece.line, piece.column + found.end("key"))
    value = WITH if kind == "optional" else " ".join((found["value"] or "").split())
    rest = Piece(piece.text[found.end() :], piece.line, piece.column + found.end())
    return Opening(kind, " ".join(found["key"].split()), value, span, key_span), rest


def check(openings: list[Opening], part: str) -> list[Diagnostic]:
    """Do the alternatives of one section hang together?"""
    problems = []
    group: list[Opening] = []
    for now in openings:
        if now.kind == "optional":
            continue
        if not now.value:
            problems.append(diagnostic("choice-without-value", now.span, part=part, key=now.key))
        if now.kind == "either":
            problems += _alone(group, part)
            group = [now]
        elif not group:
            first = Edit(Span(now.span.line, now.span.column, now.span.line, now.key_span.column), "Either (")
            problems.append(diagnostic("or-without-either", now.span, part=part, key=now.key, edits=(first,)))
            group = [now, now]
        else:
            if now.key.casefold() != group[0].key.casefold():
                edits = (Edit(now.key_span, group[0].key),)
                values = {"key": now.key, "other": group[0].key}
                problems.append(diagnostic("choice-keys-differ", now.key_span, part=part, edits=edits, **values))
            group.append(now)
    return problems + _alone(group, part)


def _alone(group: list[Opening], part: str) -> list[Diagnostic]:
    if len(group) != 1:
        return []
    return [diagnostic("choice-alone", group[0].span, part=part, key=group[0].key, value=group[0].value)]


def gather(sections: tuple[Section, ...]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Every choice of the pattern with its ways, in the order of the text; the first way is the default."""
    found: dict[str, list[str]] = {}
    for section in sections:
        for step in section.steps:
            for key, value in step.choices:
                ways = found.setdefault(key, [])
                if value not in ways:
                    ways.append(value)
                if value == WITH and WITHOUT not in ways:
                    ways.append(WITHOUT)
    return tuple((key, tuple(ways)) for key, ways in found.items())


def too_many(sections: tuple[Section, ...], most: int) -> list[Diagnostic]:
    """Parts that would have to be worked out in more than `most` combinations."""
    problems = []
    ways = dict(gather(sections))
    for section in sections:
        if section.role != "part":
            continue
        keys = dict.fromkeys(key for step in section.steps for key, _ in step.choices)
        number = 1
        for key in keys:
            number *= max(1, len(ways[key]))
        if number > most:
            values = {"combinations": number, "limit": most}
            problems.append(diagnostic("too-many-choices", section.span, part=section.title, **values))
    return problems


def chosen(now: Opening | None) -> tuple[Choice, ...]:
    """The choices of a step."""
    return ((now.key, now.value),) if now is not None and now.value else ()
