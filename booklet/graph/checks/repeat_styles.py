"""Lines in, a pattern that writes its repeats in several ways out; the booklet prints one.

Noted:   (sc, inc) x 6      *2 sc, inc; rep from * around      [3 sc, inc] 6 times
Good:    (sc, inc) x 6      (2 sc, inc) x 6                    (3 sc, inc) x 6
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Subject, nodes
from booklet.notation.tree import Group

CODES = ("repeat-styles-mixed",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """One note a pattern. Repeats within one another, and "around" beside a number, are no second style."""
    first: tuple[str, str] | None = None
    for line in subject.lines():
        for node, depth in nodes(line.settled.instruction) if line.settled.instruction else ():
            if not isinstance(node, Group) or depth or any(isinstance(inner, Group) for inner in node.items):
                continue
            mark = subject.text(node.span)[:1]
            if mark not in "([{*" or not mark:
                continue
            rest, _, _ = subject.rest_of_row(node.span)
            style = mark + (_times(rest) if node.times is not None else "")
            if first is None or (len(first[0]) == 1 and first[0] == mark):
                first = (style, line.label)
            elif style not in (first[0], first[0][0]):
                yield diagnostic(
                    "repeat-styles-mixed",
                    node.span,
                    part=line.section.title,
                    round=line.number,
                    label=line.label,
                    first=first[1],
                )
                return


def _times(rest: str) -> str:
    """`x 6` and `x6` are "sign first", `6x` and `6 times` "number first"."""
    found = re.search(r"\d+", rest)
    return "" if found is None else "sign" if rest[: found.start()].strip(" ,;.") else "number"
