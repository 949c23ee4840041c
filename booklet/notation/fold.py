"""A line as typed in, the same with look-alike characters brought to one form out; the text itself is kept for printing."""

from __future__ import annotations

import unicodedata

from booklet.digits import circle_as_label
from booklet.wide import FULL_WIDTH, WIDE

# One character for one character, so that offsets stay: spaces, full-width forms, times signs, dotless i.
_ONE = {
    "\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u200a": " ", "\u2002": " ", "\u2003": " ", "\u3000": " ", "\t": " ",
    "ı": "i", "İ": "I", "✖": "×", "⨯": "×", "╳": "×", "Ｘ": "×", "ｘ": "×", "∗": "*", "✱": "*", "⁎": "*",
    "‐": "-", "‑": "-", "‒": "–", "―": "—", "●": "•", "◦": "•", "■": "•", "►": "•", "➤": "•", "⇒": "→", "⟶": "→", "〜": "~", "～": "~",
    "➔": "→", "➜": "→", "➝": "→", "➞": "→", "➡": "→",
    "’": "'", "【": "(", "】": ")", "〔": "(", "〕": ")", "「": "(", "」": ")", "〈": "(", "〉": ")",
}  # fmt: skip
_ONE = FULL_WIDTH | _ONE
_TABLE = str.maketrans(_ONE)
_CIRCLED = frozenset(chr(0x2460 + n) for n in range(20))
_DROPPED = frozenset("\u00ad\u200b\u200c\u200d\u2060\ufeff\ufe0e\ufe0f")  # soft hyphens and marks without width

# Cyrillic letters that look like Latin ones; inside a stitch word they are slips of a keyboard or of a conversion.
_LOOKALIKES = dict(zip("асеорхіѕкмтвн", "aceopxiskmtbh", strict=True))
_LATIN = str.maketrans(_LOOKALIKES)


def folded(text: str) -> tuple[str, list[int] | None]:
    """The text to be read, and for each of its characters the offset in the original; None where nothing moved."""
    if text.isascii():
        return text, None
    if not _DROPPED.isdisjoint(text) or not _CIRCLED.isdisjoint(text) or not unicodedata.is_normalized("NFC", text):
        return _composed(text)
    return text.translate(_TABLE), None


def _composed(text: str) -> tuple[str, list[int]]:
    """Drop what has no width and compose accents, keeping where each character came from."""
    kept: list[str] = []
    places: list[int] = []
    for at, character in enumerate(text):
        if character in _DROPPED:
            continue
        if character in _CIRCLED:  # two characters for one: a number and the colon of a label
            label = circle_as_label(text, at)
            kept += label
            places += [at] * len(label)
            continue
        if kept and unicodedata.combining(character):
            joined = unicodedata.normalize("NFC", kept[-1] + character)
            if len(joined) == 1:
                kept[-1] = joined
                continue
        kept.append(character)
        places.append(at)
    return "".join(kept).translate(_TABLE), places


_ASCII = (
    str.maketrans({"ł": "l", "ø": "o", "æ": "ae", "œ": "oe", "ß": "ss", "ё": "е", "å": "a"}),
    str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "ø": "oe", "å": "aa", "æ": "ae", "ß": "ss"}),
)


def plain_spellings(word: str) -> tuple[str, ...]:
    """How a word is typed on a keyboard without its letters: `proximo`, `psl`, `naechste`; () for a word that needs none."""
    if word.isascii() or word[0] >= WIDE:
        return ()
    found = []
    for table in _ASCII:
        typed = word.translate(table)
        if typed[0] < "а":  # no Cyrillic word: there a mark makes another letter
            typed = "".join(c for c in unicodedata.normalize("NFD", typed) if not unicodedata.combining(c))
        if typed != word and typed not in found:
            found.append(typed)
    return tuple(found)


def latin(word: str) -> str | None:
    """A word with its Cyrillic look-alikes turned into Latin letters; None where it has none, or has other Cyrillic letters."""
    if word.isascii() or _LATIN_FREE.isdisjoint(word):
        return None
    plain = word.translate(_LATIN)
    return plain if plain.isascii() else None


_LATIN_FREE = frozenset(_LOOKALIKES)
