"""Parts in, those that begin without saying with which yarn out; nothing is asked where there is one yarn only.

Bad, with yarns A and B:   ## Nut          Rnd 1: 6 sc in MR (6)
Good:                      ## Nut          With A.   Rnd 1: 6 sc in MR (6)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Line, Subject, nodes
from booklet.notation.tree import Act, Group, Work

CODES = ("yarn-not-told",)

SENTENCES = ("yarn.with", "yarn.change", "stripes")


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A warning at the heading."""
    if len(subject.pattern.yarns) < 2:
        return
    for section, lines in subject.parts():
        if not lines:
            continue
        first = lines[0]
        before = section.steps[: first.settled.step]
        if any(step.kind == "sentence" and step.name in SENTENCES for step in before):
            continue
        if first.settled.instruction is None or _on_line(first) or _named(subject, section.bracket, before) or _goes_on(first):
            continue
        yield diagnostic(
            "yarn-not-told",
            section.span,
            part=section.title,
            title=section.title,
            first=subject.pattern.yarns[0].code,
        )


def _on_line(line: Line) -> bool:
    """Whether the line names a yarn before its first stitch."""
    for node in line.settled.instruction.items if line.settled.instruction else ():
        if isinstance(node, Act) and node.kind == "yarn":
            return True
        if isinstance(node, Work | Group):
            return False
    return False


def _named(subject: Subject, bracket: str, before: tuple) -> bool:
    """Whether the heading or the prose before the first line names a code or a colour in words of its own."""
    words = f"{bracket} {' '.join(step.text for step in before)}"
    folded = {word.strip(".,;:()") for word in words.split()}
    low = words.casefold()
    return any(yarn.code in folded or (yarn.colour and yarn.colour.casefold() in low) for yarn in subject.pattern.yarns)


def _goes_on(line: Line) -> bool:
    """Whether the part is worked on from another one: its yarn is still on the hook."""
    found = nodes(line.settled.instruction) if line.settled.instruction else ()
    return any(isinstance(node, Work) and node.target.kind == "part" for node, _ in found)
