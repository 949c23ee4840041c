"""Sentences that need something in, what the notions lack out.

Bad:    notions: [yarn needle] … Stuff firmly.
Good:   notions: [stuffing, yarn needle] … Stuff firmly.
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.figures.components import PLACING
from booklet.tables.safety import notion_kind
from booklet.tables.sizes import tools

CODES = ("notion-missing",)


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning for stuffing and for what is placed, a note for tools; once each. Nothing where no notions are listed."""
    if not subject.pattern.notions:
        return
    kinds = {kind.kind for notion in subject.pattern.notions if (kind := notion_kind(notion.name or notion.text)) is not None}
    needs = {sentence: (kind, severity) for sentence, kind, severity in tools()}
    seen = set()
    for one in subject.told:
        kind, severity = needs.get(one.step.name, ("", ""))
        what = str(one.step.value("what", "") or "")
        if one.step.name == "stuff" and one.step.value("amount", "normal") == "none":
            continue
        name = kind
        if one.step.name in PLACING and one.what is None and subject.notion(what) is None:
            found = notion_kind(what)
            if found is None or found.role != "component":
                continue
            kind, severity, name = found.kind, "warning", what
        if kind and kind not in kinds and kind not in seen:
            seen.add(kind)
            part = one.section.title if one.section.role == "part" else None
            yield diagnostic("notion-missing", one.step.span, part=part, severity=severity, name=name)
