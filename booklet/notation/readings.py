"""One parse of a line in, all trees that it can mean out, the likeliest first; which of them closes is settle's."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import product
from typing import NamedTuple

from booklet.notation.body import Body
from booklet.notation.doubts import Doubt
from booklet.notation.shape import closing_slip, counted_chain, is_bare, is_unplaced, joined_by
from booklet.notation.tree import Act, Group, Node, Target, Work
from booklet.tables.stitches import stitches

Choice = tuple[str, tuple[tuple[str, str | int], ...]]
Reading = tuple[list[Node], tuple[Choice, ...]]


class Option(NamedTuple):
    """One way to take a doubtful place; `code` is "" for the usual one."""

    code: str
    changes: tuple[Doubt, ...] = ()
    form: str = ""  # a change of the whole line
    values: tuple[tuple[str, str | int], ...] = ()


LIMIT_READINGS = 16
_USUAL = Option("")
_IN_ONE = "in-one-place"


def readings(parse: Body, items: list[Node]) -> list[Reading]:
    """Every combination of the doubtful places, those with the fewest unusual readings first; at most 16."""
    dimensions = _dimensions(parse, items)
    if not dimensions:
        return [(items, ())]
    picks = sorted(product(*(range(len(options)) for options in dimensions)), key=sum)
    found: list[Reading] = []
    for pick in picks[: 4 * LIMIT_READINGS]:
        options = [options[i] for i, options in zip(pick, dimensions, strict=True)]
        reading = _read(items, options)
        if reading is not None and all(reading[0] != other for other, _ in found):
            found.append(reading)
            if len(found) == LIMIT_READINGS:
                break
    return found


def _dimensions(parse: Body, items: list[Node]) -> list[list[Option]]:
    found: list[list[Option]] = []
    by_code: dict[str, list[Doubt]] = {}
    for doubt in parse.doubts:
        by_code.setdefault(doubt.code, []).append(doubt)
    for code, doubts in by_code.items():
        options = [_USUAL, Option(code, tuple(doubts))]
        if code == _IN_ONE and len(doubts) > 1:
            options += [Option(code, tuple(doubts[1:])), Option(code, (doubts[-1],)), Option(code, (doubts[0],))]
        if code == "ending-pass":
            options.reverse()  # the pass that stops early is the usual meaning
            options[0] = options[0]._replace(code="")
        found.append(options)
    found += _forms(parse, items)
    chain = next(
        (node for node in items if isinstance(node, Act) and node.kind == "start_chain" and node.counts is None), None
    )
    if chain is not None:
        found.append(_chain_options(chain, items))
    skipped = _skipped_chain(items)
    if skipped:
        no, yes = Option(""), Option("", (), "skipped", (("n", skipped),))
        found.append([yes, no] if skipped > 2 else [no, yes])
    at = closing_slip(items)
    if at is not None and items[at] is parse.slip:
        chained = any(isinstance(node, Act) and node.kind in ("start_chain", "ring_chain") for node in items)
        numbered = [Option(""), Option("slip-counted", (), "slip")]  # "…, 1 sl st": a join where the round began with a chain
        found.append(numbered if parse.slip_numbered and not chained else [Option("", (), "slip"), Option("slip-counted")])
    return found


def _forms(parse: Body, items: list[Node]) -> list[list[Option]]:
    """Readings of the line as a whole: R10, R11, unplaced shaping."""
    if parse.multiplied and sum(not isinstance(node, Act) for node in items) > 1:
        return [[_USUAL, Option("repeat-unmarked", (), "multiplied")]]
    if parse.reach is not None:
        return [[Option("", (), "reach"), Option("around-last")]]
    if is_unplaced(items, _shaping()):
        node = next(node for node in items if isinstance(node, Work))
        around = [Option("", (), "around")] if node.count == 1 else []
        return [[_USUAL, *around, Option("unplaced-shaping", (), "evenly")]]
    if parse.marked or not is_bare(items):
        return []
    works = [node for node in items if not isinstance(node, Act)]
    lone_stitch = len(works) == 1 and isinstance(works[0], Work) and works[0].count == 1
    counted = len(works) == 1 and not lone_stitch
    if counted and not (isinstance(works[0], Work) and works[0].target.n):
        return []
    return [[_USUAL, Option("" if lone_stitch else "repeat-unmarked", (), "around")]]


@cache
def _shaping() -> frozenset[str]:
    return frozenset(stitch.id for stitch in stitches().values() if stitch.family in ("increase", "decrease"))


def _chain_options(chain: Act, items: list[Node]) -> list[Option]:
    """R8: does the starting chain count? Ch 1 and ch 2 do not, ch 3 and more do, unless only the other closes."""
    most = chain.n if isinstance(chain.n, int) else max(chain.n)
    code = "chain-counting-inferred" if most > 1 else ""
    no = Option(code, (), "chain_no", (("counts", "no"),) if code else ())
    yes = Option(code or "chain-counting-inferred", (), "chain_yes", (("counts", "yes"),))
    if most < 2 and _stands_alone(chain, items):
        return [no]
    return [no, yes] if most <= 2 else [yes, no]


def _stands_alone(chain: Act, items: list[Node]) -> bool:
    """A chain of one beside a first stitch of its own: into the ring, into the same place, or joined to that stitch."""
    for node in items[items.index(chain) + 1 :]:
        if isinstance(node, Act):
            continue
        first = node.items[0] if isinstance(node, Group) and node.target is None else node
        target = first.target if isinstance(first, Work | Group) else None
        if target is not None and target.kind in ("ring", "same", "first"):
            return True
        break
    return any(isinstance(node, Act) and node.kind == "join" and node.value == "stitch" for node in items)


def _skipped_chain(items: list[Node]) -> int:
    """Chains skipped at the hook before the first stitch of a row: three and more usually count as its first stitch."""
    for node in items:
        if isinstance(node, Act) and node.kind in ("start_chain", "counts", "skipped_chain"):
            return 0
        if isinstance(node, Act) and node.kind == "chain_from" and isinstance(node.n, int):
            return node.n - 1 if node.n > 2 else 0
        if isinstance(node, Work) and node.target.kind == "chain" and isinstance(node.target.n, int):
            return node.target.n - 1 if node.target.n > 2 else 0
        if not isinstance(node, Act) and not (isinstance(node, Work) and node.stitch == "chain"):
            return 0
    return 0


def _read(items: list[Node], options: list[Option]) -> Reading | None:
    changes = {id(doubt.node): doubt.other for option in options for doubt in option.changes}
    tree = _changed(items, changes) if changes else list(items)
    for option in options:
        if option.form:
            changed = _FORMS[option.form](tree, option)
            if changed is None:
                return None
            tree = changed
    return tree, tuple((option.code, option.values) for option in options if option.code)


def _changed(items: list[Node], changes: dict[int, Node]) -> list[Node]:
    """The same tree with some of its nodes put in the place of others. A node that stands for the whole line replaces all stitches."""
    found: list[Node] = []
    for node in items:
        other = changes.get(id(node))
        if other is not None:
            inside = {id(item) for item in other.items} if isinstance(other, Group) else set()
            found = [kept for kept in found if id(kept) not in inside]
            if isinstance(other, Group) and not inside.isdisjoint(changes):  # "sc, 2sc x 6": both at once
                kept = {at: change for at, change in changes.items() if at != id(node)}
                other = replace(other, items=tuple(_changed(list(other.items), kept)))
            found.append(other)
        elif isinstance(node, Group):
            inner = _changed(list(node.items), changes)
            same = all(a is b for a, b in zip(inner, node.items, strict=False)) and len(inner) == len(node.items)
            found.append(
                node if same else Group(tuple(inner), node.times, node.span, node.leave, node.target, node.until)
            )
        else:
            found.append(node)
    return found


def _around(tree: list[Node], option: Option) -> list[Node] | None:
    """R11: a bare sequence may be the unit of the round."""
    unit = [node for node in tree if not isinstance(node, Act) or node.kind == "yarn"]
    if not any(not isinstance(node, Act) for node in unit):
        return None
    while unit and isinstance(unit[0], Act):
        unit.pop(0)
    while unit and isinstance(unit[-1], Act):
        unit.pop()
    first, last = unit[0], unit[-1]
    lead = [node for node in tree if isinstance(node, Act) and node.span < first.span]
    taken = {id(node) for node in (*unit, *lead)}
    tail = [node for node in tree if isinstance(node, Act) and id(node) not in taken]
    return [*lead, Group(tuple(unit), None, first.span.to(last.span)), *tail]


def _reach(tree: list[Node], option: Option) -> list[Node] | None:
    """R10: "around" closes the whole sequence."""
    last = max(i for i, node in enumerate(tree) if not isinstance(node, Act))
    node = tree[last]
    if isinstance(node, Work) and node.target.kind == "around":
        tree = [*tree[:last], Work(node.stitch, 1, node.span, loop=node.loop), *tree[last + 1 :]]
    return _around(tree, option)


def _evenly(tree: list[Node], option: Option) -> list[Node] | None:
    return [Work(n.stitch, n.count, n.span, Target("evenly"), 1, n.loop) if isinstance(n, Work) else n for n in tree]


def _chain(tree: list[Node], option: Option) -> list[Node] | None:
    at = next(
        (
            i
            for i, node in enumerate(tree)
            if isinstance(node, Act) and node.kind == "start_chain" and node.counts is None
        ),
        None,
    )
    return tree if at is None else counted_chain(tree, at, option.form == "chain_yes")


def _slip(tree: list[Node], option: Option) -> list[Node] | None:
    at = closing_slip(tree)
    return None if at is None else joined_by(tree, at)


def _skipped(tree: list[Node], option: Option) -> list[Node] | None:
    first = tree[0]
    return [Act("skipped_chain", first.span, "", int(option.values[0][1]), True), *tree]


def _multiplied(tree: list[Node], option: Option) -> list[Node] | None:
    """`6 x 1 sc, 2 sc in next`: the number of times holds for everything behind it."""
    at = next((i for i, node in enumerate(tree) if isinstance(node, Group)), None)
    first = tree[at] if at is not None else None
    if at is None or not isinstance(first, Group) or len(first.items) != 1:
        return None
    rest = [node for node in tree[at + 1 :] if not isinstance(node, Act)]
    tail = [node for node in tree[at + 1 :] if isinstance(node, Act)]
    return [*tree[:at], Group((*first.items, *rest), first.times, first.span), *tail]


_FORMS = {
    "multiplied": _multiplied,
    "around": _around,
    "reach": _reach,
    "evenly": _evenly,
    "chain_yes": _chain,
    "chain_no": _chain,
    "slip": _slip,
    "skipped": _skipped,
}
