"""A line that does not add up and the numbers that would close it in, edits out; which number is right is not decided here."""

from __future__ import annotations

import re

from booklet.diagnostics.diagnostic import Edit
from booklet.diagnostics.span import Span, within
from booklet.graph.checks._subject import Line, Subject
from booklet.notation.tree import Group, Instruction, Work

_NUMBER = re.compile(r"\d+")


def mend(subject: Subject, line: Line, kind: str, number: int) -> tuple[Edit, ...]:
    """The edit for one of Settled.fits: ("times", 3), ("plain", 2) or ("total", 21). Empty where the words leave it open."""
    instruction = line.settled.instruction
    if instruction is None:
        return ()
    if kind == "total":
        return _total(subject, instruction, number)
    groups = [node for node in instruction.items if isinstance(node, Group)]
    if len(groups) != 1:
        return ()  # several repeats: a person must say which one is wrong
    if kind == "times":
        return _times(subject, groups[0], number)
    if kind == "plain":
        return _plain(subject, groups[0], number)
    return ()


def _total(subject: Subject, instruction: Instruction, number: int) -> tuple[Edit, ...]:
    """The number inside the printed total, its brackets and unit kept."""
    span = instruction.stated_span
    if span is None or span.line != span.end_line:
        return ()
    text = subject.text(span)
    found = _NUMBER.findall(text)
    if len(found) != 1:
        return ()
    return (Edit(span, _NUMBER.sub(str(number), text, count=1)),)


def _times(subject: Subject, group: Group, number: int) -> tuple[Edit, ...]:
    """The first number after the repeat, if it is the one that was read (or one less: `5 more times`)."""
    rest, row, column = subject.rest_of_row(group.span)
    found = _NUMBER.search(rest)
    if found is None or not isinstance(group.times, int) or number < 1:
        return ()
    more = group.times - int(found.group())
    if more not in (0, 1) or number - more < 1:
        return ()
    return (Edit(within(row, column, found.start(), found.end()), str(number - more)),)


def _plain(subject: Subject, group: Group, number: int) -> tuple[Edit, ...]:
    """The count of the longest stretch inside the repeat: that is the one which graph/mends tries other numbers for."""
    plain = [node for node in group.items if isinstance(node, Work) and node.target.kind == "next" and not node.target.n]
    stretch = max(plain, key=lambda work: work.count if isinstance(work.count, int) else 0, default=None)
    if stretch is None or not isinstance(stretch.count, int) or number < 1:
        return ()
    span = stretch.span
    text = subject.text(span)
    found = _NUMBER.search(text)
    if span.line != span.end_line:
        return ()
    if found is not None and int(found.group()) == stretch.count:
        return (Edit(within(span.line, span.column, found.start(), found.end()), str(number)),)
    if found is None and stretch.count == 1 and number > 1:
        return (Edit(Span(span.line, span.column, span.line, span.column), f"{number} "),)
    return ()
