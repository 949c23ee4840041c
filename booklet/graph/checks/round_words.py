"""Labels in, parts that say "row" for rounds or "round" for rows out.

Noted, in a part worked in a spiral:   Row 3: (sc, inc) x 6 (18)
Good:                                  Rnd 3: (sc, inc) x 6 (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.graph.checks._subject import Line, Subject
from booklet.tables.language import fold

CODES = ("row-for-round",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """One note a part: everybody understands it, and the booklet prints the right word."""
    for section, built, lines in subject.parts():
        if built is None or built.worked == "mixed":
            continue
        meant = "row" if built.worked == "rows" else "round"
        for line in lines:
            said = _said(subject, line)
            if said and said[0] != meant:
                yield diagnostic(
                    "row-for-round",
                    said[2],
                    edits=_edit(subject, said[1], said[2], meant),
                    part=section.title,
                    round=line.number,
                    word=said[1],
                    meant=subject.language.roles.get(f"header:{meant}", meant),
                    worked=built.worked,
                )
                break


def _said(subject: Subject, line: Line) -> tuple[str, str, Span] | None:
    """What the label says ("round" or "row"), its word and place; None where it has no word."""
    if not line.settled.label or line.settled.kind == "start":
        return None
    text = subject.text(line.span)
    for word in line.settled.label.split():
        role, value = subject.language.words.get(fold(word), ("", ""))
        at = text.find(word)
        if role == "header" and at >= 0:
            span = line.span
            return value, word, Span(span.line, span.column + at, span.line, span.column + at + len(word))
    return None


def _edit(subject: Subject, word: str, span: Span, meant: str) -> tuple[Edit, ...]:
    """The same grammatical number of the right word, where the table has it."""
    wanted = [form for form, (role, value) in subject.language.words.items() if role == "header" and value == meant]
    plural = word.casefold().endswith("s")
    for form in wanted:
        if form.endswith("s") == plural and len(form) > 1:
            return (Edit(span, form[:1].upper() + form[1:]),)
    return ()
