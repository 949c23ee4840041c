"""A title in, its lines out: as few as will do, as even as they can be, broken where a reader would pause; nothing is set here."""

from __future__ import annotations

import re
import unicodedata

KANA = "\u3040-\u309f"  # hiragana: endings and particles, after which a word may end
FULL = "\u30a0-\u30ff\u3400-\u4dbf\u4e00-\u9fff"  # katakana and Han: with which a word begins
# Japanese is written without spaces: a line is broken after a pause, or where an ending is followed by a new word.
PAUSES = re.compile(rf"(?<=[、。・，！？：～])|(?<=[{KANA}])(?=[{FULL}「（])")


def balanced(text: str, longest: int) -> list[str]:
    """Words in as few lines of about `longest` cells as will do, the lines as equal as they can be.

    Nobody wants a last word alone below a long line of a title; CSS for it is not known to the PDF engine.
    """
    few = _lines(text, max(longest, 1))
    narrowest = next((width for width in range(1, longest) if len(_lines(text, width)) <= len(few)), longest)
    return _lines(text, max(narrowest, 1))


def cells(text: str) -> int:
    """How wide a text is in letters; those of East Asia count twice (Unicode Standard Annex 11)."""
    return sum(2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in text)


def _lines(text: str, width: int) -> list[str]:
    """Greedily; what has no place to be broken makes a long line."""
    made: list[str] = []
    for word in text.split():
        for number, unit in enumerate(PAUSES.split(word)):
            joint = "" if number else " "
            if made and cells(made[-1] + joint + unit) <= width:
                made[-1] += joint + unit
            else:
                made.append(unit)
    return made
