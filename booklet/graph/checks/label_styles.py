"""Labels in, a pattern that writes them in several ways out; the booklet prints one.

Noted:   Rnd 1: …      3rd rnd: …      R4 …
Good:    Rnd 1: …      Rnd 3: …        Rnd 4: …
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Line, Subject

CODES = ("label-styles-mixed",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """One note a pattern, at the first label that is written otherwise than the first of its kind."""
    seen: dict[str, tuple[str, str]] = {}
    for line in subject.lines():
        style = _style(subject, line)
        if not style:
            continue
        first, label = seen.setdefault(line.settled.kind, (style, line.label))
        if style != first:
            yield diagnostic(
                "label-styles-mixed",
                line.span,
                part=line.section.title,
                round=line.number,
                label=line.label,
                first=label,
            )
            return


def _style(subject: Subject, line: Line) -> str:
    """The label with its numbers, its plural and its range taken out, and what parts it from the instruction."""
    if not line.settled.numbers or line.settled.instruction is None:
        return ""
    span, body = line.settled.instruction.span, line.settled.instruction.body
    text = subject.text(span._replace(end_line=body.line, end_column=body.column)) if span.line == body.line else ""
    shape = re.sub(r"\d+(?:\W+(?:[^\W\d_]+\W+)?\d+)*", "0", text.casefold().strip(" -–—•·→*"), count=1)
    shape = re.sub(r"^([^\W\d_]{2,}?)s?(?=\W*0)", r"\1", shape)
    return " ".join(shape.split())
