"""The gauge in, one that fabric hardly has, or that had to be guessed, out.

Bad:    gauge: 24 sc x 12 rnds = 10 cm
Good:   gauge: 24 sc x 26 rnds = 10 cm
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject

CODES = ("gauge-doubtful", "gauge-missing")

# Fourteen published gauges of dense single crochet: a round is .74 to 1.00 of a stitch high; a stitch is 1.13 to 1.59 hooks
# wide (velvet 2.8).
ROUND = (0.70, 1.15)
HOOK = (1.05, 1.75)


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """Notes: velvet and loose fabric are made on purpose."""
    used, stated = subject.figures.gauge, subject.pattern.gauge
    if used.basis != "gauge":
        if any(part.stitches for part in subject.figures.parts):
            span = subject.field_span("gauge", "hook")
            yield diagnostic("gauge-missing", span, help=used.basis, stitch=round(used.stitch_mm, 1))
        return
    if stated is None:
        return  # a disc or a motif, which cannot tell height from width
    if stated.rounds and not ROUND[0] <= (ratio := used.round_mm / used.stitch_mm) <= ROUND[1]:
        yield diagnostic("gauge-doubtful", stated.span, help="round", ratio=round(ratio, 2), of="as high as it is wide")
    hook = subject.pattern.hook_mm
    if hook and stated.stitch == "single_crochet" and not HOOK[0] <= (ratio := used.stitch_mm / hook) <= HOOK[1]:
        yield diagnostic("gauge-doubtful", stated.span, help="hook", ratio=round(ratio, 2), of="as wide as the hook")
