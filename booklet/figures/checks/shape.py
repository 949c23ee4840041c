"""Growth of the parts in, rounds that cannot lie as they should, and increases that make corners, out.

Bad, in single crochet:   Rnd 1: 8 sc in MR (8), Rnd 2: inc x 8 (16), Rnd 3: (sc, inc) x 8 (24), …
Good:                     Rnd 1: 6 sc in MR (6), Rnd 2: inc x 6 (12), Rnd 3: (sc, inc) x 6 (18), …
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.diagnostics.span import START, Span
from booklet.figures.checks.subject import FigureSubject
from booklet.figures.figures import Growth, PartFigures
from booklet.figures.growth import CUPS, WAVES, flat_increase
from booklet.figures.heights import height_of
from booklet.figures.profile import FLAT_FROM
from booklet.graph.graph import FOREIGN, PartGraph

CODES = ("edge-waves", "edge-cups", "increases-stacked")

DISC_ROUNDS = 4  # from so many rounds that all grow on, an unstuffed piece is meant as a disc; chosen by eye


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """Notes: frills and bowls are made on purpose."""
    for index, (part, figures) in enumerate(zip(subject.graph.parts, subject.figures.parts, strict=True)):
        if figures.uncertain:
            continue
        stuffed = any(one.step.value("amount", "normal") != "none" for one in subject.of_part(index, "stuff"))
        for one in figures.growth:
            mild = one.verdict == "slight wave" and (stuffed or figures.shape.endswith("closed"))
            if one.verdict in WAVES and not mild and not _lace(part, one):
                yield _growth(subject, "edge-waves", part, figures, one)
            elif one.verdict in CUPS and not stuffed and _disc(part, figures) and one.kappa < FLAT_FROM:
                yield _growth(subject, "edge-cups", part, figures, one)
        if figures.stacked is not None:
            first, last = figures.stacked
            yield diagnostic(
                "increases-stacked",
                _span(subject, part, first),
                part=part.name,
                round=part.round_label[first],
                first=part.round_label[first],
                last=part.round_label[last],
                host=part.name,
            )


def _lace(part: PartGraph, one: Growth) -> bool:
    """Is a round of the stretch worked round chains? Petals and arches stand out from the piece: they are meant to."""
    start, parents, counts = part.parent_start, part.parents, part.counts
    return any(
        counts[i] and start[i + 1] - start[i] > 1 and not any(p >= FOREIGN or counts[p] for p in parents[start[i] : start[i + 1]])
        for i in range(part.round_start[one.first], part.round_start[one.last + 1])
    )


def _disc(part: PartGraph, figures: PartFigures) -> bool:
    totals = [one.total for one in figures.rounds]
    grows = all(a < b for a, b in pairwise(totals))
    return grows and len(totals) >= DISC_ROUNDS and not part.foreign and not figures.shape.endswith("closed")


def _growth(subject: FigureSubject, code: str, part: PartGraph, figures: PartFigures, one: Growth) -> Diagnostic:
    gauge = figures.gauge or subject.figures.gauge
    flat = flat_increase(gauge.stitch_mm, gauge.round_mm * height_of(part, one.last))
    label = part.round_label[one.first]
    last = part.round_label[one.last]
    return diagnostic(
        code,
        _span(subject, part, one.first),
        part=part.name,
        round=label if label == last else f"{label}-{last}",
        help="" if one.first < one.last else "one",
        label=label if label == last else f"{label} to {last}",
        host=part.name,
        growth=round(one.kappa, 2),
        flat=round(flat, 1),
    )


def _span(subject: FigureSubject, part: PartGraph, r: int) -> Span:
    """The line of a round."""
    line = part.round_line[r]
    if not 0 <= line < len(subject.graph.settled):
        return START
    settled = subject.graph.settled[line]
    return settled.instruction.span if settled.instruction is not None else START
