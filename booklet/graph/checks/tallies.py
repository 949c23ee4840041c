"""Lines with a range and a number of rounds in, those where the two differ out.

Bad:    Rnds 4-9: sc around (18) (5 rounds)
Good:   Rnds 4-9: sc around (18) (6 rounds)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Subject, nodes
from booklet.notation.tree import Act

CODES = ("tally-differs",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A warning: either number may be the right one."""
    for line in subject.lines():
        instruction = line.settled.instruction
        if instruction is None or len(line.settled.numbers) < 2:
            continue
        for node, _ in nodes(instruction):
            if isinstance(node, Act) and node.kind == "tally" and node.n != line.settled.rounds and isinstance(node.n, int):
                yield diagnostic(
                    "tally-differs",
                    node.span,
                    part=line.section.title,
                    round=line.number,
                    label=line.label,
                    rounds=line.settled.rounds,
                    tally=node.n,
                )
                break
