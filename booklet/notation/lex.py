"""Lines of words in, tokens with their roles and places out; what a word does comes from the language's table, grammar is in read."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import NamedTuple
from unicodedata import category

from booklet.diagnostics.span import Span
from booklet.notation.fold import folded, latin, plain_spellings
from booklet.notation.raw import Raw, initials, parted_times, wide_words
from booklet.source.tree import Piece
from booklet.tables.language import Language, fold
from booklet.tables.stitches import stitches
from booklet.wide import WIDE

_WORD = re.compile(r"\d+|[^\W\d_]+(?:['’׳״][^\W\d_]+)*|[-=]+>|\*+|\.{2,}|[^\s\w]|_")
_SMALL = frozenset(("the", "range", "and", "in"))  # words of one letter that may be the code of a colour
_TIMES_GLUED = re.compile(r"\d[xX][^\W\d_]{2}")
_INITIALS = re.compile(r"\b[^\W\d_]\.[^\W\d_]\b")

# Punctuation is the same in every language; look-alikes are folded before (the original stays in the file).
_MARKS = {
    "(": "open", "[": "open", "{": "open", "【": "open", "“": "open", "«": "open",
    ")": "close", "]": "close", "}": "close", "】": "close", "”": "close", "»": "close",
    ",": "comma", ";": "comma", "、": "comma", ".": "stop", "。": "stop", "!": "stop", ":": "colon",
    "*": "star", "=": "equals", "→": "equals",
    "-": "dash", "–": "dash", "—": "dash", "−": "dash", "~": "dash", "+": "plus", "&": "plus",
    "×": "times", "✕": "times", "х": "times", "/": "slash", "\\": "slash", "|": "bar",
    "・": "comma",
    "•": "bullet", "·": "bullet", "‣": "bullet", "▪": "bullet",
    "…": "etc", "<": "open", ">": "close", '"': "quote",
}  # fmt: skip
_BEHIND_CODES = frozenset(("", "comma", "close", "stop", "colon", "num", "and", "plus", "open", "star", "dash", "slash"))
CLOSERS = {"(": ")", "[": "]", "{": "}", "（": "）", "【": "】"}


class Token(NamedTuple):
    """One word, phrase, number or mark."""

    role: str  # of the language's notation table, or "num", "stitch", "yarn", "part_name", "word", or a mark's role
    value: str  # what the table says: a stitch id, a loop; the words themselves for "word"
    number: int  # of "num", "ordinal" and "space", else 0
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
        if len(self.starts) == 1:
            piece = self.pieces[0]
            return Span(piece.line, piece.column + start, piece.line, piece.column + end)
        line, column = self._place(start)
        end_line, end_column = self._place(end)
        return Span(line, column, end_line, end_column)

    def _place(self, offset: int) -> tuple[int, int]:
        at = max(i for i, start in enumerate(self.starts) if start <= offset)
        return self.pieces[at].line, self.pieces[at].column + offset - self.starts[at]


class Phrases(NamedTuple):
    """What begins with one word."""

    alone: tuple[str, str] | None  # role and value of the word itself
    longer: dict[str, list[tuple[tuple[str, ...], str, str]]]  # by the second word, longest first: (words, role, value)


class Lexicon(NamedTuple):
    """The phrases of one language, by their first word; and the codes of the pattern's yarns."""

    phrases: dict[str, Phrases]
    yarns: frozenset[str]
    together: dict[tuple[str, int], str]  # (plain stitch, places) -> the decrease that works them together
    wide: frozenset[str] = frozenset()  # single words of scripts without spaces
    letters: Mapping[str, str] = MappingProxyType({})  # one letter for a stitch; taken by `lettered` only
    second: Mapping[str, str] = MappingProxyType({})  # stitches of a second system of names; taken by `lettered` only
    capitals: Mapping[str, tuple[str, str]] = MappingProxyType({})  # words that mean something else in small letters
    typed: Mapping[str, str] = MappingProxyType({})  # a word typed without its accents -> the word


_NONE = Phrases(None, {})


def join(pieces: tuple[Piece, ...]) -> Text:
    """Join the physical lines of a step."""
    if len(pieces) == 1:
        return Text(pieces[0].text, (0,), pieces)
    starts, at = [], 0
    for piece in pieces:
        starts.append(at)
        at += len(piece.text) + 1
    return Text("\n".join(piece.text for piece in pieces), tuple(starts), pieces)


def lexicon(
    language: Language,
    yarns: tuple[str, ...] = (),
    part_names: tuple[str, ...] = (),
    own: tuple[tuple[str, str], ...] = (),
) -> Lexicon:
    """Make the dictionary of a pattern: its language's words, its part titles, its own stitches (form, id)."""
    phrases: dict[str, Phrases] = {}
    entries = [(form, "part_name", name) for name in part_names for form in _numbers_of(name)]
    entries += [(form, "stitch", stitch) for form, stitch in own]
    entries += [(form, role, value) for form, (role, value) in language.words.items()]
    for form, role, value in entries:
        key = _key(form)
        if not key:
            continue
        known = phrases.get(key[0], _NONE)
        if len(key) > 1:
            known = known if known.longer else Phrases(known.alone, {})
            known.longer.setdefault(key[1].removeprefix("~"), []).append((key, role, value))
        elif known.alone is None:
            known = Phrases((role, value), known.longer)
        phrases[key[0]] = known
    for known in phrases.values():
        for candidates in known.longer.values():
            candidates.sort(key=lambda entry: -len(entry[0]))  # stable: a part's name stands before a word of the table
    together = {(row.base, row.uses): row.id for row in reversed(stitches().values()) if row.family == "decrease"}
    wide = frozenset(word for word in (*phrases, *_inside(phrases)) if word[0] >= WIDE)
    return Lexicon(phrases, frozenset(yarns), together, wide, language.letters, language.second, language.capitals, _typed(phrases))


def _typed(phrases: dict[str, Phrases]) -> dict[str, str]:
    """What the words of a table look like without their accents, unless that is a word too."""
    known = set(phrases)
    for entry in phrases.values():
        known.update(part.removeprefix("~") for keys in entry.longer.values() for key, _, _ in keys for part in key)
    return {typed: word for word in sorted(known) for typed in plain_spellings(word) if typed not in known}


def _inside(phrases: dict[str, Phrases]) -> Iterator[str]:
    """The second and further words of phrases: Korean sets spaces in them."""
    for known in phrases.values():
        for candidates in known.longer.values():
            for key, _, _ in candidates:
                yield from key[1:]


def lettered(text: str, line: list[Token], words: Lexicon) -> list[Token] | None:
    """The same tokens with letter codes, `(6x, v)*6`, and names of a second system as stitches; None where there are none.

    R3: a letter x behind something closed and before a number stays a times sign; a yarn's code stays a yarn's.
    """
    found: list[Token] = []
    changed = False
    for i, token in enumerate(line):
        word = text[token.start : token.end].casefold()
        declared = token.role == "yarn" and token.value in words.yarns
        letter = text[token.start : token.end].isupper() and bool(found) and found[-1].role == "num"  # "6A"
        may_be = token.role in ("stitch", "yarn", "word") or (letter and token.role in ("range", "the"))
        other = words.second.get(fold(word)) if may_be and not declared else None
        if other and (token.role, token.value) != ("stitch", other):
            token = token._replace(role="stitch", value=other)
            changed = True
        stitch = words.letters.get(latin(word) or word)
        if stitch and not declared and token.role not in ("stitch", "header", "part_name"):
            before = found[-1].role if found else ""
            after = line[i + 1].role if i + 1 < len(line) else ""
            total = [token.role for token in line[i + 2 : i + 4]] == ["num", "close"]  # "6x (6)"
            passes = after == "num" or (after == "open" and not total)
            if not (token.role == "times" and passes and before in ("close", "star", "stitch", "num")):
                token = token._replace(role="stitch", value=stitch)
                changed = True
        found.append(token)
    return found if changed else None


def tokens(text: str, words: Lexicon) -> list[Token]:
    """Cut a text into tokens. Never fails; linear in the length of the text."""
    text, places = folded(text)
    raw = [(found.group(), found.start(), found.end()) for found in _WORD.finditer(text)]
    if words.wide and not text.isascii() and max(text) >= WIDE:
        raw = wide_words(raw, words.wide)
    if _TIMES_GLUED.search(text):
        raw = parted_times(raw, words.phrases)
    if _INITIALS.search(text):
        raw = initials(raw, words.phrases)
    typed = words.typed
    low = [typed.get(word, word) for word in [word.casefold() for word, _, _ in raw]]
    found: list[Token] = []
    phrases, yarns = words.phrases, words.yarns
    at, end_before = 0, -1
    capital = False
    while at < len(raw):
        word, start, end = raw[at]
        glued = start == end_before
        width = 1
        known = phrases.get(low[at])
        if word in yarns:
            token = Token("yarn", word, 0, start, end, glued)
        elif word in words.capitals:
            token = Token(*words.capitals[word], 0, start, end, glued)
        elif known is None and (word.isdecimal() or not word.isalnum()) and len(word) < 3:
            role = "num" if word.isdecimal() else _mark(word)
            token = Token(role, word, int(word) if role == "num" else 0, start, end, glued)
        elif known is not None and not known.longer and known.alone is not None and known.alone[0] in ("stitch", "header"):
            token = Token(known.alone[0], known.alone[1], 0, start, end, glued)
        else:
            role, value, width = _longest(low, raw, at, words)
            if role:
                number = int(value) if role in ("number", "ordinal", "once") else 0
                end = raw[at + width - 1][2]
                token = Token("num" if role == "number" else role, value, number, start, end, glued)
                capital = capital or (role in _SMALL and width == 1 and len(word) == 1 and word.isupper())
            elif word.isdecimal():
                token = Token("num", word, int(word) if len(word) < 12 else 10**12, start, end, glued)
            else:
                token = Token(_mark(word), word, 0, start, end, glued)
        found.append(token)
        end_before = end
        at += width
        if (
            token.role in ("stitch", "each", "repeat")
            and at + 1 < len(raw)
            and raw[at][0] == "."
            and raw[at][1] == end
            and (raw[at + 1][0].islower() or raw[at + 1][0] == "," or (token.role == "repeat" and _is_passes(raw, at + 1, words))
                or (token.role == "each" and len(word) < 4 and _is_ordinal_next(raw, at + 1))  # German "jd. 3. M"
            )
        ):
            end_before = raw[at][2]
            at += 1  # the full stop of an abbreviation: "sl. st. in next st"
    if capital:
        found = _capitals(found, text)
    if places is not None:
        found = [token._replace(start=places[token.start], end=places[token.end - 1] + 1) for token in found]
    return found


def _is_passes(raw: list[Raw], at: int, words: Lexicon) -> bool:
    """`rep. 6x`: a number and a word for times behind it."""
    known = words.phrases.get(raw[at + 1][0].casefold()) if at + 1 < len(raw) else None
    return raw[at][0].isdecimal() and known is not None and known.alone is not None and known.alone[0] == "times"


def _is_ordinal_next(raw: list[Raw], at: int) -> bool:
    """`3. M`: a number with a full stop, and a word behind it; but not the total of `in ea. 12 total`."""
    behind = raw[at + 2][0] if at + 2 < len(raw) else ""
    return raw[at][0].isdecimal() and behind != "" and raw[at + 1][0] == "." and (behind.isalpha() or behind in "+&")


def _capitals(line: list[Token], text: str) -> list[Token]:
    """`10 sc in A, 4 sc in B`: an article in capitals before a mark or a number is the code of a colour."""
    beside = any(token.role == "word" and len(token.value) == 1 and token.value.isupper() for token in line)
    found: list[Token] = []
    for i, token in enumerate(line):
        word = text[token.start : token.end]
        if token.role in _SMALL and len(word) == 1 and word.isupper() and found and found[-1].role in ("color", "change"):
            token = token._replace(role="yarn", value=word)  # Spanish "9 pb color A", where "a" is "to"
        elif token.role == "the" and len(word) == 1 and word.isupper():
            after = line[i + 1].role if i + 1 < len(line) else ""
            counted = found[-1].role == "num" if found else False
            if after in _BEHIND_CODES and (beside or not counted):
                token = token._replace(role="yarn", value=word)
        found.append(token)
    return found


def _mark(word: str) -> str:
    role = _MARKS.get(word)
    if role is None:
        first = word[0]
        role = (
            "star"
            if first == "*"
            else "etc"
            if first == "."
            else "equals"
            if word[-1] == ">" and len(word) > 1
            else "bullet"
            if category(first) == "So"
            else "word"
        )
    return role


def _longest(low: list[str], raw: list[Raw], at: int, words: Lexicon) -> tuple[str, str, int]:
    """The longest phrase that begins here: its role, its value and how many words it takes."""
    known = words.phrases.get(low[at])
    if known is None:
        plain = _without_article(low[at], words) or latin(low[at])
        known = None if plain is None else words.phrases.get(plain)
        if known is None:
            return "", "", 1
        low[at] = plain or low[at]
    if known.longer:
        second = at + 1
        while second < len(low) and low[second] in ".-" and raw[second - 1][2] == raw[second][1]:
            second += 1
        if second < len(low):
            for key, role, value in known.longer.get(low[second], ()):
                width = _matches(key, low, raw, at)
                if width:
                    return role, value, width
    return (*known.alone, 1) if known.alone else ("", "", 1)


def _without_article(word: str, words: Lexicon) -> str | None:
    """`nell'ultima`, `l'anneau`: the word behind an article that lost its vowel, where only that one is known."""
    if "'" not in word and "’" not in word:
        return None
    rest = word.replace("’", "'").partition("'")[2]
    return rest if rest in words.phrases else None


def _matches(key: tuple[str, ...], low: list[str], raw: list[Raw], at: int) -> int:
    """How many raw words the key covers from `at`, 0 if it does not fit. Full stops and glued hyphens inside are passed over."""
    pos = at + 1
    for part in key[1:]:
        while pos < len(low) and low[pos] in ".-" and raw[pos - 1][2] == raw[pos][1]:
            pos += 1
        if pos >= len(low):
            return 0
        glued = raw[pos - 1][2] == raw[pos][1]
        if part.startswith("~"):
            if not glued or low[pos] != part[1:]:
                return 0
        elif low[pos] != part or (glued and raw[pos - 1][0] not in ".-*" and raw[pos][0] != "*"):
            return 0
        pos += 1
    return pos - at


def _key(form: str) -> tuple[str, ...]:
    # `sc2tog` is ("sc", "~2", "~tog"): the pieces must be glued in the text too, so that `1 st` is never `1st`.
    cut = [(found.group().casefold(), found.start(), found.end()) for found in _WORD.finditer(form.replace("’", "'"))]
    return tuple(
        word if i == 0 or start > cut[i - 1][2] else "~" + word
        for i, (word, start, _) in enumerate(cut)
        if word not in ".-"
    )


def _numbers_of(name: str) -> tuple[str, ...]:
    # Titles are often plural ("Legs"), lines singular ("first leg"): both are read.
    low = name.casefold()
    return (low, low[:-1]) if low.endswith("s") and len(low) > 3 else (low, low + "s")
