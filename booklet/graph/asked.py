"""An instruction tree in, answers about a line out: does it go into a ring, make its own chain, turn; nothing is counted."""

from __future__ import annotations

from collections.abc import Mapping

from booklet.graph.tally import pick
from booklet.notation.tree import Act, Group, Node, Work
from booklet.tables.stitches import Stitch


def unrolled(items: list[Node] | tuple[Node, ...]) -> list[Node] | tuple[Node, ...]:
    """`*sc to marker, inc* twice`: repeats of stretches that are told by a marker, written out."""
    if not any(
        isinstance(node, Group) and isinstance(node.times, int) and node.times <= 24 and _to_marker(node.items)
        for node in items
    ):
        return items
    found: list[Node] = []
    for node in items:
        found += (
            list(node.items) * node.times
            if isinstance(node, Group) and isinstance(node.times, int) and _to_marker(node.items)
            else [node]
        )
    return found


def _to_marker(items: tuple[Node, ...]) -> bool:
    return any(isinstance(node, Work) and node.target.name == "marker" for node in items)


def flat(nodes: list[Work | Group] | tuple[Node, ...]) -> list[Work]:
    """The stitches of a tree, those inside of repeats too, in order of reading."""
    found: list[Work] = []
    for node in nodes:
        if isinstance(node, Group):
            found += flat(node.items)
        elif isinstance(node, Work):
            found.append(node)
    return found


def goes_into_ring(items: tuple[Node, ...]) -> bool:
    """Is any stitch worked into the ring?"""
    for node in items:
        if isinstance(node, Work) and node.target.kind == "ring":
            return True
        if isinstance(node, Group) and (
            (node.target is not None and node.target.kind == "ring") or goes_into_ring(node.items)
        ):
            return True
    return False


def turns_within(items: tuple[Node, ...]) -> bool:
    """Is there a turn with stitches on both sides of it?"""
    worked, turned = False, False
    for node in items:
        if isinstance(node, Act):
            turned = turned or (node.kind == "turn" and worked)
        elif turned and not (isinstance(node, Work) and node.stitch == "chain"):
            return True
        elif not (isinstance(node, Work) and node.stitch == "chain"):
            worked = True
    return False


def own_chain(items: tuple[Node, ...] | list[Node], size: int, places: int | None = 1) -> int:
    """Chains of `ch 2, 6 sc in 2nd ch from hook`: a line that makes the chain it is worked into. 0 for any other line."""
    works = [node for node in items if not isinstance(node, Act)]
    if len(works) < 2 or not isinstance(works[0], Work) or works[0].stitch != "chain":
        return 0
    second = works[1]
    if isinstance(second, Work) and (
        second.stitch in ("chain", "skip") or second.target.kind in ("part", "ring", "space", "spaces")
    ):
        return 0
    into = isinstance(second, Work) and (second.target.kind == "chain" or second.target.name == "chain")
    named = any(isinstance(node, Act) and node.kind in ("chain_from", "other_side") for node in items)
    return pick(works[0].count, size) if into or named or not places else 0


def named_chain(items: tuple[Node, ...] | list[Node], size: int) -> int:
    """Which chain from the hook takes the first stitch, 0 where the line does not say."""
    for node in items:
        if isinstance(node, Act) and node.kind == "chain_from":
            return pick(node.n, size)
        if isinstance(node, Work) and node.target.kind == "chain":
            return pick(node.target.n, size)
    return 0


def base_of(items: tuple[Node, ...], stitches: Mapping[str, Stitch]) -> str:
    """The plain stitch of a line, for `inc` and `dec` that do not name theirs."""
    for node in items:
        if isinstance(node, Group):
            found = base_of(node.items, stitches)
            if found != "single_crochet" or _has_single(node.items):
                return found
        elif isinstance(node, Work) and node.stitch in stitches and stitches[node.stitch].family == "plain":
            return node.stitch
    return "single_crochet"


def _has_single(items: tuple[Node, ...]) -> bool:
    return any(isinstance(node, Work) and node.stitch == "single_crochet" for node in items)
