"""What a check of figures may look at, and the questions that several of them ask; nothing is judged here."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from booklet.diagnostics.span import START, Span
from booklet.figures.components import names
from booklet.figures.figures import Figures
from booklet.figures.steps import Told, part_named, sentences
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

    def prepared(self) -> FigureSubject:
        """The same with its sentences picked out."""
        return self if self.told else self._replace(told=sentences(self.pattern, self.graph))

    def host(self, one: Told) -> int | None:
        """The part that a sentence puts something on: the one it names, else the one it stands in."""
        for slot in ("on", "onto"):
            named = one.step.value(slot)
            if named:
                return part_named(named, self.graph)
        return one.part if one.part is not None and one.part < len(self.graph.parts) else None

    def notion(self, words: object) -> Notion | None:
        """The notion that the words of a sentence mean."""
        if not isinstance(words, str) or not words:
            return None
        return next((notion for notion in self.pattern.notions if names(words, notion)), None)

    def field_span(self, *keys: str) -> Span:
        """Where the first of these head entries stands, the start of the file if none is there."""
        return next((self.pattern.fields[key].span for key in keys if key in self.pattern.fields), START)

    def openings(self, part: int) -> Iterator[tuple[Told, int | None]]:
        """The sentences of a part with the stitches of the opening at that moment: None if it is not closing (yet),
        0 once it was closed.
        """
        found = self.graph.parts[part]
        totals = [found.total(r) for r in range(1, found.rounds + 1)]
        shut = False
        for one in self.told:
            if one.part != part:
                continue
            shut = shut or one.step.name in ("close", "close_flat")
            here = totals[one.done - 1] if one.done else 0
            closing = one.done and here < max(totals[: one.done]) and here >= max(totals[one.done - 1 :])
            yield one, 0 if shut else here if closing else None
