"""Parts that are sewn on in, those whose yarn is cut without a tail of a stated length out.

Bad:    Fasten off. … Sew the Cap to the Nut, over Rnds 1 to 3.
Good:   Fasten off, leaving a 55 cm tail. … Sew the Cap to the Nut, over Rnds 1 to 3.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject

CODES = ("tail-missing",)

# Published rule: four times the seam (hobby lesson on potholders); 15 cm more to begin and to weave in.
TIMES_SEAM = 4
MORE_MM = 150


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning at the sentence that cuts the yarn. A tail on either of the two parts is enough."""
    reported = set()
    for one in subject.told:
        if one.step.name not in ("sew", "sew.stitches"):
            continue
        what, onto = one.what, one.onto
        if what is None or what in reported or _has_tail(subject, what) or (onto is not None and _has_tail(subject, onto)):
            continue
        cut = subject.of_part(what, "fasten_off")
        if not cut:
            continue  # it is not cut at all, or in the designer's own words
        reported.add(what)
        name = subject.graph.parts[what].name
        yield diagnostic("tail-missing", cut[-1].step.span, part=name, host=name, cm=_length_cm(subject, what))


def _has_tail(subject: FigureSubject, part: int) -> bool:
    return any(one.step.value("tail_mm") for one in subject.of_part(part, "fasten_off"))


def _length_cm(subject: FigureSubject, part: int) -> int:
    """A tail that is long enough, rounded up to 5 cm."""
    found = subject.graph.parts[part]
    stitches = found.total(found.rounds) if found.rounds else 0
    if subject.of_part(part, "close_flat"):
        stitches = (stitches + 1) // 2
    seam = stitches * subject.figures.gauge.stitch_mm
    return 5 * ceil((TIMES_SEAM * seam + MORE_MM) / 50)
