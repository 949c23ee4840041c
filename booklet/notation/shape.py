"""Nodes of a whole line in, the same with starting chains and first slip stitches told from other ones out; counts nothing."""

from __future__ import annotations

from dataclasses import replace

from booklet.notation.tree import NEXT, Act, Group, Node, Target, Work

START_CHAIN = 6  # the longest published turning chain (trtr): turning-chain scale named in shared/stitches.tsv
_ELSEWHERE = ("part", "bridge", "bridge_other", "chain")


def shaped(items: list[Node], has_parts: bool) -> list[Node]:
    """A leading or trailing chain that raises the hook becomes a starting chain, and takes what is said of it ("counts as dc")."""
    if any(isinstance(node, Work) and node.target.kind in ("evenly", "to_count") for node in items):
        items = [
            node for node in items if not (isinstance(node, Work) and node.target.kind == "around")
        ]  # "sc around, inc 7 evenly"
    items = _in_ring(items)
    if not any(
        (isinstance(node, Work) and node.stitch in ("chain", "slip_stitch")) or _is_act(node, "counts")
        for node in items
    ):
        return items
    said = next((node for node in items if isinstance(node, Act) and node.kind == "counts"), None)
    items = list(items) if has_parts else _ring_chain(list(items))
    works = _works(items)
    if works and not has_parts:
        items, works = _begun(items, works)
        _raise_first(items, works, said)
    works = _works(items)
    if len(works) > 1 and is_chain(items[works[-1]]) and _stands_at_turn(items, works[-1]):
        items[works[-1]] = _start_chain(
            items[works[-1]], said if said is not None and _is_after(items, said, works[-1]) else None, False
        )
    if said is not None and not any(_is_act(node, "start_chain") for node in items):
        items = _said_of_skipped(items, said)
    return [node for node in items if not _is_act(node, "counts")]


def _said_of_skipped(items: list[Node], said: Act) -> list[Node]:
    """`hdc in 3rd ch from hook (skipped chs count as hdc)`."""
    for node in items:
        nth = node.n if isinstance(node, Act) and node.kind == "chain_from" else 0
        if isinstance(node, Work) and node.target.kind == "chain":
            nth = node.target.n
        if isinstance(nth, int) and nth > 1:
            return [Act("skipped_chain", said.span, "", nth - 1, said.value != "no"), *items]
    return items


def is_chain(node: Node) -> bool:
    """Is it a chain in the air?"""
    return isinstance(node, Work) and node.stitch == "chain" and node.target.kind == "next"


def is_slip(node: Node) -> bool:
    """Is it a slip stitch that may only close the round?"""
    return (
        isinstance(node, Work)
        and node.stitch == "slip_stitch"
        and node.count == 1
        and node.target.kind in ("next", "first", "ring")  # behind "in the ring:" too
        and node.target.n in (0, 1)
        and node.target.name != "chain"
    )


def is_bare(items: list[Node]) -> bool:
    """R11: is the line a sequence without a repeat, which may be the unit of the round?"""
    works = [node for node in items if not isinstance(node, Act)]
    if not works or any(
        _is_act(node, "other_side") or _is_act(node, "chain_from") or _is_act(node, "as_round") for node in items
    ):
        return False
    first = works[0]
    if isinstance(first, Work) and first.target.kind == "same":
        return False
    if any(isinstance(node, Group) and node.target is None for node in works) or all(is_chain(node) for node in works):
        return False
    return all(
        isinstance(node, Group)
        or node.target.kind in ("next", "space")
        or (node.target.kind == "same" and len(works) > 1)
        for node in works
    )


def is_unplaced(items: list[Node], shaping: frozenset[str]) -> bool:
    """`make 2 dec`: nothing but increases or decreases, with a number and no place."""
    works = [node for node in items if not isinstance(node, Act)]
    return (
        len(works) == 1
        and isinstance(works[0], Work)
        and works[0].stitch in shaping
        and works[0].target.kind == "next"
        and not works[0].target.n
    )


def _works(items: list[Node]) -> list[int]:
    return [i for i, node in enumerate(items) if not isinstance(node, Act)]


def _ring_chain(items: list[Node]) -> list[Node]:
    """`ch 5, sl st to first ch. 14 dc in ring`: a chain that is closed at once is a ring or a tube, not a raised hook."""
    works = _works(items)
    if len(works) < 2 or not is_chain(items[works[0]]):
        return items
    after = works[0] + 1
    if after < len(items) and _is_act(items[after], "join") and after < works[1]:
        chain = items[works[0]]
        assert isinstance(chain, Work)
        items[works[0]] = Act("ring_chain", chain.span, "", chain.count)
        del items[after]
    return items


def _in_ring(items: list[Node]) -> list[Node]:
    """`[ch 3, 2 dc, ch 2] in ring`: a bracket that begins with the raised hook is the whole round."""
    at = next((i for i, node in enumerate(items) if not isinstance(node, Act)), None)
    group = items[at] if at is not None else None
    if not isinstance(group, Group) or group.target is None or group.target.kind != "ring" or group.times != 1:
        return items
    if not group.items or not is_chain(group.items[0]):
        return items
    assert at is not None
    return [*items[:at], *(_into_ring(node) for node in group.items), *items[at + 1 :]]


def _into_ring(node: Node) -> Node:
    if isinstance(node, Group):
        return replace(node, items=tuple(_into_ring(item) for item in node.items))
    plain = isinstance(node, Work) and node.target == NEXT and node.stitch not in ("chain", "slip_stitch", "skip")
    return replace(node, target=Target("ring")) if plain and isinstance(node, Work) else node


def _begun(items: list[Node], works: list[int]) -> tuple[list[Node], list[int]]:
    """`sl st in next 2 sts and in sp, ch 3, …`: slip stitches before the starting chain move the start, and make nothing."""
    slips = 0
    while slips < len(works) and _moves(items[works[slips]]):
        slips += 1
    if slips and slips + 1 < len(works) and is_chain(items[works[slips]]):
        for i in works[:slips]:
            node = items[i]
            assert isinstance(node, Work)
            items[i] = Act("begin", node.span, "space" if node.target.kind == "space" else "")
        works = works[slips:]
    return items, works


def _moves(node: Node) -> bool:
    return (
        isinstance(node, Work)
        and node.stitch == "slip_stitch"
        and (node.target.kind in ("next", "space", "same_space", "same") or node.target.name == "marker")
    )


def _raise_first(items: list[Node], works: list[int], said: Act | None) -> None:
    if len(works) < 2 or not is_chain(items[works[0]]):
        return
    first, second = items[works[0]], items[works[1]]
    assert isinstance(first, Work)
    counted = said is not None and not _is_after(items, said, works[-1] + 1)
    if not counted and not _raises(items, first, second):
        return
    items[works[0]] = _start_chain(first, said if counted else None, None)


def _raises(items: list[Node], first: Work, second: Node) -> bool:
    most = first.count if isinstance(first.count, int) else max(first.count)
    if most > START_CHAIN or any(_is_act(node, "chain_from") or _is_act(node, "other_side") for node in items):
        return False
    if isinstance(second, Work):
        along = second.target.kind == "around" and second.target.name == "chain"
        if along and (most == 1 or _tall([second])):  # "ch 1, sc in each ch around": of the chain below
            return True
        into_chain = second.target.name == "chain" and not any(
            _is_act(node, "ring_chain") or _is_act(node, "join") for node in items
        )
        if second.stitch == "skip":  # "ch 2, turn, skip first st": the chain stands on it
            return second.target.kind == "first" or (most > 1 and _tall(items))
        return second.target.kind not in _ELSEWHERE and not into_chain
    return True


def _tall(items: list[Node]) -> bool:
    """Is the first stitch of the line higher than a single crochet?"""
    for node in items:
        if isinstance(node, Group):
            return _tall(list(node.items))
        if isinstance(node, Work) and node.stitch not in ("chain", "skip"):
            return node.stitch not in ("single_crochet", "slip_stitch")
    return False


def _start_chain(node: Node, said: Act | None, unsaid: bool | None) -> Act:
    assert isinstance(node, Work)
    counts = unsaid if said is None else said.value != "no"
    return Act("start_chain", node.span, "", node.count, counts, said.n if said is not None and counts else 0)


def _stands_at_turn(items: list[Node], at: int) -> bool:
    """Does a chain stand behind the join, or beside the turn, at the end of a round?"""
    return any(
        _is_act(node, "turn") or _is_act(node, "join")
        for node in items[:at]
        if node.span >= items[_works(items)[-2]].span
    ) or any(_is_act(node, "turn") for node in items[at:])


def _is_after(items: list[Node], said: Act, at: int) -> bool:
    return said.span >= items[at].span if at < len(items) else False


def _is_act(node: Node, kind: str) -> bool:
    return isinstance(node, Act) and node.kind == kind


def closing_slip(items: list[Node]) -> int | None:
    """R9: where the last stitch of a line is a single slip stitch, its index: it may close the round, or be a stitch."""
    works = _works(items)
    if len(works) > 2 and is_chain(items[works[-1]]):
        works.pop()  # "…, sl st, ch 1, fasten off"
    if len(works) < 2 or not is_slip(items[works[-1]]):
        return None
    return works[-1]


def joined_by(items: list[Node], at: int) -> list[Node]:
    """The same with the slip stitch at an index as the join of the round."""
    return [*items[:at], Act("join", items[at].span), *items[at + 1 :]]


def counted_chain(items: list[Node], at: int, counts: bool) -> list[Node]:
    """The same with the starting chain at an index counting as a stitch, or not."""
    chain = items[at]
    assert isinstance(chain, Act)
    return [*items[:at], replace(chain, counts=counts), *items[at + 1 :]]
