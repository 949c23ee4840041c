"""What was understood in, plain values for `--json` out, in the order that the manual promises; nothing is computed here."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Protocol

from booklet.diagnostics import codes
from booklet.diagnostics.diagnostic import Diagnostic, Edit
from booklet.graph.graph import Graph, Settled
from booklet.pattern.model import Pattern
from booklet.reports.frame import in_order

if TYPE_CHECKING:
    from booklet.reports.mending import Mend


class Understood(Protocol):
    """What this file reads of the pipeline's value of the same name."""

    @property
    def pattern(self) -> Pattern:
        """The pattern."""

    @property
    def graph(self) -> Graph:
        """The graph of the first size and the first of each choice."""

    @property
    def variants(self) -> tuple[Graph, ...]:
        """The graphs of the other sizes and choices."""

    @property
    def problems(self) -> tuple[Diagnostic, ...]:
        """Everything found."""


def check_json(understood: Understood) -> dict[str, object]:
    """One file's object of `booklet check --json`."""
    pattern = understood.pattern
    parts = _parts(pattern, understood.graph)
    return {
        "file": pattern.file,
        "title": pattern.title,
        "language": pattern.language,
        "terms": pattern.terms,
        "problems": problems_json(understood.problems),
        "parts": parts,
        "variants": [_variant(pattern, graph, parts) for graph in understood.variants],
    }


def problems_json(problems: Sequence[Diagnostic]) -> list[dict[str, object]]:
    """Findings in the order of the file. `file` is there only where a finding is about another file."""
    found = []
    for problem in in_order(problems):
        span = problem.span
        entry: dict[str, object] = {
            "code": problem.code,
            "severity": codes.severity(problem),
            "line": span.line,
            "column": span.column,
            "end_column": span.end_column,
            "part": problem.part,
            "round": problem.round,
            "message": codes.message(problem),
            "help": codes.help_text(problem),
            "mend": _edits(problem.edits),
        }
        if span.end_line != span.line:
            entry["end_line"] = span.end_line
        if problem.file is not None:
            entry["file"] = problem.file
        found.append(entry)
    return found


def mends_json(mends: Sequence[Mend]) -> list[dict[str, object]]:
    """Mends that were made, or could not be: the finding, and its edits in the text in which they were found."""
    return [
        {"code": mend.problem.code, "line": mend.edits[0].span.line, "part": mend.problem.part, "mend": _edits(mend.edits)}
        for mend in mends
    ]


def _edits(edits: Sequence[Edit]) -> list[dict[str, object]]:
    return [
        {
            "line": edit.span.line,
            "column": edit.span.column,
            "end_line": edit.span.end_line,
            "end_column": edit.span.end_column,
            "text": edit.text,
        }
        for edit in edits
    ]


def _parts(pattern: Pattern, graph: Graph) -> list[dict[str, object]]:
    found = []
    for index, section in enumerate(pattern.parts):
        built = graph.parts[index] if index < len(graph.parts) else None
        found.append(
            {
                "name": section.title,
                "make": section.make,
                "worked": built.worked if built else None,
                "stitches": built.stitches() if built else None,
                "rounds": [_round(line) for line in graph.settled if line.part == index],
            }
        )
    return found


def _round(line: Settled) -> dict[str, object]:
    return {
        "line": line.line,
        "kind": line.kind,
        "label": line.label,
        "first": line.numbers[0] if line.numbers else None,
        "last": line.numbers[-1] if line.numbers else None,
        "available": line.available,
        "consumed": line.consumed,
        "total": line.total,
        "stated": line.stated,
        "stated_unit": line.stated_unit,
        "carried": line.carried,
        "counts": dict(line.counts),
    }


def _variant(pattern: Pattern, graph: Graph, first: list[dict[str, object]]) -> dict[str, object]:
    """A size or set of choices; only the parts that come out otherwise than those of the top level."""
    parts = [part for part, shown in zip(_parts(pattern, graph), first, strict=True) if part != shown]
    return {"size": graph.size or None, "choices": dict(graph.choices), "parts": parts}
