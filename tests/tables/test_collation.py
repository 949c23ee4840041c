"""Each language sorts as its dictionaries do. Source: Unicode CLDR, common/collation/<language>.xml, and the root order (UTS 10)."""

from __future__ import annotations

import pytest

from booklet.tables.collation import in_alphabet
from booklet.tables.language import load


def order(tag: str, texts: list[str]) -> list[str]:
    alphabet = load(tag).settings.get("alphabet", "")
    return sorted({*texts}, key=lambda text: (in_alphabet(text, alphabet), text))


@pytest.mark.parametrize(
    ("tag", "texts"),
    [
        # sv.xml: &[before 1]ǀ<å<<<Å<ä<<<Ä<<æ<ö<<<Ö<<ø; &Y<<ü
        ("sv", ["avmaskning", "bubbla", "yta", "ytter", "zon", "ånga", "ärm", "ögla", "öglemaska"]),
        # da.xml, no.xml: &[before 1]ǀ<æ<<ä<ø<<ö<å
        ("da", ["boble", "zigzag", "ærme", "øje", "ål", "åsted"]),
        ("nb", ["boble", "zigzag", "ærme", "øye", "ål", "åsted"]),
        # es.xml: &N<ñ; ch and ll are two letters each in the standard order
        ("es", ["cadeneta", "chal", "color", "lana", "llave", "lobo", "nudo", "ñandú", "ojo"]),
        ("es-419", ["nudo", "ñandú", "ojo"]),
        # de: the root order; the umlaut counts where all else is equal, ß is ss
        ("de", ["Abnahme", "Arm", "Ärmel", "Aufhänger", "Masche", "Maße", "Maßstab", "Öse", "Ösen", "Zopf"]),
        # fr: the root order; accents count where all else is equal
        ("fr", ["cote", "coté", "coter", "écharpe", "écru", "œil", "ouvrage"]),
        # pl.xml: &A<ą &C<ć &E<ę &L<ł &N<ń &O<ó &S<ś &Z<ź<ż
        ("pl", ["abc", "ąż", "cyrk", "ćma", "lina", "łapa", "masa", "nić", "ńu", "oko", "ósmy", "słupek", "ściągacz", "zamek", "źle", "żaba"]),
        # ru.xml: ё is an accented е; й is a letter of its own; Cyrillic letters before Latin ones
        ("ru", ["ёлка", "ель", "ещё", "игла", "йота", "крючок", "V"]),
        # ja.xml: Latin letters, kana (katakana as hiragana, ー as the vowel before it), kanji in the order of JIS X 0208
        ("ja", ["V字編み", "あみぐるみ", "カード", "かがり", "ピコット", "ひも", "ボール", "ほつれ", "わ", "引き抜き編み", "鎖編み", "細編み", "作り目", "長編み"]),
        # he.xml: final letters are forms of the others
        ("he", ["אוזן", "כובע", "כף", "מסרגה", "עין"]),
        # ko.xml: Hangul first
        ("ko", ["구슬뜨기", "긴뜨기", "짧은뜨기", "코", "V"]),
        # root: space, marks, figures, letters; capitals do not matter
        ("en-US", ["( )", "2 together", "back loop", "Back post", "chain", "chain space", "chain, turning", "chains"]),
    ],
)  # fmt: skip
def test_order(tag: str, texts: list[str]) -> None:
    assert order(tag, texts) == texts


def test_letters_that_share_a_place_and_ranges() -> None:
    assert in_alphabet("ä", "a(æä)b") == in_alphabet("æ", "a(æä)b") < in_alphabet("b", "a(æä)b")
    assert in_alphabet("c", "a-e") < in_alphabet("d", "a-e") < in_alphabet("z", "a-e")
