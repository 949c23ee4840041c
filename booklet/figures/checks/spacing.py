"""Placements in, eyes that are too large or unusually far apart, and edges that do not fit their place, out.

Bad:    2 safety eyes, 12 mm … between Rnds 4 and 5, 2 sts between them.
Good:   2 safety eyes, 6 mm … between Rnds 4 and 5, 5 sts between them.
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.diagnostics.span import START, Span
from booklet.figures.checks.subject import FigureSubject
from booklet.figures.components import PLACING
from booklet.figures.figures import Placement
from booklet.figures.steps import Told
from booklet.tables.safety import notion_kind

CODES = ("eyes-spacing", "part-does-not-fit")

USUAL = (36, 78)  # degrees between two eyes: eleven published toys have .11 to .21 of the round (40 to 76), and a little room


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """Notes for eyes, a warning for a part: an edge that is far too long or too short cannot be sewn as told."""
    told: dict[int, Told] = {}
    for one in subject.told:
        told.setdefault(one.step.span.line, one)
    for place in subject.figures.placements:
        one = told.get(place.line)
        if place.fits == "part":
            yield _part(subject, place, one)
        elif place.degrees is not None and place.fits != "round" and _is_eye(place, one):
            if place.fits == "eye":
                yield _eyes(subject, place, one, "large")
            elif not USUAL[0] <= place.degrees <= USUAL[1]:
                yield _eyes(subject, place, one, "wide" if place.degrees > USUAL[1] else "near")


def _is_eye(place: Placement, one: Told | None) -> bool:
    if one is None or one.step.name not in (*PLACING, "embroider.between"):
        return False
    kind = notion_kind(place.what)
    return kind is not None and kind.kind.endswith("eye")


def _eyes(subject: FigureSubject, place: Placement, one: Told | None, variant: str) -> Diagnostic:
    return diagnostic(
        "eyes-spacing",
        _span(one),
        part=subject.graph.parts[place.host].name,
        help=variant,
        what=place.what,
        apart=place.apart or 0,
        total=place.total,
        arc=round(place.arc_mm or 0),
        degrees=round(place.degrees or 0),
    )


def _part(subject: FigureSubject, place: Placement, one: Told | None) -> Diagnostic:
    part = subject.graph.parts[one.what] if one is not None and one.what is not None else None
    return diagnostic(
        "part-does-not-fit",
        _span(one),
        part=subject.graph.parts[place.host].name,
        what=place.what,
        edge=part.total(part.rounds) if part is not None and part.rounds else 0,
        host=subject.graph.parts[place.host].name,
        first=str(one.step.value("a")) if one is not None else "",
        last=str(one.step.value("b")) if one is not None else "",
    )


def _span(one: Told | None) -> Span:
    return one.step.span if one is not None else START
