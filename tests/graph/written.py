"""Parts from plain lines, for tests of the graph: no head, no Markdown, lines only."""

from __future__ import annotations

from booklet.diagnostics.span import START, Span
from booklet.graph.build import Built, build
from booklet.graph.graph import Settled
from booklet.graph.settle import settle
from booklet.notation.read import read_pattern
from booklet.pattern.model import Pattern, Section, Step, Yarn
from booklet.source.tree import Piece
from booklet.tables.language import load

Values = tuple[tuple[str, str | int | float], ...]


def section(title: str, *lines: str | tuple[str, Values], make: int = 1, first_line: int = 1) -> Section:
    """A part: a string is an instruction line, a pair (name, values) a standard sentence."""
    steps = []
    for at, line in enumerate(lines):
        number = first_line + at
        if isinstance(line, str):
            piece = Piece(line, number, 1)
            steps.append(Step("line", Span(number, 1, number, len(line) + 1), (piece,), at))
        else:
            steps.append(Step("sentence", Span(number, 1, number, 2), (), at, line[0], line[1]))
    return Section("part", title, START, tuple(steps), make)


def pattern(*parts: Section, yarns: str = "AB", sizes: tuple[str, ...] = ()) -> Pattern:
    """A pattern of parts."""
    return Pattern("test.md", "Test", "en-US", "US", {}, tuple(Yarn(code, START) for code in yarns), (), None, None, parts, sizes=sizes)


def settled(*lines: str, have: str = "") -> tuple[Settled, ...]:
    """Settle the lines of one part; `have` is a line before them that makes the places."""
    whole = pattern(section("Part", *([have] if have else []), *lines))
    found = settle(whole, read_pattern(whole, load("en-US")))
    return found[1:] if have else found


def built(whole: Pattern, size: int = 0) -> Built:
    """Read, settle and build."""
    candidates = read_pattern(whole, load("en-US"))
    return build(whole, settle(whole, candidates, size), size)
