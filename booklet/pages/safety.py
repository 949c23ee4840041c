"""Comes in: the safety assessment. Goes out: the safety page, prescribed wordings untouched; nothing is assessed here."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from booklet.figures.figures import Safety as Assessed
from booklet.figures.figures import SafetyNote
from booklet.pages.book import Caution, Safety
from booklet.pages.flow import choice_text
from booklet.pages.wording import Words
from booklet.pattern.model import Choice


def safety(assessed: Sequence[tuple[tuple[Choice, ...], Assessed]], market: str, words: Words) -> Safety:
    """The age mark, every caution once, and the standing caution, which is always printed and comes last.

    `assessed` holds one assessment for each way to make the piece that the booklet leaves open, with its open choices.
    A caution that not all of them have says whose it is; the highest age mark is printed.
    """
    merged: dict[tuple[str, bool], tuple[dict[str, None], dict[tuple[Choice, ...], None]]] = {}
    for way, one in assessed:
        for note in one.notes:
            if market and note.market not in ("", market):
                continue
            markets, ways = merged.setdefault((_text(note, words), note.wording is not None), ({}, {}))
            ways[way] = None
            if note.market:
                markets[note.market] = None
    # Prescribed wordings first, since rules ask for a conspicuous place.
    ordered = sorted(merged.items(), key=lambda item: not item[0][1])
    cautions = tuple(
        Caution(text, prescribed, tuple(markets), _whose(ways, [way for way, _ in assessed], words))
        for (text, prescribed), (markets, ways) in ordered
    )
    age = max((one.age for _, one in assessed if one.age), key=_months, default="")
    return Safety(age, words.text("age_text", age=age) if age else "", cautions, words.text("standing_caution"))


def _whose(ways: Collection[tuple[Choice, ...]], every: Sequence[tuple[Choice, ...]], words: Words) -> str:
    """The one choice that brings a caution, or all the ways that have it; "" if every way has it."""
    if len(ways) == len(every):
        return ""
    for choice in dict.fromkeys(choice for way in every for choice in way):
        if {way for way in every if choice in way} == set(ways):
            return choice_text(choice, words)
    names = (words.join("comma", (choice_text(choice, words) for choice in way)) for way in ways)
    return words.join("or", names)


def _months(age: str) -> int:
    """`3+` is in years, `18 m+` in months."""
    number = int("".join(sign for sign in age if sign.isdigit()) or 0)
    return number if "m" in age else number * 12


def _text(note: SafetyNote, words: Words) -> str:
    if note.wording is not None:
        return note.text
    return words.optional(f"caution.{note.code}", note.text, names=words.join("comma", note.names))
