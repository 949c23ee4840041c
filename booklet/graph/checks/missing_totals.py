"""Settled lines in, those that change the count and print no total out.

Bad, from 12 stitches:   Rnd 3: (sc, inc) x 6
Good:                    Rnd 3: (sc, inc) x 6 (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.graph.checks._subject import Line, Subject

CODES = ("total-missing",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A note with the total to write. Rounds that keep the count need none."""
    for line in subject.lines():
        settled = line.settled
        if settled.kind == "start" or settled.stated is not None or settled.total is None or settled.fault or settled.given:
            continue
        if settled.total == settled.available or not settled.total:
            continue
        yield diagnostic(
            "total-missing",
            line.span,
            edits=_edit(subject, line, settled.total),
            part=line.section.title,
            round=line.number,
            label=line.label,
            computed=settled.total,
        )


def _edit(subject: Subject, line: Line, total: int) -> tuple[Edit, ...]:
    """Written after the instruction as the language writes totals, only where nothing follows on the line."""
    instruction = line.settled.instruction
    if instruction is None:
        return ()
    rest, row, column = subject.rest_of_row(instruction.body)
    if rest.strip(" ."):
        return ()
    text = " " + subject.language.writing["total"].replace("{n}", str(total))
    return (Edit(Span(row, column, row, column), text),)
