"""The ways in which a pattern writes one thing in, the way of the house out; several checks of style mend towards it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Hashable, Iterable
from typing import NamedTuple, TypeVar

from booklet.graph.checks._subject import Line, Subject

CLOSERS = {"(": ")", "[": "]", "{": "}"}
_NUMBER = re.compile(r"\d+")
_LEADS = "=-–—−→>:. "  # what may stand before a total without brackets

Key = TypeVar("Key", bound=Hashable)


def commonest(keys: Iterable[Key]) -> Key | None:
    """What is there most often, of equals the first; None of nothing."""
    counted = Counter(keys).most_common(1)
    return counted[0][0] if counted else None


class Total(NamedTuple):
    """A printed total as it stands in the file."""

    line: Line
    mark: str  # its first character
    text: str


def totals(subject: Subject) -> list[Total]:
    """Every printed total. One whose bracket is not closed is left out: that is a slip, no style."""
    found = []
    for line in subject.lines():
        instruction = line.settled.instruction
        if instruction is None or instruction.stated_span is None:
            continue
        span = instruction.stated_span
        text = subject.text(span)
        before = subject.rows[span.line - 1][: span.column - 1].rstrip()[-1:] if span.line <= len(subject.rows) else ""
        if text and "\n" not in text and before not in CLOSERS:
            found.append(Total(line, text[:1], text))
    return found


def total_mark(subject: Subject, written: list[Total]) -> str:
    """The mark of this pattern's totals: what the house file says, else the commonest; "" where there is none to follow."""
    house = subject.pattern.field("total brackets").strip()[:1]
    if house in CLOSERS:
        return house
    mark = commonest(total.mark for total in written) or ""
    return mark if mark in CLOSERS or mark == "=" else ""


def marked(inner: str, mark: str) -> str:
    """The words of a total with a mark of their own: `(18)`, `= 18`."""
    return f"= {inner}" if mark == "=" else f"{mark}{inner}{CLOSERS[mark]}"


def unmarked(text: str) -> str:
    """The words of a total without their mark; "" where they are not one number with its unit."""
    inner = text.strip(_LEADS)
    if inner[:1] in CLOSERS and inner.endswith(CLOSERS[inner[:1]]):
        inner = inner[1:-1].strip(_LEADS)
    return inner if inner[:1].isdigit() and not any(sign in inner for sign in "()[]{}") else ""


def new_total(subject: Subject) -> str:
    """How a total is added in the house style, {n} for its number: the mark, and words that always stand beside it (`(18 sts)`)."""
    written = totals(subject)
    mark = total_mark(subject, written)
    if not mark:
        return subject.language.writing["total"]
    plain = [total for total in written if total.mark == mark and _is_plain(total)]
    return marked(commonest(_NUMBER.sub("{n}", unmarked(total.text)) for total in plain) or "{n}", mark)


def _is_plain(total: Total) -> bool:
    """One number, and no stitch named: `(18)`, `(18 sts)`. A named stitch may be another one in another round."""
    instruction = total.line.settled.instruction
    named = instruction is None or instruction.stated_unit is not None or bool(instruction.stated_more)
    return not named and len(_NUMBER.findall(total.text)) == 1 and bool(unmarked(total.text))
