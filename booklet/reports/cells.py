"""Text in, what a terminal may show of it out: harmless, with a known width; no colours and no findings here."""

from __future__ import annotations

import unicodedata
from bisect import bisect_left, bisect_right
from typing import NamedTuple

TAB = 4  # cells between tab stops
WIDTH = 100  # cells of a line that are shown at most
LEAD = 40  # cells kept before the pointer where a line is cut
STAND_IN = "\N{REPLACEMENT CHARACTER}"

# Characters that reverse or hide text on a terminal; what they do to source code is described in
# Unicode Technical Report 36, section 2 (bidirectional text spoofing).
_BIDI = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Cut(NamedTuple):
    """A line as it is shown, and where its pointer goes."""

    text: str
    start: int  # cells before the pointer
    width: int  # cells of the pointer, at least 1


def width(character: str) -> int:
    """Cells of one harmless character: 0, 1 or 2 (Unicode Standard Annex 11; ambiguous ones are narrow)."""
    if unicodedata.combining(character) or unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1


def harmless(text: str) -> str:
    """Replace whatever could steer a terminal; line ends and tabs become one space."""
    return "".join(" " if character in "\t\r\n" else _shown(character) for character in text)


def cut(line: str, start: int, end: int) -> Cut:
    """Show a line around the characters start … end (offsets from 0), tabs spread, too long parts replaced by `…`."""
    start = min(start, len(line))
    end = max(min(end, len(line)), start)
    # A line may be megabytes long; what is further away than this cannot be seen in any case.
    end = min(end, start + 4 * WIDTH)
    first = max(0, start - 4 * WIDTH)
    pieces, begins = _spread(line[first : end + 4 * WIDTH])
    before, after = begins[start - first], begins[end - first]
    left = before - LEAD if begins[-1] > WIDTH and before > WIDTH - LEAD else 0
    a = bisect_left(begins, left)
    b = bisect_right(begins, begins[a] + WIDTH) - 1
    open_left, open_right = first + a > 0, first + b < len(line)
    text = ("… " if open_left else "") + "".join(pieces[a:b]) + (" …" if open_right else "")
    shift = (2 if open_left else 0) - begins[a]
    stop = min(after, begins[b]) + shift
    return Cut(text, before + shift, max(1, stop - before - shift))


def _shown(character: str) -> str:
    category = unicodedata.category(character)
    if category in ("Cc", "Cs", "Zl", "Zp") or character in _BIDI:
        return STAND_IN
    return character


def _spread(line: str) -> tuple[list[str], list[int]]:
    """The shown form of every character, and the cell at which each begins (one entry more, for the end)."""
    pieces, begins, cells = [], [0], 0
    for character in line:
        piece = " " * (TAB - cells % TAB) if character == "\t" else _shown(character)
        cells += len(piece) if character == "\t" else width(piece)
        pieces.append(piece)
        begins.append(cells)
    return pieces, begins
