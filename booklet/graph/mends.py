"""A line that does not close in, the smallest changes that would close it out; it changes nothing itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from booklet.graph.count import count
from booklet.graph.tally import Below, pick
from booklet.notation.tree import Act, Group, Instruction, Node, Work
from booklet.tables.stitches import Stitch

Fit = tuple[str, int]  # ("times", 3), ("plain", 2), ("total", 21)
_NEAR = 3  # a plain stretch further off than this is not offered (published slips are 1 or 2 off)


def fits(line: Instruction, below: Below, stitches: Mapping[str, Stitch], stated: int | None) -> tuple[Fit, ...]:
    """Changes that close the line, the likeliest first: the instruction before the total (of 31 published slips, 26 were in the words)."""
    found: list[Fit] = []
    at = _only_group(line.items)
    times: list[int] = []
    if at is not None:
        group = line.items[at]
        assert isinstance(group, Group)
        times = _times(line, at, group, below, stitches)
        found += [("times", n) for n in times if _closes(_with_times(line, at, n), below, stitches, stated)]
        found += [("plain", n) for n, tree in _stretches(line, at, group) if _closes(tree, below, stitches, stated)]
    else:
        found += [("times", n) for n in _count_of_one(line, below, stitches, stated)]
    plain = count(line, below, stitches)
    if plain.closes and plain.made is not None and plain.made != stated:
        found.append(("total", plain.made))
    if not found and at is not None and stated is not None:
        # None of the changes makes the printed total: say at least which multiplier uses all places.
        found += [("times", n) for n in times if _closes(_with_times(line, at, n), below, stitches, None)]
    return tuple(dict.fromkeys(found))


def _count_of_one(line: Instruction, below: Below, stitches: Mapping[str, Stitch], stated: int | None) -> list[int]:
    """`dec x 6 (7)` from 14: the one number of a line that says one thing, if another closes it."""
    works = [i for i, node in enumerate(line.items) if not isinstance(node, Act)]
    node = line.items[works[0]] if len(works) == 1 else None
    if not isinstance(node, Work) or node.target.kind != "next" or node.target.n or not below.places or stated is None:
        return []
    uses = stitches[node.stitch].uses
    number = below.places // uses if uses else 0
    if number < 1 or number == pick(node.count, below.size):
        return []
    changed = replace(line, items=tuple(replace(node, count=number) if item is node else item for item in line.items))
    return [number] if _closes(changed, below, stitches, stated) else []


def _closes(line: Instruction, below: Below, stitches: Mapping[str, Stitch], stated: int | None) -> bool:
    result = count(line, below, stitches)
    return result.closes and result.made is not None and (stated is None or result.made == stated)


def _only_group(items: tuple[Node, ...]) -> int | None:
    groups = [i for i, node in enumerate(items) if isinstance(node, Group)]
    return groups[0] if len(groups) == 1 else None


def _times(line: Instruction, at: int, group: Group, below: Below, stitches: Mapping[str, Stitch]) -> list[int]:
    if below.places is None or group.times is None:
        return []
    free = replace(line, items=(*line.items[:at], replace(group, times=None), *line.items[at + 1 :]))
    result = count(free, below, stitches)
    return (
        [result.passes[0]]
        if result.passes and result.closes and result.passes[0] != pick(group.times, below.size)
        else []
    )


def _with_times(line: Instruction, at: int, times: int) -> Instruction:
    group = line.items[at]
    assert isinstance(group, Group)
    return replace(line, items=(*line.items[:at], replace(group, times=times), *line.items[at + 1 :]))


def _stretches(line: Instruction, at: int, group: Group) -> list[tuple[int, Instruction]]:
    """The same line with another number of plain stitches in the unit, nearest numbers first."""
    plain = [
        i
        for i, node in enumerate(group.items)
        if isinstance(node, Work) and node.target.kind == "next" and not node.target.n
    ]
    if len(plain) < 1 or any(isinstance(node, Act) for node in group.items):
        return []
    i = max(plain, key=lambda k: group.items[k].count if isinstance(group.items[k].count, int) else 0)  # type: ignore[union-attr]
    work = group.items[i]
    if not isinstance(work, Work) or not isinstance(work.count, int):
        return []
    found = []
    for step in sorted(range(-_NEAR, _NEAR + 1), key=abs):
        if step and work.count + step > 0:
            unit = (*group.items[:i], replace(work, count=work.count + step), *group.items[i + 1 :])
            found.append(
                (
                    work.count + step,
                    replace(line, items=(*line.items[:at], replace(group, items=unit), *line.items[at + 1 :])),
                )
            )
    return found
