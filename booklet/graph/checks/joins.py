"""Parts in rounds in, a single round that is closed otherwise than both its neighbours out.

Bad:    Rnds 3 and 5 end with a slip stitch, Rnd 4 does not
Good:   all three do, or the part says where it changes
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Line, Subject, nodes
from booklet.notation.tree import Act

CODES = ("joins-mixed",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A warning. A last round that is closed to fasten off, and a change that lasts, are no slips."""
    for section, lines in subject.parts():
        rounds = [line for line in lines if line.settled.kind == "round" and line.settled.instruction is not None]
        if any(_turns(line) for line in rounds):
            continue
        for before, line, after in zip(rounds, rounds[1:], rounds[2:], strict=False):
            if _joined(before) == _joined(after) != _joined(line) and not _told_between(before, line, after):
                yield diagnostic(
                    "joins-mixed",
                    line.span,
                    part=section.title,
                    round=line.number,
                    help="closed" if _joined(line) else "",
                    label=line.label,
                    before=before.label,
                    after=after.label,
                )


def _acts(line: Line) -> Iterator[Act]:
    if line.settled.instruction is not None:
        yield from (node for node, _ in nodes(line.settled.instruction) if isinstance(node, Act))


def _joined(line: Line) -> bool:
    return any(act.kind == "join" for act in _acts(line))


def _turns(line: Line) -> bool:
    return any(act.kind == "turn" for act in _acts(line))


def _told_between(before: Line, line: Line, after: Line) -> bool:
    """Whether a sentence between the three says how the rounds are worked from there."""
    steps = line.section.steps[before.settled.step : after.settled.step]
    return any(step.kind == "sentence" and step.name == "worked" for step in steps)
