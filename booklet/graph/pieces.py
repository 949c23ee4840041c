"""One node of a tree in, what it takes and leaves out; sequences and free repeats are stretches'."""

from __future__ import annotations

from collections.abc import Mapping

from booklet.graph.tally import NOTHING, Below, Tally, pick
from booklet.notation.tree import Act, Group, Work
from booklet.tables.stitches import Stitch

GENERIC = ("increase", "decrease")  # their base is the plain stitch of the line, single crochet unless told
_LOOSE = frozenset(("space", "spaces", "same_space", "free", "evenly", "to_count"))
_COUNTED_GROUPS = frozenset(("cluster", "shell"))


class Pieces:
    """Counts nodes of a fixed size, and remembers what was met on the way."""

    def __init__(self, below: Below, stitches: Mapping[str, Stitch], base: str) -> None:
        self.below, self.stitches, self.base = below, stitches, base
        self.size = below.size
        self.reset()
        self.ring = False
        self.wanted: int | None = None

    def reset(self) -> None:
        """Nothing is worked yet."""
        self.passes: list[int] = []
        self.remainder = 0
        self.fresh = True  # no place of the round below has been used yet
        self.loose = False
        self.in_space = False  # a chain space of the round below has been worked into
        self.folded = False
        self.raised = False  # a starting chain stands for the first stitch
        self.depth = 0
        self.spur = False  # on a chain that stands out from the round: what goes into it is no stitch of the round

    def _part_total(self, node: Work) -> int | None:
        name, instance = node.target.name, node.target.instance
        found = [
            total
            for (title, number), total in self.below.parts.items()
            if (not name or title == name) and (instance <= 0 or number == instance)
        ]
        if not found:
            return None
        return sum(found) if instance < 0 else found[0]

    def _act(self, node: Act) -> Tally:
        if node.kind == "start_chain" and node.counts:
            first, self.fresh = self.fresh, False
            self.raised = True
            used = 0 if self.ring or not first else 1
            space = pick(node.space, self.size)
            return Tally(used, 1, ((self.base, 1),), space, 1 if space else 0)
        if node.kind == "skipped_chain" and node.counts:
            return Tally(0, 1, ((self.base, 1),))
        if node.kind == "chain_from":
            return Tally(max(0, pick(node.n, self.size) - 1), 0)
        return NOTHING

    def _work(self, node: Work, kind: str) -> Tally:
        size = self.size
        stitch = self.stitches[node.stitch]
        if kind == "next" and not node.target.n:
            number = pick(node.count, size)
            if stitch.family == "plain":
                return Tally(number, number, ((stitch.base, number),))
            if stitch.id == "chain":
                return Tally(0, 0, (), number, 1 if number else 0)
            return self._made(number * stitch.uses, number * stitch.leaves, stitch, number)
        n, number, each = pick(node.target.n, size), pick(node.count, size), pick(node.each, size)
        if kind == "first" and stitch.family == "skip" and self.raised:
            return NOTHING  # "ch 3 (counts as dc), skip first st": the chain stands on it
        if kind in ("next", "last", "first", "every"):
            if kind == "every":
                return self._made(n, n - 1 + each * stitch.leaves, stitch, each)
            units = n // stitch.uses if stitch.uses > 1 and n >= stitch.uses else n
            return self._made(units * stitch.uses, units * stitch.leaves * each, stitch, units * each)
        if kind in _LOOSE:
            return self._in_space(node, stitch, kind, n, number, each)
        if kind == "ring":
            return self._made(0, number * stitch.leaves, stitch, number)
        if kind == "same":
            return self._made(1 if self.fresh else 0, each * stitch.leaves, stitch, each)
        if kind in ("chain", "chain_end"):
            used = 1 if kind == "chain_end" else n or self.below.places or (2 if self.fresh else 1)
            return self._made(used, each * stitch.leaves, stitch, each)
        if kind in ("both_layers", "both_pieces"):
            self.folded = kind == "both_layers"
            both = n or number
            return self._made((2 if kind == "both_layers" else 1) * both, both * stitch.leaves, stitch, both)
        return self._elsewhere(node, stitch, kind, n, number)

    def _in_space(self, node: Work, stitch: Stitch, kind: str, n: int, number: int, each: int) -> Tally:
        self.loose = True
        taken = n if kind == "space" else 1 if kind == "same_space" and not self.in_space else 0
        self.in_space = True
        if stitch.family == "skip":
            return Tally(0, 0, taken=taken)
        made = stitch.leaves * each * (n if kind == "space" else 1)
        return self._made(0, made, stitch, each)._replace(taken=taken)

    def _elsewhere(self, node: Work, stitch: Stitch, kind: str, n: int, number: int) -> Tally:
        whole = n or number
        if kind == "part":
            if node.target.instance < 0 and n:
                whole = n * max(
                    1, sum(1 for title, _ in self.below.parts if not node.target.name or title == node.target.name)
                )
            elif not n:
                whole = self._part_total(node) or 0
        elif kind == "bridge_both":
            whole *= 2
        units = whole // max(1, stitch.uses) if stitch.uses > 1 else whole
        return self._made(units * max(1, stitch.uses), units * stitch.leaves, stitch, units)

    def _made(self, used: int, made: int, stitch: Stitch, units: int) -> Tally:
        counts = ((self._kind(stitch), made),) if made else ()
        if stitch.family in _COUNTED_GROUPS:
            return Tally(used, made, counts, 0, 0, 0, units)
        return Tally(used, made, counts)

    def _kind(self, stitch: Stitch) -> str:
        return self.base if stitch.id in GENERIC else stitch.base

    def _grouped(self, stitch: Stitch, n: int) -> int:
        return n if stitch.family in _COUNTED_GROUPS else 0

    def _in_place(self, unit: Tally, node: Group) -> Tally:
        """A group whose stitches all go into one place; into several plain places it is worked as often as it fits."""
        target = node.target
        assert target is not None
        n = max(1, pick(target.n, self.size))
        found = unit._replace(used=0, taken=0, groups=unit.groups or 1)
        if target.kind in ("space", "spaces"):
            self.loose = self.in_space = True
            return found._replace(taken=1).times(1 if target.kind == "spaces" else n)
        if target.kind in ("ring",):
            return found
        if target.kind in ("same", "same_space", "free"):
            self.loose = self.loose or target.kind != "same"
            taken = 1 if target.kind == "same_space" and not self.in_space else 0
            self.in_space = self.in_space or bool(taken)
            return found._replace(used=1 if target.kind == "same" and self.fresh else 0, taken=taken)
        if target.kind in ("around", "every"):
            return found._replace(used=n if target.kind == "every" else 1)
        if n > 1 and unit.used > 1 and n % unit.used == 0 and not unit.chains:
            return unit.times(n // unit.used)
        return found._replace(used=1).times(n)
