"""A mistyped word and the known ones in, the nearest of them out; whether to believe it is the caller's."""

from __future__ import annotations

from collections.abc import Iterable

LONGEST = 60  # characters of a word that are compared: the comparison is quadratic

# What a slip of the fingers costs, against 1 for any other letter. Two letters in the wrong order and a neighbouring key are the
# commonest slips of typing (common practice, no source); the figures are guesses that put them before a letter too many or too few.
SWAPPED, NEIGHBOUR, DOUBLED, MORE_OR_LESS, OTHER = 0.5, 0.75, 0.6, 0.9, 1.0

# Rows of a keyboard; those of other layouts of Latin letters differ in a few places only.
_ROWS = ("1234567890", "qwertyuiop", "asdfghjkl", "zxcvbnm")
_PLACES = {key: (row, column + row * 0.3) for row, keys in enumerate(_ROWS) for column, key in enumerate(keys)}
_NEIGHBOURS = frozenset(
    one + other
    for one, (row, column) in _PLACES.items()
    for other, (below, beside) in _PLACES.items()
    if one != other and abs(row - below) <= 1 and abs(column - beside) < 1.1
)


def nearest(word: str, known: Iterable[str], cutoff: float = 0.6) -> str:
    """The nearest known word, "" if none is as like as `cutoff` (0 nothing in common, 1 the same). The first of equals is taken.

    `cs` is nearer to `sc` than to `sk`: swapped letters cost least, then neighbouring keys.
    """
    word = word[:LONGEST]
    folded = word.casefold()
    letters = set(folded)
    best, least = "", float("inf")
    for name in known:
        other = name[:LONGEST].casefold()
        size = max(len(folded), len(other))
        most = min(least, (1 - cutoff) * size + 1e-9)
        if not size or abs(len(folded) - len(other)) * DOUBLED > most:
            continue
        if len(letters.difference(other)) * NEIGHBOUR > most:
            continue
        cost = _cost(folded, other, most)
        if cost <= most and cost < least:
            best, least = name, cost
    return best


def _cost(a: str, b: str, most: float) -> float:
    """What it costs to make one word of the other (optimal string alignment); stops where it is above `most` for certain."""
    before: list[float] = []
    above = [0.0]
    more = [_extra(b, j) for j in range(len(b))]
    for extra in more:
        above.append(above[-1] + extra)
    last = ""
    for i, letter in enumerate(a):
        less = _extra(a, i)
        left = above[0] + less
        row = [left]
        for j, other in enumerate(b):
            cost = above[j]
            if letter != other:
                cost += NEIGHBOUR if letter + other in _NEIGHBOURS else OTHER
                if j and last == other and letter == b[j - 1] and before[j - 1] + SWAPPED < cost:
                    cost = before[j - 1] + SWAPPED
            left = min(cost, above[j + 1] + less, left + more[j])
            row.append(left)
        if min(row) > most and min(above) > most:
            return most + 1
        before, above, last = above, row, letter
    return above[-1]


def _extra(word: str, at: int) -> float:
    """A letter that the other word has not: cheaper where it only doubles the one before."""
    return DOUBLED if at and word[at] == word[at - 1] else MORE_OR_LESS
