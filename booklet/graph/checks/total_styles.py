"""Lines in, a pattern that writes its totals in several ways out; the booklet prints one.

Noted:   Rnd 1: … (6)      Rnd 2: … [12]      Rnd 3: … = 18
Good:    Rnd 1: … (6)      Rnd 2: … (12)      Rnd 3: … (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.graph.checks._styles import Total, marked, total_mark, totals, unmarked
from booklet.graph.checks._subject import Subject

CODES = ("total-styles-mixed",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """One note a pattern, at the first total that is written otherwise than the first; the mend is at all that are fewer."""
    written = totals(subject)
    other = next((total for total in written if total.mark != written[0].mark), None)
    if other is None:
        return
    instruction = other.line.settled.instruction
    yield diagnostic(
        "total-styles-mixed",
        (instruction.stated_span if instruction else None) or other.line.span,
        edits=_edits(subject, written),
        part=other.line.section.title,
        round=other.line.number,
        label=other.line.label,
        first=written[0].line.label,
    )


def _edits(subject: Subject, written: list[Total]) -> tuple[Edit, ...]:
    mark = total_mark(subject, written)
    found = []
    for total in written:
        instruction = total.line.settled.instruction
        inner = unmarked(total.text) if mark and total.mark != mark else ""
        if inner and instruction is not None and instruction.stated_span is not None:
            found.append(Edit(instruction.stated_span, marked(inner, mark)))
    return tuple(found)
