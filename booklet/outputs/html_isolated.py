"""A page that is written from right to left in, the same page with its words of other scripts held together out; nothing is moved here.

`0.34 N·m` or `chestnut, 100%` among Hebrew words would be torn apart: the number counts as Hebrew, the letters do not. Marks that
print nothing say which signs belong together (Unicode Standard Annex 9: first a left-to-right isolate, then the end of it). They
are characters and not style rules, which the engine does not know.
"""

from __future__ import annotations

import re

OPEN, CLOSE = "\u2066", "\u2069"
# Letters of Latin, Greek and Cyrillic scripts and what stands inside their words; a number right before a unit belongs to it.
_LETTER = "A-Za-z\u00c0-\u00d6\u00d8-\u00f6\u00f8-\u024f\u0370-\u04ff"  # without the signs × and ÷
_RUN = re.compile(
    rf"(?:(?<![\w.,])\d[\d.,]*[ \u00a0\u202f]?)?[{_LETTER}](?:[{_LETTER}\d·.'’/:@=?#%_-]*[{_LETTER}\d])?"
    rf"(?::?[ \u00a0][{_LETTER}](?:[{_LETTER}\d·.'’/:@=?#%_-]*[{_LETTER}\d])?)*"
)
_PIECE = re.compile(r"<(style|script|title)\b.*?</\1>|<[^>]*>|&[#\w]{1,12};|[^<&]+", re.DOTALL)


def isolated(page: str) -> str:
    """The page with its foreign runs isolated; tags, styles, scripts and entities stay as they are."""
    begin = page.find("<body")
    return page[:begin] + _PIECE.sub(_piece, page[begin:]) if begin >= 0 else page


def _piece(found: re.Match[str]) -> str:
    text = found[0]
    return text if text[0] in "<&" else _RUN.sub(lambda run: f"{OPEN}{run[0]}{CLOSE}", text)
