"""A text and the alphabet of a language in, the key by which it is sorted out; a language's own order is a row of its settings.

The order is that of the Unicode Collation Algorithm (Unicode Technical Standard 10) with the tailorings of the Unicode CLDR, as far as
booklets need it: spaces, marks, figures, letters; accents and capitals count only where all else is equal; letters of the language's own
alphabet stand where its dictionaries put them, kana before kanji, kanji in the order of JIS X 0208 (CLDR, collation of Japanese).
"""

from __future__ import annotations

from functools import cache
from unicodedata import category, name, normalize

_SPACE, _MARK, _SIGN, _FIGURE, _OWN, _LETTER, _HAN = range(7)
_WITHOUT_ACCENT = {"ø": "o", "ł": "l", "đ": "d", "æ": "ae", "œ": "oe", "þ": "th"}  # letters that Unicode does not decompose
_LONG = "ー"  # makes the vowel before it long, and is sorted as that vowel
_VOWELS = {"A": "あ", "I": "い", "U": "う", "E": "え", "O": "お"}


def in_alphabet(text: str, alphabet: str) -> tuple[tuple[int, int], ...]:
    """How a text is sorted. `alphabet` lists letters in their order: `(æä)` share a place, `가-힣` is a range; "" for Latin letters."""
    place = _places(alphabet)
    found: list[tuple[int, int]] = []
    before = ""
    for letter in normalize("NFC", text).casefold():
        letter = before = _kana(letter, before)
        if letter in place:
            found.append((_OWN, place[letter]))
            continue
        bases = _WITHOUT_ACCENT.get(letter, normalize("NFD", letter)[0])
        found += [(_OWN, place[base]) if base in place else (_class(base), _weight(base)) for base in bases]
    return tuple(found)


@cache
def _places(alphabet: str) -> dict[str, int]:
    found: dict[str, int] = {}
    at, shared = 0, False
    for index, letter in enumerate(alphabet):
        if letter in "()":
            shared = letter == "("
            at += letter == ")"
        elif letter == "-" and 0 < index < len(alphabet) - 1:
            for code in range(ord(alphabet[index - 1]) + 1, ord(alphabet[index + 1])):
                found[chr(code)] = at = at + 1
        else:
            found[letter] = at
            at += not shared
    return found


def _class(letter: str) -> int:
    kind = category(letter)[0]
    if kind == "L":
        return _HAN if "\u3400" <= letter <= "\u9fff" else _LETTER
    return {"Z": _SPACE, "C": _SPACE, "P": _MARK, "S": _SIGN, "N": _FIGURE}.get(kind, _LETTER)


def _weight(letter: str) -> int:
    """Within its class: kanji by their place in JIS X 0208, those that it lacks behind them; all others by their number in Unicode."""
    if _class(letter) != _HAN:
        return ord(letter)
    try:
        code = letter.encode("euc_jp")
    except UnicodeEncodeError:
        code = b""
    return int.from_bytes(code, "big") if len(code) == 2 else 0x10000 + ord(letter)


def _kana(letter: str, before: str) -> str:
    """Katakana and small kana as the large hiragana that they are sorted with."""
    if letter == _LONG:
        return _VOWELS.get(name(before, " ")[-1], letter) if "\u3041" <= before <= "\u3096" else letter
    if "\u30a1" <= letter <= "\u30f6":
        letter = chr(ord(letter) - 0x60)
    if "\u3041" <= letter <= "\u3096" and "SMALL" in name(letter):
        return chr({"ゕ": ord("か"), "ゖ": ord("け")}.get(letter, ord(letter) + 1))
    return letter
