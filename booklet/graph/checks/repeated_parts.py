"""Parts in, those that bear the same name as an earlier one out.

Bad:    ## Ear      …      ## Ear
Good:   ## Ear (make 2)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Subject

CODES = ("part-repeated",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A warning: a sentence that sews "the Ear" could mean either of them."""
    seen: dict[str, int] = {}
    for section in subject.pattern.parts:
        name = " ".join(section.title.casefold().split())
        if name in seen:
            yield diagnostic("part-repeated", section.span, part=section.title, title=section.title, line=seen[name])
        seen.setdefault(name, section.span.line)
