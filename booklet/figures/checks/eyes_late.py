"""Placings of eyes and noses with washers in, those that are told when a hand cannot reach inside any more out.

Bad:    Rnd 9: dec x 6 (6) … Place the safety eyes between Rnds 5 and 6.
Good:   Place the safety eyes between Rnds 5 and 6. … Rnd 8: (sc, dec) x 6 (12)
"""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.figures.components import PLACING
from booklet.figures.steps import Told
from booklet.tables.safety import notion_kind

CODES = ("eyes-too-late",)

# Editors ask for eyes before a round count of about 12 to 18 (trade checklist); the opening must let the washer's tool pass.
FEWEST = 12
ACROSS = 2.0  # diameter of the opening in diameters of the eye; a rule of thumb, no source


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning at the sentence."""
    openings = {id(one.step): left for part in range(len(subject.graph.parts)) for one, left in subject.openings(part)}
    for one in subject.told:
        kind = notion_kind(str(one.step.value("what", ""))) if one.step.name in PLACING else None
        host = one.host
        if kind is None or kind.attached != "locked" or host is None:
            continue
        left = openings.get(id(one.step)) if one.part == host else _at_end(subject, host)
        if left is None:
            continue
        notion = subject.notion(one.step.value("what"))
        size = notion.size_mm or dict(notion.dimensions).get("diameter", 0.0) if notion is not None else 0.0
        if left < FEWEST or left * subject.figures.gauge.stitch_mm / pi < ACROSS * size:
            yield _late(subject, one, host, left)


def _at_end(subject: FigureSubject, host: int) -> int | None:
    """The opening of a finished part: None if it is as wide as the part."""
    part, shape = subject.graph.parts[host], subject.figures.parts[host].shape
    if not part.rounds:
        return None
    if shape.endswith("closed"):
        return 0
    last = part.total(part.rounds)
    return last if last < max(part.total(r) for r in range(1, part.rounds + 1)) else None


def _late(subject: FigureSubject, one: Told, host: int, left: int) -> Diagnostic:
    return diagnostic(
        "eyes-too-late",
        one.step.span,
        part=subject.graph.parts[host].name,
        help="closed" if left == 0 else "",
        what=str(one.step.value("what", "")),
        host=subject.graph.parts[host].name,
        left=left,
    )
