"""Settled lines before and after a mend in, which of them are other work now out; places in the file and words do not matter."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from booklet.diagnostics.span import Span
from booklet.graph.graph import Settled
from booklet.notation.tree import Act, Group, Instruction, Node, Target, Work

Bare = tuple[object, ...]


class Line(NamedTuple):
    """One instruction of a file."""

    span: Span
    readings: tuple[Instruction, ...]
    settled: tuple[Settled, ...]  # one for each size and set of choices


def differing(before: Sequence[Settled], after: Sequence[Settled]) -> tuple[int, ...]:
    """The lines, counted from 0, whose settled tree or numbers are not the same. A number of lines that differs makes all differ.

    A printed total that has been added is no difference where it is the total that the words made out.
    """
    if len(before) != len(after):
        return tuple(range(max(len(before), len(after))))
    return tuple(at for at, (old, new) in enumerate(zip(before, after, strict=True)) if not _same(old, new))


def changed_elsewhere(before: Sequence[Line], after: Sequence[Line], touched: set[int]) -> str:
    """What is wrong after mends on the `touched` lines of the file: another line is read otherwise. "" where all is well.

    A line behind a mended one may count otherwise, since it stands on it, but its words have to be read as before; before the
    first one nothing may change. A mend outside the instructions (the language of the head) may change how all of them are read.
    """
    inside = [{line for line in touched if one.span.line <= line <= one.span.end_line} for one in before]
    if not touched or set().union(*inside) != touched:
        return ""
    if len(before) != len(after):
        return f"{len(before)} lines of instructions became {len(after)}"
    for old, new, mended in zip(before, after, inside, strict=True):
        if mended:
            continue
        if [_read(one) for one in old.readings] != [_read(one) for one in new.readings]:
            return f"line {old.span.line} is read otherwise"
        if old.span.line < min(touched) and differing(old.settled, new.settled):
            return f"line {old.span.line} has other counts"
    return ""


def _same(old: Settled, new: Settled) -> bool:
    if old is new:
        return True
    if _numbers(old) != _numbers(new) or (old.instruction is None) != (new.instruction is None):
        return False
    if old.stated is None:
        if new.stated not in (None, old.total):
            return False
    elif (old.stated, old.stated_unit) != (new.stated, new.stated_unit):
        return False
    return old.instruction is None or new.instruction is None or bare(old.instruction.items) == bare(new.instruction.items)


def _numbers(line: Settled) -> Bare:
    counted = (line.available, line.consumed, line.total, line.carried, line.counts)
    return (line.part, line.kind, line.numbers, line.length, line.fault, *counted)


def _read(line: Instruction) -> Bare:
    return (line.kind, line.numbers, line.stated, line.stated_unit, line.length, bare(line.items))


def bare(items: tuple[Node, ...]) -> tuple[Bare, ...]:
    """Nodes without their places and remarks. What is worked once in brackets is the same as without them."""
    found: list[Bare] = []
    for node in items:
        if isinstance(node, Group):
            if node.times == 1 and node.target is None and not node.leave and not node.until:
                found += bare(node.items)
            else:
                found.append(("group", bare(node.items), node.times, node.leave, node.until, _target(node.target)))
        elif isinstance(node, Work):
            found.append(("work", node.stitch, node.count, node.each, node.loop, _target(node.target)))
        elif isinstance(node, Act) and node.kind != "note":
            found.append(("act", node.kind, node.value, node.n, node.counts, node.space))
    return tuple(found)


def _target(target: Target | None) -> Bare | None:
    return None if target is None else tuple(target)
