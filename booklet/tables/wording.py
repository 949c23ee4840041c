"""shared/wording.tsv in, words beside the stitches that one English has for another's out; no text is changed here."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from booklet.tables.language import Language
from booklet.tables.reader import TableFault, rows

FILE = "wording.tsv"
KINDS = ("term", "spelling", "market")
SIDES = ("US", "UK")


class Wording(NamedTuple):
    """One row."""

    kind: str  # term, spelling, market
    words: dict[str, str]  # side -> its word
    page: str  # the key of the page word that it is, or ""


@cache
def wordings() -> tuple[Wording, ...]:
    """All rows, longer words first."""
    found = []
    for row in rows(FILE):
        cell = row.cells
        if cell["kind"] not in KINDS or not cell["US"] or not cell["UK"] or cell["US"] == cell["UK"]:
            raise TableFault(row.file, row.line, f"a row has one of {', '.join(KINDS)} and two words that differ")
        found.append(Wording(cell["kind"], {side: cell[side] for side in SIDES}, cell["page"]))
    return tuple(sorted(found, key=lambda one: -max(map(len, one.words.values()))))


def side(kind: str, language: Language) -> str:
    """Which column a language and its terms take for a kind of row; "" for a language that is no English."""
    if not language.terms:
        return ""
    return language.terms if kind == "term" else language.settings.get("terms", "")


def changes(source: Language, target: Language) -> dict[str, str]:
    """A word of the source, in small letters -> what the target says instead."""
    found: dict[str, str] = {}
    for one in wordings():
        mine, theirs = side(one.kind, source), side(one.kind, target)
        if mine in SIDES and theirs in SIDES and mine != theirs:
            found.setdefault(one.words[mine].casefold(), one.words[theirs])
    return found


def page_changes(language: Language) -> dict[str, str]:
    """Page words of an edition whose terms are not those of its language: `gauge` in US terms, in British spelling."""
    usual = language.settings.get("terms", "")
    if not language.terms or language.terms == usual:
        return {}
    return {one.page: one.words[language.terms] for one in wordings() if one.page and one.kind == "term" and language.terms in SIDES}
