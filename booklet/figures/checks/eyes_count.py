"""Eyes and noses of the notions in, those whose number is not what is placed, or that have no size, out.

Bad:    - 2 safety eyes, 6 mm … Place 3 safety eyes between Rnds 5 and 6.
Good:   - 2 safety eyes, 6 mm … Place the safety eyes between Rnds 5 and 6, 5 sts between them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.figures.components import PLACING, Use
from booklet.figures.steps import Told, number
from booklet.tables.safety import notion_kind

CODES = ("eyes-count", "eyes-size-missing")


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning at the notion for a number that differs, a note for a size that is missing."""
    used = Use(subject.pattern, subject.graph)
    placed: dict[int, list[int | None]] = {}
    for one in subject.told:
        notion = subject.notion(one.step.value("what")) if one.step.name in PLACING else None
        if notion is not None:
            placed.setdefault(id(notion), []).append(_placed(subject, one))
    for notion in subject.pattern.notions:
        kind = notion_kind(notion.name or notion.text)
        if kind is None or kind.attached != "locked" or not used(notion):
            continue
        if notion.size_mm is None and not notion.dimensions:
            yield diagnostic("eyes-size-missing", notion.span, name=notion.name)
        counts = placed.get(id(notion), [])
        if notion.count is None or not counts or None in counts:
            continue
        total = sum(count or 0 for count in counts)
        if total != notion.count:
            yield diagnostic("eyes-count", notion.span, name=notion.name, count=notion.count, placed=total)


def _placed(subject: FigureSubject, one: Told) -> int | None:
    """How many one sentence places, on all pieces of its part; None where it does not say."""
    stated = number(one.step.value("count"))
    written = re.match(r"\s*(\d{1,3})\b", str(one.step.value("what", "")))
    if stated is None and written is not None:
        stated = int(written[1])
    if stated is None and one.step.value("apart") is not None:
        stated = 2
    if stated is None and one.step.name == "place.beside":
        stated = 1
    host = one.host
    return None if stated is None else stated * (subject.graph.parts[host].make if host is not None else 1)
