"""Settled lines in, parts that begin in nothing and rounds that go back into the ring out.

Bad:    Rnd 1: 6 sc (6)                 Rnd 2: 12 sc in MR (12)
Good:   Rnd 1: 6 sc in MR (6)           Rnd 2: inc x 6 (12)
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Line, Subject, nodes
from booklet.notation.tree import Work

CODES = ("start-missing", "ring-late")


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A note where a start has to be guessed, an error where a later round names the ring again."""
    for section, lines in subject.parts():
        if not lines:
            continue
        first = lines[0]
        if first.settled.given and first.settled.instruction is not None:
            yield diagnostic(
                "start-missing",
                first.span,
                part=section.title,
                round=first.number,
                label=first.label,
                carried=first.settled.carried if first.settled.carried is not None else "",
                help="" if first.settled.carried is not None else "unknown",
            )
        for before, line in pairwise(lines):
            ring = _ring(line)
            if ring is not None and _follows(before, line):
                yield diagnostic(
                    "ring-late", ring.span, part=section.title, round=line.number, label=line.label, before=before.label
                )


def _ring(line: Line) -> Work | None:
    if line.settled.instruction is None:
        return None
    found = (node for node, _ in nodes(line.settled.instruction))
    return next((node for node in found if isinstance(node, Work) and node.target.kind == "ring"), None)


def _follows(before: Line, line: Line) -> bool:
    """Whether the numbers go on: a line that starts again at 1 is a new piece, not a slip."""
    a, b = before.settled, line.settled
    return a.kind != "start" and bool(a.numbers and b.numbers) and b.numbers[0] == a.numbers[-1] + 1
