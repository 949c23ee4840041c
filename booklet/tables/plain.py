"""How a language tells a round in plain words: plain.tsv in, forms by key out; what is told is decided by notation/plain.

A cell has one form, or one for each plural category of the language, parted by ` | ` in the order of `plural` in settings.tsv.
A key with a number behind it (`place.next.1`) is for that number alone.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from booklet.tables.lineage import holder, pairs_of
from booklet.tables.plurals import categories, category
from booklet.tables.reader import TableFault

SLOT = re.compile(r"\{(\w+)\}")
VERB = "verb."
PLACES_OF_VERB = ("first", "last", "all")  # of several clauses with one verb, which of them print it


@dataclass(frozen=True, slots=True)
class PlainForms:
    """The forms of one language."""

    forms: Mapping[str, tuple[str, ...]]  # key -> one form, or one a plural category
    verbs: Mapping[str, tuple[str, ...]]  # name -> in the middle of a sentence, at its end, at the end of a bracket
    printed: str  # where a row of clauses prints the verb `work`: one of PLACES_OF_VERB
    plural: str  # the plural rules

    def has(self, key: str) -> bool:
        """Does the table say this?"""
        return key in self.forms

    def form(self, key: str, by: int = 0) -> str:
        """The form of a key for a number, its slots still open."""
        found = self.forms.get(f"{key}.{by}") or self.forms[key]
        return found[0] if len(found) == 1 else found[categories(self.plural).index(category(self.plural, by))]


@cache
def plain_forms(tag: str, plural: str) -> PlainForms:
    """The table of a language. FileNotFoundError where neither it nor its base has one; TableFault for a row that cannot be used."""
    forms: dict[str, tuple[str, ...]] = {}
    verbs: dict[str, tuple[str, ...]] = {}
    printed = "first"
    for key, cell in pairs_of(tag, "plain.tsv").items():
        found = tuple(cell.split(" | "))
        if key == "verbs":
            printed = cell
        elif key.startswith(VERB):
            verbs[key.removeprefix(VERB)] = (*found, *found[-1:] * (3 - len(found)))
            if len(found) > 3:
                raise _fault(tag, key, f"{len(found)} forms of a verb, but there are three places for one")
        elif len(found) not in (1, len(categories(plural))):
            raise _fault(tag, key, f"{len(found)} forms, but the language has {len(categories(plural))} plural categories")
        else:
            forms[key] = found
    if printed not in PLACES_OF_VERB:
        raise _fault(tag, "verbs", f"{printed!r} is none of {', '.join(PLACES_OF_VERB)}")
    return PlainForms(forms, verbs, printed, plural)


def _fault(tag: str, key: str, what: str) -> TableFault:
    return TableFault(f"languages/{holder(tag, 'plain.tsv')}/plain.tsv", 1, f"{key}: {what}")
