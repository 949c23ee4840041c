"""What a check of figures may look at, and the questions that several of them ask; nothing is judged here."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import accumulate
from typing import NamedTuple

from booklet.diagnostics.span import START, Span
from booklet.figures.components import listed_keys, said_keys
from booklet.figures.figures import Figures
from booklet.figures.steps import Told, by_part, sentences
from booklet.graph.graph import Graph
from booklet.pattern.model import Notion, Pattern
from booklet.tables.language import Language


class FigureSubject(NamedTuple):
    """One pattern with its figures, for one size and one set of choices."""

    pattern: Pattern
    language: Language
    graph: Graph
    figures: Figures
    told: tuple[Told, ...] = ()  # the sentences that are followed
    about: dict[int, tuple[Told, ...]] | None = None  # the same by part
    notions: dict[str, Notion] | None = None  # by all that they may be called, the first of each

    def prepared(self) -> FigureSubject:
        """The same with its sentences and notions in order."""
        told = sentences(self.pattern, self.graph)
        notions: dict[str, Notion] = {}
        for notion in self.pattern.notions:
            for key in listed_keys(notion):
                notions.setdefault(key, notion)
        return self._replace(told=told, about=by_part(told), notions=notions)

    def notion(self, words: object) -> Notion | None:
        """The notion that the words of a sentence mean."""
        if not isinstance(words, str) or not words or not self.notions:
            return None
        return next((self.notions[key] for key in said_keys(words) if key in self.notions), None)

    def of_part(self, part: int, name: str) -> list[Told]:
        """The sentences of one name that are about a part."""
        return [one for one in (self.about or {}).get(part, ()) if one.step.name == name]

    def field_span(self, *keys: str) -> Span:
        """Where the first of these head entries stands, the start of the file if none is there."""
        return next((self.pattern.fields[key].span for key in keys if key in self.pattern.fields), START)

    def openings(self, part: int) -> Iterator[tuple[Told, int | None]]:
        """The sentences in a part with the stitches of the opening at that moment: None if it is not closing (yet),
        0 once it was closed.
        """
        found = self.graph.parts[part]
        totals = [found.total(r) for r in range(1, found.rounds + 1)]
        widest = list(accumulate(totals, max))  # so far
        to_come = list(accumulate(reversed(totals), max))[::-1]
        shut = False
        for one in (self.about or {}).get(part, ()):
            if one.part != part:
                continue
            shut = shut or one.step.name in ("close", "close_flat")
            here = totals[one.done - 1] if one.done else 0
            closing = one.done and here < widest[one.done - 1] and here >= to_come[one.done - 1]
            yield one, 0 if shut else here if closing else None
