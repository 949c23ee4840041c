"""An instruction tree and the places below it in, stitches used and made out, by arithmetic; repeats are never expanded."""

from __future__ import annotations

from collections.abc import Mapping

from booklet.graph.tally import NOTHING, Below, Counted, Tally, merged, pick
from booklet.notation.tree import Act, Group, Instruction, Node, Work
from booklet.tables.stitches import Stitch

GENERIC = ("increase", "decrease")  # their base is the plain stitch of the line, single crochet unless told
_LOOSE = frozenset(("space", "spaces", "same_space", "free", "evenly", "to_count"))
_COUNTED_GROUPS = frozenset(("cluster", "shell"))

__all__ = ["GENERIC", "Below", "Counted", "Tally", "base_of", "count", "own_chain", "pick"]


def count(line: Instruction, below: Below, stitches: Mapping[str, Stitch], stated: int | None = None) -> Counted:
    """Count one round of a line. `stated` solves a free repeat only where the places are unknown."""
    return _Counter(below, stitches, base_of(line.items, stitches)).line(line.items, stated)


class _Counter:
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

    # --- a line ----------------------------------------------------------------------------------------------------

    def line(self, items: tuple[Node, ...], stated: int | None) -> Counted:
        below = self.below
        self.wanted = stated
        self.ring = goes_into_ring(items)
        acts = {node.kind for node in items if isinstance(node, Act)}
        works = [node for node in items if not isinstance(node, Act)]
        if not works:
            return self._idle(items, acts)
        available, offset = self._places(items, works)
        if "turn" in acts and _turns_within(items):
            return self._short_rows(items, available, offset)
        if "other_side" in acts and available is not None:
            return self._oval(list(items), available, offset)
        if (below.chain or offset) and available and not self.ring and not below.tube:
            found = self._along_chain(items, available, offset, stated)
            if found is not None:
                return found
        tally = self._sequence(items, available, stated)
        if tally is None:
            return Counted(None if available is None else available - offset, None, None, (), tuple(self.passes), False, loose=self.loose)
        return self._result(available, offset, tally, acts)

    def _idle(self, items: tuple[Node, ...], acts: set[str]) -> Counted:
        """No stitch at all: a chain closed to a ring, a turn, a remark."""
        places = self.below.places
        if "as_before" in acts:
            return self._as_before(items, places)
        counted = next((node for node in items if isinstance(node, Act) and node.kind == "start_chain" and node.counts), None)
        if counted is not None and places:
            return Counted(places, 1, 1, ((self.base, 1),), (), False)
        kept = None if places is None or "ring_chain" in acts else places
        return Counted(kept, kept, kept, (), (), True, loose=True)

    def _as_before(self, items: tuple[Node, ...], places: int | None) -> Counted:
        """`continue in the same manner to 42 sts`: only a number that is named can be counted."""
        named = next((pick(node.n, self.size) for node in items if isinstance(node, Act) and node.kind == "as_before" and node.n), None)
        made = named or self.wanted or places
        counts = ((self.base, made),) if made else ()
        return Counted(places, places, made, counts, (), True, loose=True)

    def _result(self, available: int | None, offset: int, tally: Tally, acts: set[str] | frozenset[str] = frozenset()) -> Counted:
        waiting = 0
        closes = available is None or (tally.used == available and not self.remainder)
        if self.folded and available is not None and available - tally.used == 1:
            closes = True  # R26: an odd number folded leaves its middle stitch
        if available is not None and "leave" in acts and tally.used < available:
            closes, waiting = True, available - tally.used
        counts = tuple((stitch, number) for stitch, number in merged(tally).counts if number)
        known = None if available is None else available - offset
        loose = self.loose or tally.taken > 0
        return Counted(
            known, tally.used - offset, tally.made, counts, tuple(self.passes), closes, self.remainder,
            tally.chains, tally.spaces, tally.groups, loose, waiting,
        )  # fmt: skip

    def _places(self, items: tuple[Node, ...], works: list[Work | Group]) -> tuple[int | None, int]:
        """Places below, and how many of them the line made itself (a chain at its own start: not places of the line before)."""
        chain = own_chain(items, self.size, self.below.places)
        if chain:
            return chain, chain
        if self.ring:
            return 0, 0
        named = [node for node in _flat(works) if node.target.kind == "part"]
        if named:
            return self._parts(named, works), 0
        earlier = next((node.target.instance for node in _flat(works) if node.target.kind == "earlier"), None)
        if earlier is not None:
            return self.below.rounds.get(earlier), 0
        return self.below.places, 0

    def _parts(self, named: list[Work], works: list[Work | Group]) -> int | None:
        """R25: the parts, and both sides of the bridge; the rest of the line goes into the piece on the hook."""
        chains = sum(pick(node.count, self.size) for node in works if isinstance(node, Work) and node.stitch == "chain")
        bridge = self.below.bridge + chains + (self.below.places or 0 if self.below.chain else 0)
        totals = [self._part_total(node) for node in named]
        if None in totals:
            return None
        whole = sum(total or 0 for total in totals)
        sides = sum(1 for node in works if isinstance(node, Work) and node.target.kind in ("bridge", "bridge_other"))
        sides += sum(2 for node in works if isinstance(node, Work) and node.target.kind == "bridge_both")
        plain = [node for node in works if not isinstance(node, Work) or (node.target.kind not in ("part", "bridge", "bridge_other", "bridge_both") and node.stitch != "chain")]
        if plain and not self.below.chain:
            own = self.below.places if self.below.places else self._own_piece(named)
            if own is None:
                return None
            whole += own
        return whole + min(2, max(sides, 2 if not plain and sides else sides)) * bridge

    def _own_piece(self, named: list[Work]) -> int | None:
        used = {(node.target.name, node.target.instance) for node in named}
        return next((total for key, total in reversed(self.below.parts.items()) if key not in used), None)

    def _part_total(self, node: Work) -> int | None:
        name, instance = node.target.name, node.target.instance
        found = [total for (title, number), total in self.below.parts.items() if (not name or title == name) and (instance <= 0 or number == instance)]
        if not found:
            return None
        return sum(found) if instance < 0 else found[0]

    # --- along a chain -----------------------------------------------------------------------------------------------

    def _along_chain(self, items: tuple[Node, ...], chains: int, offset: int, stated: int | None) -> Counted | None:
        """A row into a chain, or an oval that does not name its second side. None where neither closes."""
        named = _named_chain(items, self.size)
        worked = chains - named + 1 if named else chains - 1
        plain = self._sequence(items, chains if named else worked, stated)
        if plain is not None and plain.used == (chains if named else worked) and not self.remainder:
            return self._result(chains, offset, plain if named else plain._replace(used=chains))
        self.reset()
        around = self._sequence(items, None, stated)
        if around is not None and worked > 1:
            used = around.used - (named - 1 if named else 0)
            exact = used == 2 * worked - 1
            near = used in (2 * worked - 2, 2 * worked) and stated is not None and around.made == stated
            if exact or near:
                return self._result(chains, offset, around._replace(used=chains))
        self.reset()
        return None

    def _oval(self, items: list[Node], available: int, offset: int) -> Counted:
        """R: both sides of a chain; the second one has the chains between the two ends, and the one that took the first stitch."""
        side = next(i for i, node in enumerate(items) if isinstance(node, Act) and node.kind == "other_side")
        named = _named_chain(items, self.size)
        start = named or 2  # usual practice where an oval does not say: 15 of 18 published ovals start in the 2nd chain
        worked = max(0, available - start + 1)
        first = self._sequence(items[:side], available if named else worked, None)
        second = self._sequence(items[side + 1 :], max(0, worked - 1), None)
        if first is None or second is None:
            return Counted(available, None, None, (), tuple(self.passes), False)
        over = second.used - (worked - 1)
        if over in (-1, 1) and first.used == (available if named else worked):
            over = 0  # the last chain may be left to the first stitch's increase, or be worked once more
        used = first.used + over + (0 if named else start - 1)
        whole = first.plus(second)
        return self._result(available, offset, whole._replace(used=used))

    # --- rows that turn back --------------------------------------------------------------------------------------------

    def _short_rows(self, items: tuple[Node, ...], available: int | None, offset: int) -> Counted:
        """Turns inside the line: it ends on what was worked after the last of them; nothing proves that it closes."""
        self.loose = True
        segments: list[list[Node]] = [[]]
        for node in items:
            if isinstance(node, Act) and node.kind == "turn":
                segments.append([])
            else:
                segments[-1].append(node)
        segments = [segment for segment in segments if any(not isinstance(node, Act) for node in segment)]
        places = available
        tally: Tally | None = None
        used = None
        for segment in segments:
            self.fresh = True
            tally = self._sequence(segment, places, None)
            if tally is None:
                return Counted(available, None, None, (), tuple(self.passes), False, loose=True)
            used = tally.used if used is None else used
            places = tally.made
        assert tally is not None and used is not None
        waiting = max(0, available - used) if available is not None else 0
        found = self._result(available, offset, tally._replace(used=used))
        return found._replace(closes=available is None or used <= available, waiting=waiting)

    # --- sequences -------------------------------------------------------------------------------------------------------

    def _sequence(self, items: list[Node] | tuple[Node, ...], places: int | None, stated: int | None) -> Tally | None:
        """Tally of a sequence; the free repeat takes what the others leave. None where it cannot be solved."""
        fixed = NOTHING
        free: list[tuple[Work | Group, int]] = []  # with what is used before it
        for node in _unrolled(items):
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
            last = at == len(free) - 1
            rest = None if places is None else places - fixed.used - extra
            if rest is not None and isinstance(node, Group) and node.leave and places is not None:
                leave = pick(node.leave, self.size)
                if not last:
                    rest = places - before - extra - leave
                elif fixed.used - before < leave:
                    rest -= leave - (fixed.used - before)
                    extra += 0
            elif rest is not None and not last:
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
        return Tally(stitch.uses, made, ((self._kind(stitch), made),), groups=self._grouped(stitch, pick(node.each, self.size)))

    def _grouped(self, stitch: Stitch, n: int) -> int:
        return n if stitch.family in _COUNTED_GROUPS else 0

    def _fixed(self, items: tuple[Node, ...]) -> Tally | None:
        total = NOTHING
        for node in items:
            tally = self._node(node)
            if tally is None:
                return None
            total = total.plus(tally)
        return merged(total)

    # --- nodes -----------------------------------------------------------------------------------------------------------

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
        self.depth += 1
        unit = self._fixed(node.items)
        self.depth -= 1
        if unit is None:
            return None
        if target is not None:
            unit = self._in_place(unit, node)
        return unit.times(pick(node.times, self.size))

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
                whole = n * max(1, sum(1 for title, _ in self.below.parts if not node.target.name or title == node.target.name))
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


# --- questions about a line -------------------------------------------------------------------------------------------------


def _unrolled(items: list[Node] | tuple[Node, ...]) -> list[Node] | tuple[Node, ...]:
    """`*sc to marker, inc* twice`: repeats of stretches that are told by a marker, written out."""
    if not any(isinstance(node, Group) and isinstance(node.times, int) and node.times <= 24 and _to_marker(node.items) for node in items):
        return items
    found: list[Node] = []
    for node in items:
        found += list(node.items) * node.times if isinstance(node, Group) and isinstance(node.times, int) and _to_marker(node.items) else [node]
    return found


def _to_marker(items: tuple[Node, ...]) -> bool:
    return any(isinstance(node, Work) and node.target.name == "marker" for node in items)


def _flat(nodes: list[Work | Group] | tuple[Node, ...]) -> list[Work]:
    found: list[Work] = []
    for node in nodes:
        if isinstance(node, Group):
            found += _flat(node.items)
        elif isinstance(node, Work):
            found.append(node)
    return found


def goes_into_ring(items: tuple[Node, ...]) -> bool:
    for node in items:
        if isinstance(node, Work) and node.target.kind == "ring":
            return True
        if isinstance(node, Group) and ((node.target is not None and node.target.kind == "ring") or goes_into_ring(node.items)):
            return True
    return False


def _turns_within(items: tuple[Node, ...]) -> bool:
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
    if isinstance(second, Work) and (second.stitch in ("chain", "skip") or second.target.kind in ("part", "ring", "space", "spaces")):
        return 0
    into = isinstance(second, Work) and (second.target.kind == "chain" or second.target.name == "chain")
    named = any(isinstance(node, Act) and node.kind in ("chain_from", "other_side") for node in items)
    return pick(works[0].count, size) if into or named or not places else 0


def _named_chain(items: tuple[Node, ...] | list[Node], size: int) -> int:
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
