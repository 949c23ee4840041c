"""Yarns of the head in, those that nothing in the body uses out.

Bad, with yarns A, B and C:   only A and B are ever named
Good:                         every yarn is named in a round, a sentence or the prose
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Subject, nodes
from booklet.notation.tree import Act

CODES = ("yarn-unused",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A warning at the yarn. A single yarn needs no mention; code, colour and name all count as one."""
    if len(subject.pattern.yarns) < 2:
        return
    used = {
        node.value
        for line in subject.lines()
        if line.settled.instruction
        for node, _ in nodes(line.settled.instruction)
        if isinstance(node, Act) and node.kind == "yarn"
    }
    # All steps, those of other choices too: a yarn may serve one of the alternatives only.
    steps = [step for section in subject.pattern.sections for step in section.steps]
    used |= {str(step.value("yarn")) for step in steps if step.kind == "sentence" and step.value("yarn")}
    words = " ".join([section.bracket + " " + section.title for section in subject.pattern.sections] + [step.text for step in steps])
    for yarn in subject.pattern.yarns:
        named = re.search(rf"(?<!\w){re.escape(yarn.code)}(?!\w)", words) or any(
            text and text.casefold() in words.casefold() for text in (yarn.colour, yarn.name)
        )
        if yarn.code not in used and not named:
            yield diagnostic("yarn-unused", yarn.span, yarn=yarn.code, colour=yarn.colour)
