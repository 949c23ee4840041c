"""An instruction line in, the places where another label begins in it out: `Rnd 5: … (18); Rnd 6: …`; what it tells is notation's."""

from __future__ import annotations

import re

from booklet.pattern.templates import TOKEN, fold
from booklet.tables.language import Language

_BEFORE = ".;,)]}>|/–—-"  # marks that may end an instruction
_BEHIND = ":.)-–—([{*"  # marks that may stand behind a label
_BEHIND_NUMBER_FIRST = ":-–—"  # "6 р. (24)" may be six repeats
_RANGE = "-–—~"
_DIGIT = re.compile(r"\d")
_ORDINAL = 3  # letters behind the digits of an ordinal

LONGEST = 20_000  # letters: a longer line was not written by hand

Found = tuple[int, int, int, int]  # first and last round of a label, and the tokens where it begins and ends


def further_labels(text: str, language: Language) -> list[int]:
    """Offsets of labels behind the first whose rounds follow at once on those before them. Most lines have none."""
    if len(text) > LONGEST or len(_DIGIT.findall(text)) < 2:
        return []
    tokens = list(TOKEN.finditer(text))
    words = [fold(token[0]) for token in tokens]
    at = next((i for i, word in enumerate(words) if word.isalnum()), len(words))
    first = _label(words, at, language)
    if first is None:
        return []
    found: list[int] = []
    last = first[1]
    for i in range(first[3], len(words)):
        if words[i - 1] not in _BEFORE:
            continue
        label = _label(words, i, language)
        marks = _BEHIND_NUMBER_FIRST if words[i].isdecimal() else _BEHIND
        if label is None or label[0] != last + 1 or label[3] >= len(words) or words[label[3]] not in marks:
            continue
        found.append(tokens[i].start())
        last = label[1]
    return found


def _label(words: list[str], at: int, language: Language) -> Found | None:
    """`Rnd 5`, `R5-8`, `Rnds 5 - 8`, `5th rnd`, `5. Rd` that begins at a word."""
    step = at
    if step < len(words) and _is_header(words[step], language):
        step += 1
        while step < len(words) and words[step] in ".#":
            step += 1
        return _numbers(words, at, step, language)
    if step < len(words) and words[step].isdecimal():
        after = step + 1
        if after < len(words) and (words[after] == "." or (words[after].isalpha() and len(words[after]) <= _ORDINAL)):
            after += not _is_header(words[after], language)
        if after < len(words) and _is_header(words[after], language):
            return int(words[step][:9]), int(words[step][:9]), at, after + 1
    return None


def _numbers(words: list[str], at: int, step: int, language: Language) -> Found | None:
    if step >= len(words) or not words[step].isdecimal():
        return None
    first = last = int(words[step][:9])
    step += 1
    if step < len(words) and words[step] in _RANGE:
        end = step + 1
        if end < len(words) and _is_header(words[end], language):
            end += 1
        if end < len(words) and words[end].isdecimal() and int(words[end][:9]) > first and not _is_stitch(words, end + 1, language):
            last, step = int(words[end][:9]), end + 1
    return first, last, at, step


def _is_stitch(words: list[str], at: int, language: Language) -> bool:
    """Does a stitch stand there, so that the number before it is its quantity: `R1-6 sc`?"""
    return at < len(words) and language.words.get(words[at], ("", ""))[0] == "stitch"


def _is_header(word: str, language: Language) -> bool:
    return language.words.get(word, ("", ""))[0] == "header"
