"""Settled lines in, the readings that had to be chosen out: nothing is guessed silently.

Noted:      Rnd 3: sc, inc (18)              read as (sc, inc) around
Not noted:  Rnd 3: (sc, inc) around (18)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Subject
from booklet.notation.write import write
from booklet.tables.language import spoken

EXPLAINED = ("chain-counting-inferred", "repeat-in-all", "one-in-each", "repeat-unmarked")
CODES = (*EXPLAINED, "reading-chosen")  # the last one for every choice that has no page of its own


def check(subject: Subject) -> Iterator[Diagnostic]:
    """A note for each choice, with the line as it was read."""
    for line in subject.lines():
        instruction = line.settled.instruction
        if instruction is None:
            continue
        told: set[str] = set()
        for chosen, values in instruction.choices:
            code = chosen if chosen in EXPLAINED else "reading-chosen"
            if code in told:
                continue
            told.add(code)
            named = dict(values) if code == chosen else {}
            yield diagnostic(
                code,
                instruction.body,
                part=line.section.title,
                round=line.number,
                help=str(named.get("counts", "")),
                label=line.label,
                read_as=write(instruction, spoken(subject.language)),
                **named,
            )
