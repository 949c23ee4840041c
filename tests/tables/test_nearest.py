"""Which known word a mistyped one is taken for: swapped letters before neighbouring keys, those before any other letter."""

import pytest

from booklet.tables.language import load, tags
from booklet.tables.nearest import nearest

ABBREVIATIONS = [name.abbr for name in load("en-US").names.values()]


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("cs", "sc"), ("hcd", "hdc"), ("cd", "dc"), ("icn", "inc"), ("dce", "dec"), ("sv", "sc"), ("sx", "sc"), ("hdv", "hdc"), ("scc", "sc"), ("incr", "inc")],
)
def test_slips_of_the_fingers(typed, meant):
    assert nearest(typed, ABBREVIATIONS, 0.5) == meant
    assert nearest(typed, reversed(ABBREVIATIONS), 0.5) == meant


def test_nothing_is_near():
    assert nearest("qqqq", ABBREVIATIONS) == ""
    assert nearest("", ABBREVIATIONS) == ""
    assert nearest("word", []) == ""


def test_the_same_word_in_capitals_is_nearest():
    assert nearest("TITLE", ["tile", "title", "titles"]) == "title"


@pytest.mark.parametrize("tag", tags())
def test_every_abbreviation_with_two_letters_swapped(tag):
    """Where the swapped word is none itself, and no other abbreviation is one swap away too."""
    known = [name.abbr for name in load(tag).names.values()]
    for word in dict.fromkeys(known):
        for at in range(len(word) - 1):
            swapped = word[:at] + word[at + 1] + word[at] + word[at + 2 :]
            others = {other for other in known if sorted(other.casefold()) == sorted(word.casefold())}
            if swapped.casefold() not in {other.casefold() for other in known} and others == {word}:
                assert nearest(swapped, known, 0.5) == word


def test_long_words_cost_little():
    """Only the first 60 characters are compared."""
    assert nearest("title" + "x" * 100_000, ["title", "size"]) == ""
