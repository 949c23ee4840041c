"""Comes in: the safety assessment. Goes out: the safety page, prescribed wordings untouched; nothing is assessed here."""

from __future__ import annotations

from collections.abc import Sequence

from booklet.figures.figures import Safety as Assessed
from booklet.figures.figures import SafetyNote
from booklet.pages.book import Caution, Safety
from booklet.pages.wording import Words


def safety(assessed: Sequence[tuple[str, Assessed]], market: str, words: Words) -> Safety:
    """The age mark, every caution once, and the standing caution, which is always printed and comes last.

    `assessed` holds one assessment for each way to make the piece that the booklet leaves open, with its name ("eyes:
    safety"). A caution that not all of them have says whose it is; the highest age mark is printed.
    """
    merged: dict[tuple[str, bool], tuple[dict[str, None], dict[str, None]]] = {}
    for name, one in assessed:
        for note in one.notes:
            if market and note.market not in ("", market):
                continue
            markets, ways = merged.setdefault((_text(note, words), note.wording is not None), ({}, {}))
            ways[name] = None
            if note.market:
                markets[note.market] = None
    # Prescribed wordings first, since rules ask for a conspicuous place.
    ordered = sorted(merged.items(), key=lambda item: not item[0][1])
    cautions = tuple(
        Caution(text, prescribed, tuple(markets), words.join("or", ways) if len(ways) < len(assessed) else "")
        for (text, prescribed), (markets, ways) in ordered
    )
    age = max((one.age for _, one in assessed if one.age), key=_months, default="")
    return Safety(age, words.text("age_text", age=age) if age else "", cautions, words.text("standing_caution"))


def _months(age: str) -> int:
    """`3+` is in years, `18 m+` in months."""
    number = int("".join(sign for sign in age if sign.isdigit()) or 0)
    return number if "m" in age else number * 12


def _text(note: SafetyNote, words: Words) -> str:
    if note.wording is not None:
        return note.text
    return words.optional(f"caution.{note.code}", note.text, names=words.join("comma", note.names))
