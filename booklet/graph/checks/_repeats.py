"""Lines in, their repeats out as they stand in the file: marks, stitches, and the words that say how often; nothing is judged here."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from booklet.diagnostics.span import Span
from booklet.graph.checks._styles import CLOSERS
from booklet.graph.checks._subject import Line, Subject
from booklet.notation.tree import Group, Instruction
from booklet.tables.language import fold

_NUMBER = re.compile(r"\d+")
_WORD = re.compile(r"[^\W\d_]+|[*×]")
_STOPS = re.compile(r"[,;.:(\[{]")
_BETWEEN = " ,;.–—-"  # what parts the stitches from the words that say how often
# Roles of the words that say how often.
_SAYS = ("times", "repeat", "from_star", "more", "around", "total_of", "total_word", "the", "once", "from")
_LONGEST = 7  # words of a phrase of the notation: "to the end of the round"


class Repeat(NamedTuple):
    """One repeat outside all others."""

    line: Line
    group: Group
    mark: str  # its first character: a bracket or a star
    order: str  # "sign" for `x 6`, "number" for `6 times`, "" where no number says how often
    inner: str  # the stitches, as typed
    tail: str  # what stands behind them, {n} or {more} (one less) for the number; "" where it holds other words too
    span: Span  # from the mark to the end of the tail

    @property
    def counted(self) -> bool:
        """Does a number say how often?"""
        return isinstance(self.group.times, int)

    @property
    def passes(self) -> int:
        """How often the stitches are worked, 0 where no number tells."""
        return self.group.times if isinstance(self.group.times, int) else 0


def repeats(subject: Subject) -> Iterator[Repeat]:
    """The repeats of all lines that have a mark and none within them."""
    for line in subject.lines():
        instruction = line.settled.instruction
        for at, node in enumerate(instruction.items if instruction else ()):
            if not isinstance(node, Group) or any(isinstance(inner, Group) for inner in node.items):
                continue
            mark = subject.text(node.span)[:1]
            if instruction is not None and mark and mark in "([{*":
                yield _repeat(subject, line, instruction, at, node, mark)


def _repeat(subject: Subject, line: Line, instruction: Instruction, at: int, group: Group, mark: str) -> Repeat:
    rest, _, _ = subject.rest_of_row(group.span)
    order = _order(rest) if group.times is not None else ""
    words = subject.text(group.span)
    closed = words.endswith(CLOSERS.get(mark, mark)) and len(words) > 1
    inner = words[1:-1] if closed else words[1:].rstrip(_BETWEEN)
    plain = group.target is None and not group.leave and not group.until and "\n" not in words
    if not plain or (not closed and mark != "*") or isinstance(group.times, tuple):
        return Repeat(line, group, mark, order, inner, "", group.span)
    after = instruction.items[at + 1].span if at + 1 < len(instruction.items) else None
    end = instruction.body.end_column if instruction.body.end_line == group.span.line else group.span.end_column
    if after is not None and after.line == group.span.line:
        end = min(end, after.column)
    said = _said(subject, rest[: max(0, end - group.span.end_column)], group.times)
    if not said:
        return Repeat(line, group, mark, order, inner, "", group.span)
    span = group.span._replace(end_column=group.span.end_column + len(said))
    tail = words[1 + len(inner) :] + said
    if isinstance(group.times, int):
        number = _NUMBER.search(said)
        shown = int(number.group()) if number else 0
        name = {0: "{n}", 1: "{more}"}.get(group.times - shown, "")
        tail = words[1 + len(inner) :] + _NUMBER.sub(name, said, count=1) if name else ""
    return Repeat(line, group, mark, order, inner, tail, span)


def _order(rest: str) -> str:
    """`x 6` and `x6` are "sign" first, `6x` and `6 times` "number" first."""
    found = _NUMBER.search(rest)
    return "" if found is None else "sign" if rest[: found.start()].strip(" ,;.") else "number"


def _said(subject: Subject, text: str, times: int | None) -> str:
    """The words behind a repeat that say how often; "" where others stand among them."""
    text = text.rstrip(" ,;.:–—-")
    begin = len(text) - len(text.lstrip(" ,;"))
    if isinstance(times, int):
        number = _NUMBER.search(text)
        if number is None:
            return ""
        begin = number.end()
    stop = _STOPS.search(text, begin)
    said = text[: stop.start()].rstrip() if stop else text
    return said if said and _only_says(subject, said) else ""


def _only_says(subject: Subject, text: str) -> bool:
    words = [fold(word) for word in _WORD.findall(text)]
    known = subject.language.words
    at = 0
    while at < len(words):
        if words[at] in ("*", "×"):
            at += 1
            continue
        for size in range(min(_LONGEST, len(words) - at), 0, -1):
            if known.get(" ".join(words[at : at + size]), ("", ""))[0] in _SAYS:
                at += size
                break
        else:
            return False
    return True
