"""Raw words of a line in, the same parted or joined as the dictionary knows them out; what they mean is lex's."""

from __future__ import annotations

from collections.abc import Collection, Container

from booklet.wide import WIDE, size_at

Raw = tuple[str, int, int]  # a word, and the offsets where it begins and ends
_LONGEST_INITIALS = 5  # letters of an abbreviation with full stops; a guess, two more than `h.d.c.`: a long row of letters costs no time


def wide_words(raw: list[Raw], known: Collection[str]) -> list[Raw]:
    """Words of scripts without spaces, cut at the longest words that the table knows."""
    found: list[Raw] = []
    for word, start, end in raw:
        if max(word) < WIDE or word in known:
            found.append((word, start, end))
            continue
        at = next(i for i, character in enumerate(word) if character >= WIDE)  # a colour code may stand before it
        if at:
            found.append((word[:at], start, start + at))
        while at < len(word):
            if word[at] < WIDE:  # the name of a part in other letters
                end = next((i for i in range(at, len(word)) if word[i] >= WIDE), len(word))
                found.append((word[at:end], start + at, start + end))
                at = end
                continue
            size = size_at(word, at, known)
            found.append((word[at : at + size], start + at, start + at + size))
            at += size
    return found


def parted_times(raw: list[Raw], known: Container[str]) -> list[Raw]:
    """`7xInc`: the times sign parted from the word behind it."""
    found: list[Raw] = []
    for word, start, end in raw:
        rest = word[1:].casefold()
        glued = bool(found) and found[-1][2] == start and found[-1][0].isdecimal()
        if glued and word[0] in "xX" and rest in known and word.casefold() not in known:
            found += [(word[0], start, start + 1), (word[1:], start + 1, end)]
        else:
            found.append((word, start, end))
    return found


def initials(raw: list[Raw], known: Container[str]) -> list[Raw]:
    """`s.c.`, `m.r.`: letters with full stops that make a known word together."""
    found: list[Raw] = []
    at = 0
    while at < len(raw):
        end, last = at, min(len(raw) - 1, at + 2 * (_LONGEST_INITIALS - 1))
        while end + 2 <= last and _is_initial(raw[end]) and _joins(raw, end + 1) and _is_initial(raw[end + 2]):
            end += 2
        word = "".join(item[0] for item in raw[at : end + 1 : 2])
        if end > at and word.casefold() in known:
            found.append((word, raw[at][1], raw[end][2]))
            at = end + 1
        else:
            found.append(raw[at])
            at += 1
    return found


def _is_initial(item: Raw) -> bool:
    return len(item[0]) == 1 and item[0].isalpha()


def _joins(raw: list[Raw], at: int) -> bool:
    """Is it a full stop with no space on either side?"""
    return raw[at][0] == "." and raw[at - 1][2] == raw[at][1] and raw[at][2] == raw[at + 1][1]
