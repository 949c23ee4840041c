"""The gauge in, one that fabric hardly has, that lacks something, or that had to be guessed, out.

Bad:    gauge: 24 sc x 12 rnds = 10 cm
Good:   gauge: 24 sc x 26 rnds = 10 cm
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.figures.steps import bare
from booklet.tables.language import fold

CODES = ("gauge-doubtful", "gauge-missing", "gauge-incomplete", "gauge-name-unknown")

KINDS = ("by rounds", "before blocking", "after blocking")
# Fourteen published gauges of dense single crochet: a round is .74 to 1.00 of a stitch high; a stitch is 1.13 to 1.59 hooks
# wide (velvet 2.8).
ROUND = (0.70, 1.15)
HOOK = (1.05, 1.75)
YARN = (5.0, 8.5)  # yarn of a stitch in stitch widths: ten measured values are 6.3 ± .9


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """Notes: velvet and loose fabric are made on purpose."""
    yield from _names(subject)
    used, stated = subject.figures.gauge, subject.pattern.gauge
    if subject.pattern.unravelled_mm and used.basis == "gauge" and not YARN[0] <= (ratio := used.path / used.stitch_mm) <= YARN[1]:
        span = subject.field_span("unravelled")
        yield diagnostic("gauge-doubtful", span, help="yarn", ratio=round(ratio, 1), of="as long in yarn as it is wide")
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
    if not stated.rounds:
        yield diagnostic("gauge-incomplete", stated.span, help="rounds", missing="how many rounds", height=round(used.round_mm, 1))
    elif not hook:
        yield diagnostic("gauge-incomplete", stated.span, help="hook", missing="the hook", height=round(used.round_mm, 1))


def _names(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A gauge or hook that is given by name has to name a part or a size."""
    pattern = subject.pattern
    known = {fold(name) for name in (*pattern.sizes, *(part.title for part in pattern.parts))} | set(KINDS)
    known |= {bare(name) for name in known}
    hook = subject.field_span("hook")
    for name, span in (*((name, one.span) for name, one in pattern.gauges), *((name, hook) for name, _ in pattern.hooks)):
        if name not in known and bare(name) not in known:
            yield diagnostic("gauge-name-unknown", span, name=name)
