"""Lines of a block as one text whose every character knows its place; stretches of it go back to lines with places."""

from __future__ import annotations

import re
from bisect import bisect_right

from booklet.diagnostics.span import Span
from booklet.pattern.templates import fold
from booklet.source.tree import Piece
from booklet.tables.language import Language

_END = re.compile(r"[.!?…][\"'”’»)\]*_]{0,4}(?=\s|$)|。")
_LAST_WORD = re.compile(r"[^\W\d_]+(?:\.[^\W\d_]+)*$")
_OPENS = re.compile(r"\s+[\"'“‘«(\[*_¿¡]{0,4}(\w)")


class Stretch:
    """Pieces joined by single blanks."""

    def __init__(self, pieces: tuple[Piece, ...]) -> None:
        self.pieces = pieces
        self.text = " ".join(piece.text for piece in pieces)
        self._starts = []
        at = 0
        for piece in pieces:
            self._starts.append(at)
            at += len(piece.text) + 1

    def cut(self, start: int, end: int) -> tuple[Piece, ...]:
        """The lines of the characters start..end, without blanks at their ends."""
        found = []
        for piece, at in zip(self.pieces, self._starts, strict=True):
            low, high = max(start - at, 0), min(end - at, len(piece.text))
            if low < high:
                text = piece.text[low:high]
                kept = text.lstrip()
                if kept:
                    found.append(Piece(kept.rstrip(), piece.line, piece.column + low + len(text) - len(kept)))
        return tuple(found)

    def span(self, start: int, end: int) -> Span:
        """The place of the characters start..end."""
        first = max(bisect_right(self._starts, start) - 1, 0)
        last = max(bisect_right(self._starts, max(end - 1, start)) - 1, first)
        one, two = self.pieces[first], self.pieces[last]
        return Span(one.line, one.column + start - self._starts[first], two.line, two.column + end - self._starts[last])


def extent(pieces: tuple[Piece, ...]) -> Span:
    """From the first character of the pieces to the last."""
    return Span(pieces[0].line, pieces[0].column, pieces[-1].line, pieces[-1].column + len(pieces[-1].text))


def sentences(text: str, language: Language, abbreviations: frozenset[str]) -> list[tuple[int, int]]:
    """Where each sentence begins and ends. A full stop behind an abbreviation ends nothing before a number or small letter."""
    found = []
    start = 0
    for end in _END.finditer(text):
        if end[0][0] == "." and not _ends(text, end.start(), end.end(), language, abbreviations):
            continue
        if text[start : end.end()].strip():
            found.append(_trim(text, start, end.end()))
        start = end.end()
    if text[start:].strip():
        found.append(_trim(text, start, len(text)))
    return found


def _ends(text: str, stop: int, after: int, language: Language, abbreviations: frozenset[str]) -> bool:
    following = _OPENS.match(text, after)
    if following is None:
        return True
    if following[1].islower():
        return False
    word = _LAST_WORD.search(text, max(0, stop - 20), stop)
    last = fold(word[0]) if word else ""
    if following[1].isdecimal():
        return last not in abbreviations and last not in language.words
    return last not in abbreviations or last in language.words


def _trim(text: str, start: int, end: int) -> tuple[int, int]:
    while start < end and text[start].isspace():
        start += 1
    while end > start and text[end - 1].isspace():
        end -= 1
    return start, end
