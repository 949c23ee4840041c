"""The designer's own stitches in, those that are never worked or take a known name out.

Bad:    curl (cu): ch 6, 2 sc in each ch.      and no round with cu
Good:   curl (cu): …                           Rnd 9: (2 sc, cu) x 6
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Subject
from booklet.tables.language import fold

CODES = ("stitch-unused", "stitch-renamed")


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A warning for a stitch that no round works; a note for an abbreviation that has a meaning of its own already."""
    words = " ".join(
        step.text
        for section in subject.pattern.sections
        if section.role != "stitches"
        for step in section.steps
    )  # fmt: skip
    for name, abbreviation, _, span in subject.pattern.own_stitches:
        forms = [form for form in (name, abbreviation) if form]
        if not any(re.search(rf"(?<![^\W\d_]){re.escape(form)}", words, re.IGNORECASE) for form in forms):
            yield diagnostic("stitch-unused", span, name=name)
        role, stitch = subject.language.words.get(fold(abbreviation), ("", "")) if abbreviation else ("", "")
        if role == "stitch" and stitch in subject.language.names and fold(subject.language.names[stitch].term) != fold(name):
            yield diagnostic(
                "stitch-renamed", span, name=name, abbreviation=abbreviation, known=subject.language.names[stitch].term
            )
