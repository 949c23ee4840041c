"""What a terminal may show of a line: the pointer stands under the word, and nothing of the file steers the terminal."""

import unicodedata

import pytest

from booklet.reports.cells import STAND_IN, WIDTH, cut, harmless, width
from tests.timing import below


def cells(text):
    return sum(width(character) for character in text)


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("Rnd 3: (sc, inc) x 6 (19)", "(19)"),
        ("段目 3: 細編み18目 (19)", "(19)"),
        ("e\u0301toile de\u0301but (19)", "(19)"),
        ("\tRnd 3:\t18 sc\t(19)", "(19)"),
        ("6 sc \u202e(19)", "(19)"),
        ("a" * 500 + "(19)" + "b" * 500, "(19)"),
        ("編" * 500 + "(19)" + "目" * 500, "(19)"),
        ("(19)" + "b" * 5000, "(19)"),
        ("a" * 5000 + "(19)", "(19)"),
    ],
)
def test_the_pointer_stands_under_the_word(line, word):
    start = line.index(word)
    shown = cut(line, start, start + len(word))
    at = shown.text.index(word)
    assert cells(shown.text[:at]) == shown.start
    assert shown.width == len(word)
    assert cells(shown.text) <= WIDTH + 4  # two cells of ellipsis at each end


def test_a_short_line_is_shown_whole():
    assert cut("Rnd 3: 18 sc (18)", 0, 3).text == "Rnd 3: 18 sc (18)"


def test_an_empty_span_and_one_beyond_the_line_still_have_a_pointer():
    assert cut("abc", 3, 3) == ("abc", 3, 1)
    assert cut("abc", 9, 12) == ("abc", 3, 1)
    assert cut("", 0, 0) == ("", 0, 1)


def test_control_characters_never_arrive():
    nasty = "".join(chr(n) for n in [*range(32), *range(127, 160)]) + "\u202e\u2066\u2028\x1b[31m\ud800"
    for text in (harmless(nasty), cut(nasty, 0, 5).text):
        assert not any(unicodedata.category(character) in ("Cc", "Cs", "Zl", "Zp") for character in text)
        assert "\u202e" not in text
        assert STAND_IN in text


def test_a_line_of_megabytes_is_cut_at_once():
    line = "x" * 8_000_000
    assert below(0.1, lambda: cut(line, 4_000_000, 8_000_000))
    shown = cut(line, 4_000_000, 8_000_000)
    assert len(shown.text) <= WIDTH + 4
    assert shown.width <= WIDTH
