"""Placements in, those whose distance does not fit into their round out; rounds that do not exist are found with the references.

Bad, where Rnd 5 has 18 stitches:   Place the safety eyes between Rnds 5 and 6, 20 sts between them.
Good:                               Place the safety eyes between Rnds 5 and 6, 5 sts between them.
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.figures.steps import number, places

CODES = ("placement-outside",)


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning where the named stitches are more than the round has."""
    known: dict[int, dict[str, int]] = {}
    for one in subject.told:
        host = one.host
        if host is None:
            continue
        part = subject.graph.parts[host]
        label = next((one.step.value(slot) for slot in ("a", "round") if one.step.value(slot) is not None), None)
        if host not in known:
            known[host] = places(part)
        place = known[host].get(str(label)) if label is not None else None
        if place is None:
            continue
        total = part.total(place)
        # Two things with n stitches between them need a stitch on either side.
        apart, last = number(one.step.value("apart")), number(one.step.value("q"))
        if apart is not None and apart + 2 > total:
            wanted, variant = apart, ""
        elif last is not None and last > total:
            wanted, variant = last, "stitch"
        else:
            continue
        yield diagnostic(
            "placement-outside",
            one.step.span,
            part=part.name,
            round=str(label),
            help=variant,
            wanted=wanted,
            total=total,
            label=str(label),
            host=part.name,
        )
