"""A count and a printed total in, whether the total says the same out: stitches, a named kind, groups, spaces, chains (R19)."""

from __future__ import annotations

from itertools import pairwise

from booklet.graph.tally import Counted, pick
from booklet.notation.tree import Group, Instruction, Node, Work

EXACT, NEAR, NO = 2, 1, 0
_NO_STITCH = ("space", "group", "chain")
_GROUPS = ("shell", "v_stitch", "cluster", "picot")


def matches(result: Counted, line: Instruction, size: int) -> int:
    """EXACT: the stitches that the words make. NEAR: what the total may count besides. NO: something else. Without a total: EXACT."""
    if line.stated is None:
        return EXACT
    if result.made is None:
        return NO
    stated = pick(line.stated, size)
    if line.stated_more:
        return _sums(result, line, stated, size)
    return _one(result, stated, line.stated_unit)


def _one(result: Counted, stated: int, unit: str | None) -> int:
    made = result.made
    if unit == "space":
        return EXACT if stated in (result.spaces, made) or not result.spaces else NO
    if unit == "group":
        return EXACT if stated in (result.groups, result.spaces, made, *result.passes) or not result.groups else NO
    if unit == "chain":
        return EXACT if stated in (result.chains, made) else NO
    if unit is not None and dict(result.counts).get(unit) == stated:
        return EXACT
    if made == stated:
        return EXACT
    if unit in _GROUPS and (not result.groups or stated in (result.groups, *result.passes)):
        return NEAR
    if result.chains and stated == (made or 0) + result.chains:
        return NEAR
    if result.spaces > 1 and stated in (result.spaces, (made or 0) + result.spaces):
        return NEAR
    if result.groups and stated in (result.groups, (made or 0) - result.groups):
        return NEAR
    return NO


def _sums(result: Counted, line: Instruction, stated: int, size: int) -> int:
    """`14 sts + 7 ch-1 sps`, `7 + 14`: the stitches together, or each by its name."""
    amounts = [(stated, line.stated_unit), *((pick(n, size), unit) for n, unit in line.stated_more)]
    stitches = [(n, unit) for n, unit in amounts if unit not in _NO_STITCH]
    whole = sum(n for n, _ in stitches)
    made = result.made or 0
    if whole in (made, made + result.chains, made + result.spaces) or made in [n for n, _ in amounts]:
        return EXACT
    counts = dict(result.counts)
    named = [(n, unit) for n, unit in stitches if unit]
    if named and all(counts.get(unit or "") == n or _is_told(result, n, unit) for n, unit in named):
        return EXACT
    others = [(n, unit) for n, unit in amounts if unit in _NO_STITCH]
    if not stitches and others and all(_one(result, n, unit) for n, unit in others):
        return EXACT
    return NO


def _is_told(result: Counted, n: int, unit: str | None) -> bool:
    """`5 shells`: a group that no count of stitches can prove, or proves."""
    return unit in _GROUPS and (not result.groups or n in (result.groups, *result.passes))


def total_of(result: Counted, line: Instruction, size: int) -> int | None:
    """What the words make, as the total counts it: chains are stitches where the printed total says so."""
    if result.made is None or line.stated_more or line.stated_unit in _NO_STITCH:
        return result.made
    if line.stated is None:
        return result.made + places_made_of_chains(line.items, size)
    stated = pick(line.stated, size)
    if result.made != stated and result.chains and result.made + result.chains == stated:
        return stated
    return result.made


def places_made_of_chains(items: tuple[Node, ...], size: int) -> int:
    """Chains that stand for stitches: beside as many skipped ones (a slit), or on the way to another part and not worked back."""
    works = [node for node in items if isinstance(node, Work | Group)]
    found = 0
    for node, beside in pairwise(works):
        if isinstance(node, Work) and isinstance(beside, Work) and {node.stitch, beside.stitch} == {"chain", "skip"}:
            chains, skipped = (node, beside) if node.stitch == "chain" else (beside, node)
            if pick(chains.count, size) == pick(skipped.count, size) > 1 and chains.target.kind == "next":
                found += pick(chains.count, size)
    kinds = [node.target.kind for node in works if isinstance(node, Work) and node.stitch != "chain"]
    if "part" in kinds and kinds.count("bridge") + kinds.count("bridge_other") == 1 and "next" in kinds:
        found += sum(pick(node.count, size) for node in works if isinstance(node, Work) and node.stitch == "chain")
    return found
