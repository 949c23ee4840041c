"""Settled lines in, those that take more or fewer stitches than there are out; totals are proved in `totals`.

Bad, from 18 stitches:   Rnd 6: (4 sc, dec) x 6 (15)     takes 36
Good:                    Rnd 6: (4 sc, dec) x 3 (15)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._mends import mend
from booklet.graph.checks._subject import Subject

CODES = ("round-does-not-close",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """One finding a line. The mend is the first number that closes the line: the instruction before the total."""
    for line in subject.lines():
        settled = line.settled
        if settled.fault != "does-not-close":
            continue
        available, consumed = settled.available or 0, settled.consumed or 0
        kind, number = settled.fits[0] if settled.fits else ("", 0)
        side = "missing" if consumed > available else "left"
        yield diagnostic(
            "round-does-not-close",
            settled.instruction.body if settled.instruction else line.span,
            edits=mend(subject, line, kind, number) if kind else (),
            part=line.section.title,
            round=line.number,
            help=f"{side}-{kind}" if kind else side,
            label=line.label,
            available=available,
            consumed=consumed,
            difference=abs(consumed - available),
            fit=number,
        )
