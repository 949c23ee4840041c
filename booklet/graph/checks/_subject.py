"""What a check may look at, and the questions that several checks ask of it; nothing is judged here."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from booklet.diagnostics.span import Span
from booklet.graph.graph import Graph, Settled
from booklet.notation.tree import Candidates, Group, Instruction, Node
from booklet.pattern.model import Pattern, Section, Step
from booklet.source.tree import Source
from booklet.tables.language import Language


class Line(NamedTuple):
    """One instruction line with where it stands."""

    section: Section  # its part
    step: Step
    settled: Settled
    candidates: Candidates

    @property
    def span(self) -> Span:
        """The line from its label to its end."""
        return self.settled.instruction.span if self.settled.instruction else self.step.span

    @property
    def label(self) -> str:
        """Its label as typed, "line 12" where it has none."""
        return self.settled.label or f"line {self.settled.line}"

    @property
    def number(self) -> str | None:
        """Its round, such as "3" or "4-7"; None where the line has no number."""
        numbers = self.settled.numbers
        if not numbers:
            return None
        return str(numbers[0]) if len(numbers) == 1 else f"{numbers[0]}-{numbers[-1]}"


_NOTHING = Candidates(())


class Subject(NamedTuple):
    """One pattern, read and settled for one size and one set of choices."""

    source: Source
    pattern: Pattern
    language: Language
    candidates: dict[tuple[int, int], Candidates]
    graph: Graph
    rows: tuple[str, ...] = ()  # the lines of the file
    read: tuple[tuple[Line, ...], ...] = ()  # the instruction lines of each part

    def prepared(self) -> Subject:
        """The same with its lines cut apart, once for all checks."""
        if self.rows:
            return self
        sections = self.pattern.parts
        found: list[list[Line]] = [[] for _ in sections]
        for settled in self.graph.settled:
            section = sections[settled.part]
            candidates = self.candidates.get((settled.part, settled.step), _NOTHING)
            found[settled.part].append(Line(section, section.steps[settled.step], settled, candidates))
        return self._replace(rows=tuple(re.split("\r\n|\r|\n", self.source.text)), read=tuple(map(tuple, found)))

    def lines(self) -> Iterator[Line]:
        """The instruction lines of all parts, in order."""
        for part in self.read:
            yield from part

    def parts(self) -> Iterator[tuple[Section, tuple[Line, ...]]]:
        """Every part with its lines."""
        return zip(self.pattern.parts, self.read, strict=True)

    def steps(self) -> Iterator[tuple[Section, Step]]:
        """Every step that is made with the graph's choices."""
        chosen = dict(self.graph.choices)
        for section in self.pattern.sections:
            for step in section.steps:
                if all(chosen.get(key, value) == value for key, value in step.choices):
                    yield section, step

    def text(self, span: Span) -> str:
        """The words of a span."""
        if not 1 <= span.line <= span.end_line <= len(self.rows):
            return ""
        if span.line == span.end_line:
            return self.rows[span.line - 1][span.column - 1 : span.end_column - 1]
        first = self.rows[span.line - 1][span.column - 1 :]
        last = self.rows[span.end_line - 1][: span.end_column - 1]
        return "\n".join([first, *self.rows[span.line : span.end_line - 1], last])

    def rest_of_row(self, span: Span) -> tuple[str, int, int]:
        """What stands on the same line of the file after a span: text, line, column of its first character."""
        if not 1 <= span.end_line <= len(self.rows):
            return "", span.end_line, span.end_column
        return self.rows[span.end_line - 1][span.end_column - 1 :], span.end_line, span.end_column


def nodes(instruction: Instruction) -> Iterator[tuple[Node, int]]:
    """Every node of a line in reading order, with its depth (0 outside all repeats)."""
    stack: list[tuple[Node, int]] = [(node, 0) for node in reversed(instruction.items)]
    while stack:
        node, depth = stack.pop()
        yield node, depth
        if isinstance(node, Group):
            stack += [(inner, depth + 1) for inner in reversed(node.items)]
