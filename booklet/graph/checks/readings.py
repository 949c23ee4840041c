"""Settled lines in, the readings that had to be chosen out: nothing is guessed silently.

Noted:      Rnd 3: sc, inc (18)              read as (sc, inc) around
Not noted:  Rnd 3: (sc, inc) around (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Subject
from booklet.notation.write import write

CODES = ("chain-counting-inferred", "repeat-in-all", "one-in-each", "repeat-unmarked")


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A note for each choice, with the line as it was read."""
    for line in subject.lines():
        instruction = line.settled.instruction
        if instruction is None:
            continue
        for code, values in instruction.choices:
            if code not in CODES:
                continue
            named = dict(values)
            yield diagnostic(
                code,
                instruction.body,
                part=line.section.title,
                round=line.number,
                help=str(named.get("counts", "")),
                label=line.label,
                read_as=write(instruction, subject.language),
                **named,
            )
