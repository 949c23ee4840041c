"""Starting chains in, parts where the same chain counts in one round and not in the other out.

Bad:    Rnd 2: ch 2 (counts as hdc), …     Rnd 3: ch 2 (does not count as st), …
Good:   the same in both
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Line, Subject, nodes
from booklet.notation.tree import Act, Number

CODES = ("chain-counting-mixed",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A warning at the first round that does otherwise than the one before with a chain of the same length."""
    for section, lines in subject.parts():
        first: dict[Number, tuple[Line, bool]] = {}
        for line in lines:
            chain = _chain(line)
            if chain is None or chain.counts is None:
                continue
            other, counted = first.setdefault(chain.n, (line, chain.counts))
            if counted != chain.counts:
                yield diagnostic(
                    "chain-counting-mixed",
                    chain.span,
                    part=section.title,
                    round=line.number,
                    help="counts" if chain.counts else "",
                    label=line.label,
                    other=other.label,
                    chains=chain.n if isinstance(chain.n, int) else chain.n[0],
                )
                break


def _chain(line: Line) -> Act | None:
    if line.settled.instruction is None:
        return None
    found = (node for node, _ in nodes(line.settled.instruction))
    return next((node for node in found if isinstance(node, Act) and node.kind == "start_chain"), None)
