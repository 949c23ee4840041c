"""Comes in: the page words of a language and values. Goes out: finished texts; which text is wanted is decided by the sections."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from booklet.editions.edition import Edition
from booklet.pages import measures
from booklet.tables.language import Language
from booklet.tables.pairs import joined
from booklet.tables.plurals import category
from booklet.tables.territories import territory
from booklet.tables.wording import page_changes

APOSTROPHE = re.compile(r"(?<=\w)'(?=\w)")


class Words(NamedTuple):
    """Everything that a section needs to speak in one edition."""

    language: Language  # of the edition: its terms, notation and sentences
    page: dict[str, str]  # fixed texts by key
    style: measures.Style  # numbers and units
    left_handed: bool  # charts are mirrored
    same: bool  # the edition speaks the pattern's own language: the designer's words can be printed as they are
    symbols: str = "us"  # the edition's set of chart symbols
    source: str = ""  # the pattern's language where the edition speaks another one, else ""

    def text(self, key: str, /, **values: object) -> str:
        """A fixed text with its {names} filled in. KeyError for a key that the table lacks."""
        filled = self.page[key]
        for name, value in values.items():
            filled = filled.replace("{" + name + "}", str(value))
        return filled

    def plural(self, key: str, number: int) -> str:
        """The form for a number: `balls.one`, `balls.other`, in some languages `balls.few`, by `plural` of settings.tsv."""
        form = category(self.language.settings["plural"], number)
        return self.text(f"{key}.{form}", n=measures.count(number, self.style))

    def join(self, kind: str, texts: Iterable[str]) -> str:
        """Texts in a row, empty ones left out: `comma` gives "a, b, c", by the pattern pair.comma."""
        return joined(self.page, kind, texts)

    def date(self, text: str) -> str:
        """A day as the language writes it, `4. März 2026` (Unicode CLDR, the long form); what is no day (ISO 8601) as it stands."""
        from datetime import date

        from babel import Locale, UnknownLocaleError
        from babel.dates import format_date

        try:
            return format_date(date.fromisoformat(text.strip()), "long", locale=Locale.parse(self.language.tag, sep="-"))
        except (ValueError, UnknownLocaleError):
            return text

    def optional(self, key: str, otherwise: str = "", /, **values: object) -> str:
        """The same as `text`, for keys that a table need not have."""
        return self.text(key, **values) if key in self.page else otherwise


def words(edition: Edition, language: Language, page: dict[str, str], source_tag: str) -> Words:
    """Bring together what an edition speaks with."""
    page = {**page, **{key: capital(word) for key, word in page_changes(language).items() if key in page}}
    style = measures.Style(edition.units, language.settings.get("decimal", "."), page, territory(edition.market).first)
    same = language.tag.split("-")[0] == source_tag.split("-")[0]
    return Words(language, page, style, edition.left_handed, same, edition.symbols, "" if same else source_tag)


def quotes(language: Language) -> tuple[str, str]:
    """The opening and the closing sign, with the spaces that belong inside them."""
    opening, _, closing = language.settings["quotes"].partition(" ")
    return opening, closing


def typeset(text: str) -> str:
    """A typewriter's apostrophe becomes that of a book: "l'anneau", "don't"."""
    return APOSTROPHE.sub("’", text)


def capital(text: str) -> str:
    """With a capital first letter, the rest as it is."""
    return text[:1].upper() + text[1:]
