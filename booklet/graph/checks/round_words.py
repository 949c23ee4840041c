"""Labels in, parts that say "row" for rounds or "round" for rows out.

Noted, in a part worked in a spiral:   Row 3: (sc, inc) x 6 (18)
Good:                                  Rnd 3: (sc, inc) x 6 (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.graph.checks._subject import Line, Subject, nodes
from booklet.notation.tree import Act, Work
from booklet.pattern.model import Section
from booklet.tables.language import fold

CODES = ("row-for-round",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """One note a part: everybody understands it, and the booklet prints the right word. The mend is at every label of the part."""
    for section, lines in subject.parts():
        meant = _meant(section, lines)
        wrong = [(line, said) for line in lines if meant and (said := _said(subject, line)) is not None and said[0] != meant]
        if not wrong:
            continue
        line, (_, word, span) = wrong[0]
        yield diagnostic(
            "row-for-round",
            span,
            edits=tuple(edit for _, said in wrong for edit in _edit(subject, said[1], said[2], meant)),
            part=section.title,
            round=line.number,
            word=word,
            meant=subject.language.roles.get(f"header:{meant}", meant),
        )


def _meant(section: Section, lines: tuple[Line, ...]) -> str:
    """How the part is worked, told by everything but the labels: a sentence, a turn, a ring. "" where nothing tells.

    "Row" is a common word for a round, so that it proves nothing (16 of 181 surveyed patterns use it so).
    """
    for step in section.steps:
        if step.kind == "sentence" and step.name == "worked":
            return "row" if step.value("how") == "rows" else "round"
    found = [node for line in lines if line.settled.instruction for node, _ in nodes(line.settled.instruction)]
    if any(isinstance(node, Act) and node.kind == "turn" for node in found):
        return "row" if not any(isinstance(node, Act) and node.kind == "join" for node in found) else ""
    ring = any(isinstance(node, Work) and node.target.kind == "ring" for node in found)
    return "round" if ring and len(lines) > 1 else ""


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
