"""Settled lines in, those that could not be read out, with the word where reading stopped.

Bad:    Rnd 4: sc wherever you like (24)
Good:   Rnd 4: sc around (24)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._failures import cause, failed
from booklet.graph.checks._subject import Subject

CODES = ("not-understood",)


def check(subject: Subject) -> Iterator[Diagnostic]:
    """An error, or a note where another check names the cause as an error: one slip is one error."""
    for line in subject.lines():
        if not failed(line):
            continue
        found = cause(subject, line)
        stated = line.settled.carried
        yield diagnostic(
            "not-understood",
            found.span,
            part=line.section.title,
            round=line.number,
            help="cause" if found.kind else "expected" if line.candidates.expected else "",
            severity="note" if found.kind else "",
            label=line.label,
            word=found.word.split("\n")[0][:40],
            expected=line.candidates.expected,
            carried="no total" if stated is None else f"({stated})",
        )
