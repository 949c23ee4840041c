"""Lines that stand for several rounds in, those that change the count out.

Bad:    Rnds 4-6: (sc, inc) around (24)       which of the three makes 24?
Good:   Rnds 4-6: sc around (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Subject

CODES = ("range-changes-count",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A warning where every round closes; a range that does not close is an error of its own."""
    for line in subject.lines():
        settled = line.settled
        if settled.rounds < 2 or settled.trees or settled.fault or settled.given or settled.total is None or settled.consumed is None:
            continue
        # Counts are of the last round of the line: a round that keeps the count makes what it takes.
        if settled.consumed and settled.total != settled.consumed and settled.stated_unit is None:
            yield diagnostic(
                "range-changes-count",
                line.span,
                part=line.section.title,
                round=line.number,
                label=line.label,
                rounds=settled.rounds,
                last=settled.total,
                before=settled.consumed,
            )
