"""An instruction tree and the places below it in, stitches used and made out, by arithmetic; repeats are never expanded."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from booklet.notation.tree import Act, Group, Instruction, Node, Number, Work
from booklet.tables.stitches import Stitch

GENERIC = ("increase", "decrease")  # their base is the plain stitch of the line, single crochet unless told


class Tally(NamedTuple):
    """What a piece of the tree takes and leaves."""

    used: int  # places of the round below
    made: int  # counted stitches
    counts: tuple[tuple[str, int], ...] = ()  # base stitch id -> number of counted stitches

    def plus(self, other: Tally) -> Tally:
        """Both, one after the other."""
        return Tally(self.used + other.used, self.made + other.made, self.counts + other.counts)

    def times(self, n: int) -> Tally:
        """The same n times."""
        return Tally(self.used * n, self.made * n, tuple((stitch, number * n) for stitch, number in self.counts))


class Below(NamedTuple):
    """What a line can be worked into."""

    places: int | None  # stitches or chains that the line before left; None where nothing tells
    chain: bool = False  # the places are the chains of a starting chain
    parts: Mapping[tuple[str, int], int] = {}  # (part title, instance) -> stitches on its last round
    bridge: int = 0  # chains of a bridge made before this line
    size: int = 0  # which of the declared sizes


class Counted(NamedTuple):
    """The result for one round."""

    available: int | None
    used: int | None  # None where a free repeat cannot be solved
    made: int | None
    counts: tuple[tuple[str, int], ...]
    passes: tuple[int, ...]  # solved free repeats, in order of reading
    closes: bool
    remainder: int = 0  # places that a free repeat leaves over


def pick(number: Number, size: int) -> int:
    """The number for a size."""
    return number if isinstance(number, int) else number[min(size, len(number) - 1)]


def count(line: Instruction, below: Below, stitches: Mapping[str, Stitch], stated: int | None = None) -> Counted:
    """Count one round of a line. `stated` solves a free repeat only where the places are unknown."""
    return _Counter(below, stitches, base_of(line.items, stitches)).line(line, stated)


class _Counter:
    def __init__(self, below: Below, stitches: Mapping[str, Stitch], base: str) -> None:
        self.below, self.stitches, self.base = below, stitches, base
        self.passes: list[int] = []
        self.remainder = 0
        self.fresh = True  # no place of the round below has been used yet
        self.ring = False

    def line(self, line: Instruction, stated: int | None) -> Counted:
        items = list(line.items)
        self.ring = any(isinstance(node, Work) and node.target.kind == "ring" for node in items)
        available, offset = self._places(items)
        side = next((i for i, node in enumerate(items) if isinstance(node, Act) and node.kind == "other_side"), None)
        if side is not None and available is not None:
            first = self._sequence(items[:side], available, None)
            named = _named_chain(items, self.below.size)
            start = named or 2  # usual practice where an oval does not say: 15 of 18 published ovals start in the 2nd chain
            second_places = max(0, available - start)  # m - 1 of the m = c - k + 1 chains that were worked
            second = self._sequence(items[side + 1 :], second_places, None)
            if first is None or second is None:
                return Counted(available, None, None, (), tuple(self.passes), False)
            used = first.used + second.used - second_places + (0 if named else 1)
            return self._result(available, offset, Tally(used, first.made + second.made, first.counts + second.counts))
        if self.below.chain and not offset and not _named_chain(items, self.below.size) and available and not self.ring:
            # "Row 1: 7 sc" into a chain of 8: the first chain is skipped without saying so.
            plain = self._sequence(items, available - 1, stated)
            if plain is not None and plain.used == available - 1 and not self.remainder:
                return self._result(available, offset, plain._replace(used=available))
            self.passes, self.remainder, self.fresh = [], 0, True
        tally = self._sequence(items, available, stated)
        if tally is None:
            return Counted(None if available is None else available - offset, None, None, (), tuple(self.passes), False)
        return self._result(available, offset, tally)

    def _result(self, available: int | None, offset: int, tally: Tally) -> Counted:
        closes = available is None or (tally.used == available and not self.remainder)
        merged: dict[str, int] = {}
        for stitch, number in tally.counts:
            merged[stitch] = merged.get(stitch, 0) + number
        counts = tuple((stitch, number) for stitch, number in merged.items() if number)
        known = None if available is None else available - offset
        return Counted(known, tally.used - offset, tally.made, counts, tuple(self.passes), closes, self.remainder)

    def _places(self, items: list[Node]) -> tuple[int | None, int]:
        """Places below, and how many of them the line made itself (a chain at its own start: not places of the line before)."""
        chain = own_chain(items, self.below.size)
        if chain:
            return chain, chain
        if self.ring:
            return 0, 0
        named = [node for node in items if isinstance(node, Work) and node.target.kind == "part"]
        if named:
            bridge = self.below.bridge + sum(pick(n.count, self.below.size) for n in items if isinstance(n, Work) and n.stitch == "chain")
            totals = [self._part_total(node) for node in named]
            return (None if None in totals else sum(t or 0 for t in totals) + 2 * bridge), 0
        if any(isinstance(node, Work) and node.stitch == "chain" for node in items) and len(_works(items)) == 1:
            return 0 if self.below.places is None else self.below.places, 0  # a starting chain uses nothing
        return self.below.places, 0

    def _part_total(self, node: Work) -> int | None:
        name, instance = node.target.name, node.target.instance
        for (title, number), total in self.below.parts.items():
            if (not name or title == name) and (not instance or number == instance):
                return total
        return None

    def _sequence(self, items: list[Node] | tuple[Node, ...], places: int | None, stated: int | None) -> Tally | None:
        """Tally of a sequence; the free repeat takes what the others leave. None where it cannot be solved."""
        fixed = Tally(0, 0)
        free: list[Work | Group] = []
        for node in items:
            tally = self._node(node)
            if tally is None:
                free.append(node)  # type: ignore[arg-type]
            else:
                fixed = fixed.plus(tally)
        for at, node in enumerate(free):
            rest = None if places is None else places - fixed.used
            wanted = None if stated is None else stated - fixed.made
            solved = self._free(node, rest, wanted, last=at == len(free) - 1)
            if solved is None:
                return None
            fixed = fixed.plus(solved)
        return fixed

    def _free(self, node: Work | Group, rest: int | None, wanted: int | None, last: bool) -> Tally | None:
        unit = self._unit(node)
        if unit is None:
            return None
        if rest is not None:
            if unit.used <= 0:
                return None
            times = max(0, rest) // unit.used
            if last and rest - times * unit.used:
                self.remainder = rest - times * unit.used
        elif wanted is not None and unit.made > 0 and wanted >= 0 and wanted % unit.made == 0:
            times = wanted // unit.made
        else:
            return None
        self.passes.append(times)
        return unit.times(times)

    def _unit(self, node: Work | Group) -> Tally | None:
        if isinstance(node, Group):
            return self._sequence_fixed(node.items)
        stitch = self._stitch(node.stitch)
        each = pick(node.each, self.below.size)
        return Tally(stitch.uses, stitch.leaves * each, ((self._kind(stitch), stitch.leaves * each),))

    def _sequence_fixed(self, items: tuple[Node, ...]) -> Tally | None:
        total = Tally(0, 0)
        for node in items:
            tally = self._node(node)
            if tally is None:
                return None
            total = total.plus(tally)
        return total

    def _node(self, node: Node) -> Tally | None:
        """Tally of a node with a fixed size; None for one that takes what is left."""
        if isinstance(node, Act):
            return self._act(node)
        if isinstance(node, Group):
            if node.times is None:
                return None
            unit = self._sequence_fixed(node.items)
            return None if unit is None else _merged(unit).times(pick(node.times, self.below.size))
        if node.target.kind == "around" or (node.target.kind == "part" and not node.target.n and self._part_total(node) is None):
            return None
        tally = self._work(node)
        self.fresh = self.fresh and not tally.used
        return tally

    def _act(self, node: Act) -> Tally:
        if node.kind == "start_chain" and node.counts:
            self.fresh = False
            used = 0 if self.ring else 1
            return Tally(used, 1, ((self.base, 1),))
        if node.kind == "chain_from":
            return Tally(max(0, pick(node.n, self.below.size) - 1), 0)
        return Tally(0, 0)

    def _work(self, node: Work) -> Tally:
        size = self.below.size
        stitch = self._stitch(node.stitch)
        n, number, each = pick(node.target.n, size), pick(node.count, size), pick(node.each, size)
        kind = node.target.kind
        if node.stitch == "chain":
            return Tally(0, 0)
        if kind == "ring":
            return self._made(0, number * stitch.leaves, stitch)
        if kind == "same":
            return self._made(1 if self.fresh else 0, each * stitch.leaves, stitch)
        if kind == "chain":
            return self._made(n, each * stitch.leaves, stitch)
        if kind == "both_layers":
            return self._made(2 * (n or number), (n or number) * stitch.leaves, stitch)
        if kind == "part" and not n:
            number = self._part_total(node) or 0
        if kind in ("part", "bridge", "bridge_other"):
            units = (n or number) // max(1, stitch.uses) if stitch.uses > 1 else n or number
            return self._made(units * max(1, stitch.uses), units * stitch.leaves, stitch)
        if n:
            units = n // stitch.uses if stitch.uses > 1 and n >= stitch.uses else n
            return self._made(units * stitch.uses, units * stitch.leaves * each, stitch)
        return self._made(number * stitch.uses, number * stitch.leaves, stitch)

    def _made(self, used: int, made: int, stitch: Stitch) -> Tally:
        return Tally(used, made, ((self._kind(stitch), made),) if made else ())

    def _kind(self, stitch: Stitch) -> str:
        return self.base if stitch.id in GENERIC else stitch.base

    def _stitch(self, name: str) -> Stitch:
        return self.stitches[name]


def _merged(tally: Tally) -> Tally:
    """The same with one entry a stitch, so that nested repeats stay small."""
    found: dict[str, int] = {}
    for stitch, number in tally.counts:
        found[stitch] = found.get(stitch, 0) + number
    return Tally(tally.used, tally.made, tuple(found.items()))


def _works(items: list[Node]) -> list[Node]:
    return [node for node in items if not isinstance(node, Act)]


def own_chain(items: list[Node], size: int) -> int:
    """Chains of `ch 2, 6 sc in 2nd ch from hook`: a line that makes the chain it is worked into. 0 for any other line."""
    works = _works(items)
    if len(works) < 2 or not isinstance(works[0], Work) or works[0].stitch != "chain":
        return 0
    second = works[1]
    into = isinstance(second, Work) and second.target.kind == "chain"
    named = any(isinstance(node, Act) and node.kind in ("chain_from", "other_side") for node in items)
    return pick(works[0].count, size) if into or named else 0


def _named_chain(items: list[Node], size: int) -> int:
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
