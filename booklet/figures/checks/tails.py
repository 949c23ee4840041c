"""Parts that are sewn on in, those whose yarn is cut without a tail of a stated length, or with too short a one, out.

Bad:    Fasten off. … Sew the Cap to the Nut, over Rnds 1 to 3.
Good:   Fasten off, leaving a 55 cm tail. … Sew the Cap to the Nut, over Rnds 1 to 3.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.figures.tails import LEAST_TIMES, MORE_MM, TIMES_SEAM

CODES = ("tail-missing", "tail-short")

ENOUGH = 0.75  # of the advised tail; a little less still sews


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning at the sentence that cuts the yarn. A tail on either of the two parts is enough."""
    reported = set()
    for one in subject.told:
        if one.step.name not in ("sew", "sew.stitches") or one.what is None or one.what in reported:
            continue
        cut = subject.of_part(one.what, "fasten_off")
        if not cut:
            continue  # it is not cut at all, or in the designer's own words
        figures = subject.figures.parts[one.what]
        host = subject.figures.parts[one.onto] if one.onto is not None else None
        stated = max(figures.tail_stated_mm or 0.0, (host.tail_stated_mm or 0.0) if host is not None else 0.0)
        advised = figures.tail_mm or MORE_MM
        name, long = figures.name, 5 * ceil(advised / 50)
        if not stated:
            reported.add(one.what)
            yield diagnostic("tail-missing", cut[-1].step.span, part=name, host=name, cm=long)
        elif figures.tail_mm and stated < ENOUGH * advised:
            reported.add(one.what)
            seam = (advised - MORE_MM) / TIMES_SEAM
            severity = "warning" if stated < LEAST_TIMES * seam else "note"
            values = {"host": name, "stated": round(stated / 10), "cm": long, "seam": round(seam / 10, 1)}
            yield diagnostic("tail-short", cut[-1].step.span, part=name, severity=severity, **values)
