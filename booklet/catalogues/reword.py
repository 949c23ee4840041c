"""Prose and two Englishes in, the prose with the other's spelling and wording out, to be looked at; stitches are not touched here."""

from __future__ import annotations

import re
from collections.abc import Iterator

from booklet.catalogues.protect import closed, occurrences, protect, restore
from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.diagnostics.span import Span
from booklet.pattern.model import Pattern
from booklet.tables.language import Language, fold
from booklet.tables.wording import changes

CODES = ("stitch-word-in-prose", "wording-to-review")
PROSE = frozenset(("prose", "quote", "table", "heading"))


def found_words(text: str, source: Language, target: Language) -> Iterator[tuple[int, int, str]]:
    """Where a word stands that the target says otherwise, and how it says it. Addresses, stitches and placeholders are no words."""
    known = changes(source, target)
    if not known:
        return
    shut = closed(text)
    pattern = "|".join(re.escape(word) for word in sorted(known, key=len, reverse=True))
    for found in re.finditer(rf"(?<![\w-])(?:{pattern})(?![\w-])", text, re.IGNORECASE):
        if any(start <= found.start() < end for start, end in shut):
            continue
        told = known[found[0].casefold()]
        yield found.start(), found.end(), told[:1].upper() + told[1:] if found[0][:1].isupper() else told


def reworded(text: str, source: Language, target: Language) -> str:
    """The text with all of them."""
    for start, end, told in reversed(tuple(found_words(text, source, target))):
        text = text[:start] + told + text[end:]
    return text


def notes(pattern: Pattern, source: Language, target: Language, written: str = "") -> Iterator[Diagnostic]:
    """What an edition in another English prints otherwise than the pattern, and what somebody has to decide.

    `written` holds the messages that a catalogue has words for.
    """
    for section in pattern.sections:
        for step in section.steps:
            if step.kind not in PROSE:
                continue
            for piece in step.pieces:
                for start, end, tag in occurrences(piece.text, source):
                    word, told = piece.text[start:end], restore(tag, source, target)
                    if fold(word) != fold(told):
                        place = Span(piece.line, piece.column + start, piece.line, piece.column + end)
                        yield diagnostic("stitch-word-in-prose", place, word=word, told=told, terms=target.terms or target.tag)
                done = protect(piece.text.strip(), source) in written
                for start, end, told in () if done else found_words(piece.text, source, target):
                    place = Span(piece.line, piece.column + start, piece.line, piece.column + end)
                    yield diagnostic("wording-to-review", place, word=piece.text[start:end], told=told, language=target.tag)
