"""Eyes and noses of the notions in, those whose number is not what is placed, or that have no size, out.

Bad:    - 2 safety eyes, 6 mm … Place 3 safety eyes between Rnds 5 and 6.
Good:   - 2 safety eyes, 6 mm … Place the safety eyes between Rnds 5 and 6, 5 sts between them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.figures.components import PLACING, used
from booklet.figures.steps import Told, number
from booklet.pattern.model import Notion
from booklet.tables.safety import notion_kind

CODES = ("eyes-count", "eyes-size-missing")


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning at the notion for a number that differs, a note for a size that is missing."""
    for notion in subject.pattern.notions:
        kind = notion_kind(notion.name or notion.text)
        if kind is None or kind.attached != "locked" or not used(notion, subject.pattern, subject.graph, subject.told):
            continue
        if notion.size_mm is None and not notion.dimensions:
            yield diagnostic("eyes-size-missing", notion.span, name=notion.name)
        placings = [one for one in subject.told if one.step.name in PLACING and _is(subject, one, notion)]
        placed = [_placed(subject, one) for one in placings]
        if notion.count is None or not placed or None in placed:
            continue
        total = sum(count or 0 for count in placed)
        if total != notion.count:
            yield diagnostic("eyes-count", notion.span, name=notion.name, count=notion.count, placed=total)


def _is(subject: FigureSubject, one: Told, notion: Notion) -> bool:
    return subject.notion(one.step.value("what")) is notion


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
    host = subject.host(one)
    return None if stated is None else stated * (subject.graph.parts[host].make if host is not None else 1)
