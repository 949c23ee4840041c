"""A sequence of nodes and the places below it in, its tally out: the free repeat takes what the others leave; nothing is expanded."""

from __future__ import annotations

from booklet.graph.asked import unrolled
from booklet.graph.pieces import Pieces
from booklet.graph.tally import NOTHING, Tally, merged, pick
from booklet.notation.tree import Act, Group, Node, Work


class Stretches(Pieces):
    """Counts sequences."""

    def _sequence(self, items: list[Node] | tuple[Node, ...], places: int | None, stated: int | None) -> Tally | None:
        """Tally of a sequence; the free repeat takes what the others leave. None where it cannot be solved."""
        fixed = NOTHING
        free: list[tuple[Work | Group, int]] = []  # with what is used before it
        for node in unrolled(items):
            tally = self._node(node)
            if tally is None:
                free.append((node, fixed.used))  # type: ignore[arg-type]
                self.fresh = False
            elif tally is not NOTHING:
                fixed = fixed.plus(tally)
        if len(free) > 1 and places is not None and all(self._is_plain(node) for node, _ in free):
            # Plain stretches whose ends are told by a marker: how they share the places does not change the count.
            self.loose = True
            self.passes += [0] * (len(free) - 1)
            free = free[:1]
        extra = 0
        for at, (node, before) in enumerate(free):
            last = all(_in_spaces(other) for other, _ in free[at + 1 :])
            rest = None if places is None else places - fixed.used - extra
            if rest is not None and isinstance(node, Group) and node.leave and places is not None:
                leave = pick(node.leave, self.size)
                if not last:
                    rest = places - before - extra - leave
                elif fixed.used - before < leave:
                    rest -= leave - (fixed.used - before)
                    extra += 0
            elif rest is not None and not last and not _in_spaces(node):
                return None  # two stretches without a number: no arithmetic tells them apart
            wanted = None if stated is None else stated - fixed.made
            solved = self._free(node, rest, wanted, last, fixed.taken)
            if solved is None:
                return None
            extra += solved.used
            fixed = fixed.plus(solved._replace(used=0))
        return fixed._replace(used=fixed.used + extra) if free else fixed

    def _is_plain(self, node: Work | Group) -> bool:
        if not isinstance(node, Work) or node.target.kind != "around" or pick(node.each, self.size) != 1:
            return False
        stitch = self.stitches[node.stitch]
        return stitch.uses == stitch.leaves == 1

    def _free(self, node: Work | Group, rest: int | None, wanted: int | None, last: bool, taken: int) -> Tally | None:
        if isinstance(node, Work) and node.target.kind in ("evenly", "to_count"):
            return self._spread(node, rest, wanted)
        if isinstance(node, Work) and node.target.kind == "free":
            self.loose = True
            return (
                None
                if wanted is None or wanted < 0
                else Tally(0, wanted, ((self._kind(self.stitches[node.stitch]), wanted),))
            )
        if isinstance(node, Group) and node.until:
            return self._until(node, rest)
        if isinstance(node, Work) and node.target.kind == "spaces":
            return self._spaces(self._unit(node), wanted, taken)
        if isinstance(node, Group) and node.target is not None and node.target.kind == "spaces":
            return self._spaces(self._unit(node), wanted, taken)
        unit = self._unit(node)
        if unit is None:
            return None
        if unit.taken and not unit.used:
            return self._spaces(unit, wanted, taken)
        if rest is not None:
            if unit.used <= 0:
                return None
            times = max(0, rest) // unit.used
            if last and (rest < 0 or rest - times * unit.used or not times):
                self.remainder = rest - times * unit.used or 1
                if not times and not rest:
                    self.remainder = -1
        elif wanted is not None and unit.made > 0 and wanted >= 0 and wanted % unit.made == 0:
            times = wanted // unit.made
        else:
            return None
        self.passes.append(times)
        return merged(unit).times(times)

    def _spaces(self, unit: Tally | None, wanted: int | None, taken: int) -> Tally | None:
        """Once into every space of the round below that the line has not taken yet."""
        if unit is None:
            return None
        self.loose = True
        per = max(1, unit.taken)
        times = max(0, self.below.spaces - taken) // per
        if not times:
            if wanted is None or unit.made <= 0 or wanted <= 0 or wanted % unit.made:
                return None
            times = wanted // unit.made
        self.passes.append(times)
        return merged(unit).times(times)

    def _spread(self, node: Work, rest: int | None, wanted: int | None) -> Tally | None:
        """`inc 7 evenly`, `inc to 28`: the rest of the round is plain."""
        stitch = self.stitches[node.stitch]
        if rest is None:
            return None
        change = stitch.leaves - stitch.uses
        if node.target.kind == "to_count":
            made = pick(node.target.n, self.size)
            times = (made - rest) // change if change else 0
            if times < 0 or rest + times * change != made:
                return None
        else:
            times = pick(node.count, self.size)
            made = rest + times * change
        if times * stitch.uses > rest or made < 0:
            return None
        self.passes.append(times)
        return Tally(rest, made, ((self._kind(stitch), made),))

    def _until(self, node: Group, rest: int | None) -> Tally | None:
        """`(sc, dec) until 7 sts remain`: the number decides; it may run over the end of the round."""
        unit = self._unit(node)
        goal = pick(node.until, self.size)
        if unit is None:
            return None
        self.loose = True
        change = unit.made - unit.used
        times = abs(rest - goal) // abs(change) if rest is not None and change else 0
        self.passes.append(min(times, (rest or 0) // max(1, unit.used)) if rest else 0)
        return Tally(rest or 0, goal, ((self.base, goal),))

    def _unit(self, node: Work | Group) -> Tally | None:
        if isinstance(node, Group):
            self.depth += 1
            unit = self._fixed(node.items)
            self.depth -= 1
            return unit if unit is None or node.target is None else self._in_place(unit, node)
        stitch = self.stitches[node.stitch]
        made = stitch.leaves * pick(node.each, self.size)
        if node.target.kind == "spaces":
            self.loose = True
            return Tally(0, made, ((self._kind(stitch), made),), taken=1, groups=self._grouped(stitch, 1))
        return Tally(
            stitch.uses, made, ((self._kind(stitch), made),), groups=self._grouped(stitch, pick(node.each, self.size))
        )

    def _fixed(self, items: tuple[Node, ...]) -> Tally | None:
        total = NOTHING
        for node in items:
            tally = self._node(node)
            if tally is None:
                return None
            total = total.plus(tally)
        return merged(total)

    def _node(self, node: Node) -> Tally | None:
        """Tally of a node with a fixed size; None for one that takes what is left."""
        if isinstance(node, Act):
            return self._act(node)
        if isinstance(node, Group):
            return self._group(node)
        kind = node.target.kind
        if self.spur and (kind == "chain" or node.target.name == "chain"):
            return NOTHING
        self.spur = node.stitch == "chain" and (self.depth > 0 or not self.fresh)
        if kind == "free" and not node.target.n:
            return None
        if kind in ("around", "spaces", "evenly", "to_count") or (kind == "earlier" and not node.target.n):
            return None
        if kind == "part" and not node.target.n and self._part_total(node) is None:
            return None
        tally = self._work(node, kind)
        if tally.used:
            self.fresh = False
        return tally

    def _group(self, node: Group) -> Tally | None:
        if node.times is None or node.until:
            return None
        target = node.target
        if target is not None and target.kind in ("spaces", "around", "every"):
            return None
        fresh = self.fresh
        self.depth += 1
        unit = self._fixed(node.items)
        self.depth -= 1
        if unit is None:
            return None
        if target is not None:
            self.fresh = fresh  # what goes into one place has not used it twice
            unit = self._in_place(unit, node)
            self.fresh = fresh and not unit.used
        return unit.times(pick(node.times, self.size))


def _in_spaces(node: Work | Group) -> bool:
    """Does it go into spaces, so that it takes no stitch of the round below?"""
    return node.target is not None and node.target.kind == "spaces"
