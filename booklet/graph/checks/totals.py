"""Settled lines in, those whose printed total is not what the words make out; whether the line closes is proved in `closing`.

Bad, from 12 stitches:   Rnd 3: (sc, inc) x 6 (19)     makes 18
Good:                    Rnd 3: (sc, inc) x 6 (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._mends import mend
from booklet.graph.checks._subject import Subject

CODES = ("total-differs",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """One finding a line, at its printed total."""
    for line in subject.lines():
        settled = line.settled
        if settled.fault != "total-differs" or settled.total is None or settled.stated is None:
            continue
        kind, number = settled.fits[0] if settled.fits else ("total", settled.total)
        instruction = settled.instruction
        yield diagnostic(
            "total-differs",
            (instruction.stated_span if instruction else None) or line.span,
            edits=mend(subject, line, kind, number),
            part=line.section.title,
            round=line.number,
            help="" if kind == "total" else kind,
            label=line.label,
            computed=settled.total,
            stated=settled.stated,
            fit=number,
        )
