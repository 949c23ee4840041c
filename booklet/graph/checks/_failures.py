"""A line that was not understood in, the closest cause out; several checks ask, so that one slip stays one error."""

from __future__ import annotations

import re
from typing import NamedTuple

from booklet.diagnostics.span import Span
from booklet.graph.checks._subject import Line, Subject
from booklet.resources import folder
from booklet.tables.language import Language, fold, load

_WORD = re.compile(r"[^\W\d_]+")
LONGEST_ABBREVIATION = 8  # letters; "longest" of the trade's tables are dc3tog, fphdc: a longer word is no abbreviation


class Cause(NamedTuple):
    """Why reading stopped."""

    kind: str  # "yarn", "terms", "abbreviation" or "" (something else)
    word: str  # the word at which it stopped, as typed
    span: Span


def failed(line: Line) -> bool:
    """Whether nothing was understood of the line."""
    return line.settled.instruction is None


def cause(subject: Subject, line: Line) -> Cause:
    """The closest cause of a failure."""
    span = line.candidates.failed_at or line.step.span
    word = subject.text(span)
    if not _is_word(word):
        return Cause("", word, span)
    if _after_change(subject, span):
        return Cause("yarn", word, span)
    if other_terms(subject.language, word):
        return Cause("terms", word, span)
    if _like_a_stitch(subject, span, word):
        return Cause("abbreviation", word, span)
    return Cause("", word, span)


def other_terms(language: Language, word: str) -> str:
    """The other term system that knows this word as a stitch while the pattern's own does not; "" for none."""
    if not language.terms or fold(word) in language.words:
        return ""
    for terms in sorted(path.stem for path in (folder("shared") / "terms").glob("*.tsv")):
        if terms != language.terms and load(language.tag, terms).words.get(fold(word), ("", ""))[0] == "stitch":
            return terms
    return ""


def _is_word(word: str) -> bool:
    return bool(word) and "\n" not in word and any(character.isalpha() for character in word) and " " not in word.strip()


def _like_a_stitch(subject: Subject, span: Span, word: str) -> bool:
    """Whether an unknown word stands where a stitch does: after a number, a mark or a stitch, and not amid other strange words."""
    words = subject.language.words
    if fold(word) in words or sum(character.isalpha() for character in word) > LONGEST_ABBREVIATION:
        return False
    row = subject.rows[span.line - 1]
    before, after = row[: span.column - 1].rstrip(), row[span.end_column - 1 :].lstrip()
    last, first = _WORD.findall(before)[-1:], _WORD.match(after)
    after_stitch = bool(last) and words.get(fold(last[0]), ("",))[0] == "stitch"
    stands = not before or before[-1] in "([{,;:*" or before[-1].isdigit() or after_stitch
    return stands and (first is None or fold(first.group()) in words)


def _after_change(subject: Subject, span: Span) -> bool:
    """Whether the word stands where a yarn is named: right after `change to`, `with`, `in colour`."""
    before = fold(subject.rows[span.line - 1][: span.column - 1]).split()[-3:] if span.line <= len(subject.rows) else []
    for size in range(len(before), 0, -1):
        phrase = " ".join(before[-size:]).strip("(,;: ")
        if subject.language.words.get(phrase, ("", ""))[0] in ("change", "color"):
            return True
    return False
