"""Labels in, gaps, repeats and disorder of their numbers out.

Bad:    Rnd 3: …   Rnd 5: …          Rnd 3: …   Rnd 3: …          Rnds 7-4: …
Good:   Rnd 3: …   Rnd 4: …          Rnd 3: …   Rnd 4: …          Rnds 4-7: …
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.checks._subject import Line, Subject

CODES = ("round-missing", "round-repeated", "round-out-of-order")


def check(subject: Subject) -> Iterator[Diagnostic]:
    """Warnings: the order of the lines rules, the designer decides what the numbers should be."""
    for _, lines in subject.parts():
        numbered = [line for line in lines if line.settled.numbers]
        for line in numbered:
            if not _ascends(line.settled.numbers):
                yield _found("round-out-of-order", line, help="range", wanted=line.number or "", before="")
        for before, line in pairwise(numbered):
            yield from _between(before, line)


def _between(before: Line, line: Line) -> Iterator[Diagnostic]:
    last, first = max(before.settled.numbers), min(line.settled.numbers)
    if first == last + 1 or _starts_anew(before, line) or _interleaves(before, line):
        return
    if first > last + 1:
        missing = str(last + 1) if first == last + 2 else f"{last + 1}-{first - 1}"
        yield _found("round-missing", line, missing=missing, before=before.label)
    elif set(before.settled.numbers) & set(line.settled.numbers):
        yield _found("round-repeated", line, before=before.label, wanted=last + 1)
    else:
        yield _found("round-out-of-order", line, before=before.label, wanted=last + 1)


def _starts_anew(before: Line, line: Line) -> bool:
    """Numbers that fall back to 1 begin another piece under the same heading."""
    return min(line.settled.numbers) == 1 and max(before.settled.numbers) > 1


def _interleaves(before: Line, line: Line) -> bool:
    """`Rnds 5, 7, 9: …` and then `Rnds 6, 8: …`: lists that fill one another's gaps."""
    both = before.settled.numbers + line.settled.numbers
    return len(set(both)) == len(both) and max(both) - min(both) + 1 == len(both)


def _ascends(numbers: tuple[int, ...]) -> bool:
    return all(a < b for a, b in pairwise(numbers))


def _found(code: str, line: Line, *, help: str = "", **values: str | int) -> Diagnostic:
    instruction = line.settled.instruction
    span = line.span
    if instruction is not None and instruction.span.line == instruction.body.line:
        span = instruction.span._replace(end_line=instruction.body.line, end_column=instruction.body.column)
    return diagnostic(code, span, part=line.section.title, round=line.number, help=help, label=line.label, **values)
