"""Lines of words in, tokens with their roles and places out; what a word does comes from the language's table, grammar is in read."""

from __future__ import annotations

import re
from typing import NamedTuple

from booklet.diagnostics.span import Span
from booklet.source.tree import Piece
from booklet.tables.language import Language

_WORD = re.compile(r"\d+|[^\W\d_]+(?:['’][^\W\d_]+)*|[^\s\w]|_")

# Punctuation is the same in every language; look-alikes are folded here (the original stays in the file).
_MARKS = {
    "(": "open", "[": "open", "{": "open", "（": "open", "【": "open",
    ")": "close", "]": "close", "}": "close", "）": "close", "】": "close",
    ",": "comma", ";": "comma", "、": "comma", "，": "comma", "；": "comma",
    ".": "stop", "。": "stop", "!": "stop",
    ":": "colon", "：": "colon",
    "*": "star", "＊": "star",
    "=": "equals", "→": "equals",
    "-": "dash", "–": "dash", "—": "dash", "−": "dash", "~": "dash",
    "+": "plus", "&": "plus",
    "×": "times", "✕": "times", "х": "times",
    "/": "slash", "|": "bar", "•": "bullet", "·": "bullet", "→|": "bullet",
}  # fmt: skip
CLOSERS = {"(": ")", "[": "]", "{": "}", "（": "）", "【": "】"}


class Token(NamedTuple):
    """One word, phrase, number or mark."""

    role: str  # of the language's notation table, or "num", "stitch", "yarn", "part_name", "word", or a mark's role
    value: str  # what the table says: a stitch id, a loop; the words themselves for "word"
    number: int  # of "num", else 0
    start: int  # offset in the joined text
    end: int
    glued: bool  # no space before it


class Text(NamedTuple):
    """Physical lines joined by line feeds, with the place of each."""

    text: str
    starts: tuple[int, ...]  # offset of each piece
    pieces: tuple[Piece, ...]

    def span(self, start: int, end: int) -> Span:
        """The place in the file of offsets start..end."""
        line, column = self._place(start)
        end_line, end_column = self._place(end)
        return Span(line, column, end_line, end_column)

    def _place(self, offset: int) -> tuple[int, int]:
        at = max(i for i, start in enumerate(self.starts) if start <= offset)
        return self.pieces[at].line, self.pieces[at].column + offset - self.starts[at]


class Lexicon(NamedTuple):
    """The phrases of one language, by their first word, longest first; and the codes of the pattern's yarns."""

    phrases: dict[str, list[tuple[tuple[str, ...], str, str]]]
    yarns: frozenset[str]


def join(pieces: tuple[Piece, ...]) -> Text:
    """Join the physical lines of a step."""
    starts, at = [], 0
    for piece in pieces:
        starts.append(at)
        at += len(piece.text) + 1
    return Text("\n".join(piece.text for piece in pieces), tuple(starts), pieces)


def lexicon(
    language: Language, yarns: tuple[str, ...] = (), part_names: tuple[str, ...] = (), own: tuple[tuple[str, str], ...] = ()
) -> Lexicon:
    """Make the dictionary of a pattern: its language's words, its part titles, its own stitches (form, id)."""
    phrases: dict[str, list[tuple[tuple[str, ...], str, str]]] = {}
    entries = [(form, "part_name", name) for name in part_names for form in _numbers_of(name)]
    entries += [(form, "stitch", stitch) for form, stitch in own]
    entries += [(form, role, value) for form, (role, value) in language.words.items()]
    for form, role, value in entries:
        key = _key(form)
        if key:
            phrases.setdefault(key[0], []).append((key, role, value))
    for candidates in phrases.values():
        candidates.sort(key=lambda entry: -len(entry[0]))  # stable: a part's name stands before a word of the table
    return Lexicon(phrases, frozenset(yarns))


def tokens(text: str, words: Lexicon) -> list[Token]:
    """Cut a text into tokens. Never fails; linear in the length of the text."""
    raw = [(found.group(), found.start(), found.end()) for found in _WORD.finditer(text)]
    folded = [word.casefold() for word, _, _ in raw]
    found: list[Token] = []
    at = 0
    while at < len(raw):
        word, start, end = raw[at]
        glued = at > 0 and raw[at - 1][2] == start
        if word in words.yarns:
            found.append(Token("yarn", word, 0, start, end, glued))
            at += 1
            continue
        match, width = _longest(folded, raw, at, words)
        if match is not None:
            role, value = match
            number = int(value) if role in ("number", "ordinal", "once") else 0
            found.append(Token("num" if role == "number" else role, value, number, start, raw[at + width - 1][2], glued))
            at += width
        elif word.isdecimal():
            found.append(Token("num", word, int(word) if len(word) < 12 else 10**12, start, end, glued))
            at += 1
        else:
            found.append(Token(_MARKS.get(word, "word"), word, 0, start, end, glued))
            at += 1
    return found


def _longest(folded: list[str], raw: list[tuple[str, int, int]], at: int, words: Lexicon) -> tuple[tuple[str, str] | None, int]:
    for key, role, value in words.phrases.get(folded[at], ()):
        width = _matches(key, folded, raw, at)
        if width:
            return (role, value), width
    return None, 0


def _matches(key: tuple[str, ...], folded: list[str], raw: list[tuple[str, int, int]], at: int) -> int:
    """How many raw words the key covers from `at`, 0 if it does not fit. Full stops and glued hyphens inside are passed over."""
    pos = at + 1
    for part in key[1:]:
        while pos < len(folded) and folded[pos] in ".-" and raw[pos - 1][2] == raw[pos][1] and part not in ("~.", "~-"):
            pos += 1
        if pos >= len(folded):
            return 0
        glued = raw[pos - 1][2] == raw[pos][1]
        if part.startswith("~"):
            if not glued or folded[pos] != part[1:]:
                return 0
        elif folded[pos] != part or (glued and raw[pos - 1][0] not in ".-*"):
            return 0
        pos += 1
    return pos - at


def _key(form: str) -> tuple[str, ...]:
    # `sc2tog` is ("sc", "~2", "~tog"): the pieces must be glued in the text too, so that `1 st` is never `1st`.
    cut = [(found.group().casefold(), found.start(), found.end()) for found in _WORD.finditer(form)]
    return tuple(
        word if i == 0 or start > cut[i - 1][2] else "~" + word for i, (word, start, _) in enumerate(cut) if word not in ".-"
    )


def _numbers_of(name: str) -> tuple[str, ...]:
    # Titles are often plural ("Legs"), lines singular ("first leg"): both are read.
    low = name.casefold()
    return (low, low[:-1]) if low.endswith("s") and len(low) > 3 else (low, low + "s")
