"""Comes in: the safety assessment. Goes out: the safety page, prescribed wordings untouched; nothing is assessed here."""

from __future__ import annotations

from booklet.figures.figures import Safety as Assessed
from booklet.figures.figures import SafetyNote
from booklet.pages.book import Caution, Safety
from booklet.pages.wording import Words


def safety(assessed: Assessed, market: str, words: Words) -> Safety:
    """The age mark, every caution once, and the standing caution, which is always printed and comes last."""
    merged: dict[tuple[str, bool], list[str]] = {}
    for note in assessed.notes:
        if market and note.market not in ("", market):
            continue
        markets = merged.setdefault((_text(note, words), note.wording is not None), [])
        if note.market and note.market not in markets:
            markets.append(note.market)
    # Prescribed wordings first, since rules ask for a conspicuous place.
    ordered = sorted(merged.items(), key=lambda item: not item[0][1])
    cautions = tuple(Caution(text, prescribed, tuple(markets)) for (text, prescribed), markets in ordered)
    age = assessed.age or ""
    return Safety(age, words.text("age_text", age=age) if age else "", cautions, words.text("standing_caution"))


def _text(note: SafetyNote, words: Words) -> str:
    if note.wording is not None:
        return note.text
    return words.optional(f"caution.{note.code}", note.text, names=words.join("comma", note.names))
