"""Yarn codes of lines and sentences in, those that the list of yarns does not have out.

Bad, with yarns A and B:   Rnd 4: change to D, sc around (18)
Good:                      Rnd 4: change to B, sc around (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, Edit, diagnostic
from booklet.diagnostics.span import Span
from booklet.graph.checks._failures import cause, failed
from booklet.graph.checks._subject import Subject, nodes
from booklet.notation.tree import Act
from booklet.tables.nearest import nearest

CODES = ("yarn-unknown",)

SENTENCES = ("yarn.with", "yarn.change")


def check(subject: Subject) -> Iterator[Diagnostic]:
    """An error at the code. A declared colour counts as its code."""
    if not subject.pattern.yarns:
        return  # a pasted pattern, whose colours are told nowhere
    known = {name.casefold() for yarn in subject.pattern.yarns for name in (yarn.code, yarn.colour, yarn.name) if name}
    for line in subject.lines():
        if failed(line):
            found = cause(subject, line)
            if found.kind == "yarn":
                yield _unknown(subject, found.word, found.span, line.section.title, line.number)
            continue
        instruction = line.settled.instruction
        for node, _ in nodes(instruction) if instruction else ():
            if isinstance(node, Act) and node.kind == "yarn" and node.value.casefold() not in known:
                span = _word(subject, node.span, node.value)
                yield _unknown(subject, node.value, span, line.section.title, line.number)
    for section, step in subject.steps():
        code = str(step.value("yarn", "") or "")
        if step.kind == "sentence" and step.name in SENTENCES and code and code.casefold() not in known:
            part = section.title if section.role == "part" else None
            yield _unknown(subject, code, _word(subject, step.span, code), part, None)


def _unknown(subject: Subject, code: str, span: Span, part: str | None, number: str | None) -> Diagnostic:
    codes = {yarn.code.casefold(): yarn.code for yarn in subject.pattern.yarns}
    near = codes.get(nearest(code.casefold(), codes), "")
    return diagnostic(
        "yarn-unknown",
        span,
        edits=(Edit(span, near),) if near and subject.text(span) == code else (),
        part=part,
        round=number,
        help="near" if near else "" if codes else "none",
        yarn=code,
        near=near,
        known=", ".join(codes.values()),
    )


def _word(subject: Subject, span: Span, word: str) -> Span:
    """The place of a word inside a span of one line, the span itself where it is not found."""
    at = subject.text(span).find(word)
    if at < 0 or span.line != span.end_line:
        return span
    return Span(span.line, span.column + at, span.line, span.column + at + len(word))
