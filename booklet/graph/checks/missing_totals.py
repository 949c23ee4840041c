"""Settled lines in, those that change the count and print no total out.

Bad, from 12 stitches:   Rnd 3: (sc, inc) x 6
Good:                    Rnd 3: (sc, inc) x 6 (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.graph.checks._styles import CLOSERS, new_total
from booklet.graph.checks._subject import Line, Subject
from booklet.notation.tree import Act

CODES = ("total-missing",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A note with the total to write. Rounds that keep the count need none."""
    form = ""
    for line in subject.lines():
        settled = line.settled
        if settled.kind == "start" or settled.stated is not None or settled.total is None or settled.fault or settled.given:
            continue
        if settled.total == settled.available or not settled.total:
            continue
        form = form or new_total(subject)
        yield diagnostic(
            "total-missing",
            line.span,
            edits=_edit(subject, line, form.replace("{n}", str(settled.total))),
            part=line.section.title,
            round=line.number,
            label=line.label,
            computed=settled.total,
        )


def _edit(subject: Subject, line: Line, total: str) -> tuple[Edit, ...]:
    """Written behind the instruction, and before a remark, in the style of the other totals; only where nothing else follows.

    A pattern in several sizes needs a number for each of them, and a line with a lonely bracket is mended there first.
    """
    instruction = line.settled.instruction
    if instruction is None or len(subject.pattern.sizes) > 1:
        return ()
    rest, row, column = subject.rest_of_row(instruction.body)
    words = " ".join(piece.text for piece in line.step.pieces)
    if rest.strip(" .") or any(words.count(sign) != words.count(closer) for sign, closer in CLOSERS.items()):
        return ()
    last = instruction.items[-1] if instruction.items else None
    if isinstance(last, Act) and last.kind == "note":
        row = last.span.line
        before = subject.rows[row - 1][: last.span.column - 1].rstrip(" .;,–—-") if row <= len(subject.rows) else ""
        column = len(before) + 1
        if not before.strip() or row != instruction.body.line:
            return ()
    return (Edit(Span(row, column, row, column), f" {total}"),)
