"""Nodes of a whole line in, the same with starting chains told from other chains out; and whether the line may be a bare unit."""

from __future__ import annotations

from booklet.notation.tree import Act, Node, Work

START_CHAIN = 6  # the longest published turning chain (trtr): turning-chain scale named in shared/stitches.tsv


def shaped(items: list[Node], has_parts: bool) -> tuple[list[Node], bool]:
    """A leading or trailing chain that raises the hook becomes a starting chain, and takes what is said of it ("counts as dc").

    The second value tells whether the line is a bare sequence of stitches, which may be the unit of the round (R11).
    """
    works = [i for i, node in enumerate(items) if not isinstance(node, Act)]
    said = next((node.value for node in items if isinstance(node, Act) and node.kind == "counts"), "")
    counts = {"yes": True, "no": False}.get(said)
    if len(works) > 1 and not has_parts and is_chain(items[works[0]]) and (counts is not None or _raises(items, works)):
        items[works[0]] = _start_chain(items[works[0]], counts)
        works = works[1:]
    if len(works) > 1 and is_chain(items[works[-1]]) and any(_is_act(node, "turn") for node in items[works[-1] :]):
        items[works[-1]] = _start_chain(items[works[-1]], False)
    kept = [node for node in items if not _is_act(node, "counts")]
    return kept, _is_plain(items, works)


def is_chain(node: Node) -> bool:
    """Is it a chain in the air?"""
    return isinstance(node, Work) and node.stitch == "chain" and node.target.kind == "next"


def _start_chain(node: Node, counts: bool | None) -> Act:
    assert isinstance(node, Work)
    return Act("start_chain", node.span, "", node.count, counts)


def _raises(items: list[Node], works: list[int]) -> bool:
    first, second = items[works[0]], items[works[1]]
    if not isinstance(first, Work) or not isinstance(first.count, int) or first.count > START_CHAIN:
        return False
    joined = any(_is_act(node, "join") or _is_act(node, "turn") for node in items)
    own_start = any(_is_act(node, "chain_from") for node in items)
    return joined and not own_start and not (isinstance(second, Work) and second.target.kind == "chain")


def _is_plain(items: list[Node], works: list[int]) -> bool:
    if not works or any(_is_act(node, "other_side") or _is_act(node, "chain_from") for node in items):
        return False
    return all(_into_next(items[i]) for i in works)


def _into_next(node: Node) -> bool:
    return isinstance(node, Work) and node.target.kind == "next" and node.stitch != "chain"


def _is_act(node: Node, kind: str) -> bool:
    return isinstance(node, Act) and node.kind == kind
