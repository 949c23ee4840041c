"""Lines and terms in, words of the other term system out.

Bad, in a pattern with `terms: US`:   Rnd 4: (2 htr, inc) x 6 (24)
Good:                                 Rnd 4: (2 hdc, inc) x 6 (24)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.graph.checks._failures import cause, failed, other_terms
from booklet.graph.checks._subject import Subject
from booklet.tables.language import fold, load

CODES = ("terms-mixed",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """An error at the foreign word. A reader cannot know which of the two systems is the slip."""
    for line in subject.lines():
        found = cause(subject, line) if failed(line) else None
        if found is None or found.kind != "terms":
            continue
        other = other_terms(subject.language, found.word)
        stitch = load(subject.language.tag, other).words[fold(found.word)][1]
        ours = subject.language.names.get(stitch)
        yield diagnostic(
            "terms-mixed",
            found.span,
            edits=(Edit(found.span, ours.abbr),) if ours else (),
            part=line.section.title,
            round=line.number,
            help="" if ours else "unnamed",
            word=found.word,
            other=other,
            terms=subject.language.terms,
            ours=ours.abbr if ours else "",
        )
