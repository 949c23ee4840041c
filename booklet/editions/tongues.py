"""An edition in several languages in, one edition for each of the further ones out; nothing is composed here."""

from __future__ import annotations

from dataclasses import replace

from booklet.editions.edition import Edition
from booklet.tables.language import load


def further(edition: Edition) -> tuple[Edition, ...]:
    """The editions of all languages but the first. Units follow the language, unless others than the first one's were asked for."""
    usual = edition.units == _units(edition.languages[0])
    return tuple(
        replace(edition, languages=(tag,), terms=load(tag).terms, units=_units(tag) if usual else edition.units)
        for tag in edition.languages[1:]
    )


def _units(tag: str) -> str:
    return load(tag).settings.get("units", "metric")
