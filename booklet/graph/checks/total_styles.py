"""Lines in, a pattern that writes its totals in several ways out; the booklet prints one.

Noted:   Rnd 1: … (6)      Rnd 2: … [12]      Rnd 3: … = 18
Good:    Rnd 1: … (6)      Rnd 2: … (12)      Rnd 3: … (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Subject

CODES = ("total-styles-mixed",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """One note a pattern, at the first total that is written otherwise than the first."""
    first: tuple[str, str] | None = None
    for line in subject.lines():
        instruction = line.settled.instruction
        if instruction is None or instruction.stated_span is None:
            continue
        mark = subject.text(instruction.stated_span)[:1]
        first = first or (mark, line.label)
        if mark != first[0]:
            yield diagnostic(
                "total-styles-mixed",
                instruction.stated_span,
                part=line.section.title,
                round=line.number,
                label=line.label,
                first=first[1],
            )
            return
