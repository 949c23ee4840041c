"""An instruction tree and the places below it in, stitches used and made out, by arithmetic; repeats are never expanded."""

from __future__ import annotations

from collections.abc import Mapping

from booklet.graph.asked import base_of, flat, goes_into_ring, named_chain, own_chain, turns_within
from booklet.graph.pieces import GENERIC
from booklet.graph.stretches import Stretches
from booklet.graph.tally import Below, Counted, Tally, merged, pick
from booklet.notation.tree import Act, Group, Instruction, Node, Work
from booklet.tables.stitches import Stitch

__all__ = ["GENERIC", "Below", "Counted", "Tally", "base_of", "count", "goes_into_ring", "own_chain", "pick"]


def count(line: Instruction, below: Below, stitches: Mapping[str, Stitch], stated: int | None = None) -> Counted:
    """Count one round of a line. `stated` solves a free repeat only where the places are unknown."""
    return _Counter(below, stitches, base_of(line.items, stitches)).line(line.items, stated)


class _Counter(Stretches):
    """Counts one line."""

    def line(self, items: tuple[Node, ...], stated: int | None) -> Counted:
        below = self.below
        self.wanted = stated
        self.ring = goes_into_ring(items)
        acts = {node.kind for node in items if isinstance(node, Act)}
        works = [node for node in items if not isinstance(node, Act)]
        if not works:
            return self._idle(items, acts)
        available, offset = self._places(items, works)
        if "turn" in acts and turns_within(items):
            return self._short_rows(items, available, offset)
        if "other_side" in acts and available is not None:
            return self._oval(list(items), available, offset)
        if (below.chain or offset) and available and not self.ring and not below.tube:
            found = self._along_chain(items, available, offset, stated)
            if found is not None:
                return found
        tally = self._sequence(items, available, stated)
        if tally is None:
            return Counted(
                None if available is None else available - offset,
                None,
                None,
                (),
                tuple(self.passes),
                False,
                loose=self.loose,
            )
        if available is not None and tally.used == available - below.bridge - tally.chains and self._one_side(works):
            available = tally.used  # the bridge is worked on one side, and left on the other
        if available is not None and "join" in acts and available - tally.used == self._under_last_arch(works):
            available = tally.used
        return self._result(available, offset, tally, acts)

    def _under_last_arch(self, works: list[Work | Group]) -> int:
        """`(ch 4, skip 2, sc) x 5, ch 4, join`: how many stitches the last arch passes over without a word; 0 for none."""
        last, before = works[-1], works[-2] if len(works) > 1 else None
        arch = isinstance(last, Work) and last.stitch == "chain"
        if not arch or not isinstance(before, Group) or not any(node.stitch == "chain" for node in flat([before])):
            return 0
        skips = [pick(node.count, self.size) for node in flat([before]) if node.stitch == "skip"]
        return skips[0] if len(skips) == 1 else 0

    def _one_side(self, works: list[Work | Group]) -> bool:
        kinds = [node.target.kind for node in flat(works)]
        sides = sum(kinds.count(kind) for kind in ("bridge", "bridge_other", "bridge_both"))
        return "part" in kinds and sides == 1 and "bridge_both" not in kinds

    def _idle(self, items: tuple[Node, ...], acts: set[str]) -> Counted:
        """No stitch at all: a chain closed to a ring, a turn, a remark."""
        places = self.below.places
        if "as_before" in acts:
            return self._as_before(items, places)
        counted = next(
            (node for node in items if isinstance(node, Act) and node.kind == "start_chain" and node.counts), None
        )
        if counted is not None and places:
            return Counted(places, 1, 1, ((self.base, 1),), (), False)
        kept = None if places is None or "ring_chain" in acts else places
        return Counted(kept, kept, kept, (), (), True, loose=True)

    def _as_before(self, items: tuple[Node, ...], places: int | None) -> Counted:
        """`continue in the same manner to 42 sts`: only a number that is named can be counted."""
        named = next(
            (
                pick(node.n, self.size)
                for node in items
                if isinstance(node, Act) and node.kind == "as_before" and node.n
            ),
            None,
        )
        made = named or self.wanted or places
        counts = ((self.base, made),) if made else ()
        return Counted(places, places, made, counts, (), True, loose=True)

    def _result(
        self, available: int | None, offset: int, tally: Tally, acts: set[str] | frozenset[str] = frozenset()
    ) -> Counted:
        waiting = 0
        closes = available is None or (tally.used == available and not self.remainder)
        if self.folded and available is not None and available - tally.used == 1:
            closes = True  # R26: an odd number folded leaves its middle stitch
        if available is not None and "leave" in acts and tally.used < available:
            closes, waiting = True, available - tally.used
        counts = tuple((stitch, number) for stitch, number in merged(tally).counts if number)
        known = None if available is None else available - offset
        loose = self.loose or tally.taken > 0
        if offset and tally.chains >= offset:  # the line's own starting chain is no space
            tally = tally._replace(chains=tally.chains - offset, spaces=tally.spaces - 1)
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
        named = [node for node in flat(works) if node.target.kind == "part"]
        if named:
            return self._parts(named, works), 0
        earlier = next((node.target.instance for node in flat(works) if node.target.kind == "earlier"), None)
        if earlier is not None:
            return self.below.rounds.get(earlier), 0
        also = {node.target.name for node in works if isinstance(node, Work) and node.target.kind == "around"}
        more = self.below.spaces if "spaces" in also else self.below.chains if "chains" in also else 0
        return None if self.below.places is None else self.below.places + more, 0

    def _parts(self, named: list[Work], works: list[Work | Group]) -> int | None:
        """R25: the parts, and both sides of the bridge; the rest of the line goes into the piece on the hook."""
        chains = sum(pick(node.count, self.size) for node in works if isinstance(node, Work) and node.stitch == "chain")
        bridge = self.below.bridge + chains + (self.below.places or 0 if self.below.chain else 0)
        # A part that is named twice is one part: "sc in first st of first leg, 13 sc on first leg".
        told = {(node.target.name, node.target.instance) if node.target.instance else id(node): node for node in named}
        totals = [self._part_total(node) for node in told.values()]
        if None in totals:
            return None
        whole = sum(total or 0 for total in totals)
        sides = sum(1 for node in works if isinstance(node, Work) and node.target.kind in ("bridge", "bridge_other"))
        sides += sum(2 for node in works if isinstance(node, Work) and node.target.kind == "bridge_both")
        plain = [
            node
            for node in works
            if not isinstance(node, Work)
            or (node.target.kind not in ("part", "bridge", "bridge_other", "bridge_both") and node.stitch != "chain")
        ]
        if plain and not self.below.chain:
            own = self.below.places if self.below.places else self._own_piece(named)
            if own is None:
                return None
            whole += own
        return whole + min(2, max(sides, 2 if not plain and sides else sides)) * bridge

    def _own_piece(self, named: list[Work]) -> int | None:
        used = {(node.target.name, node.target.instance) for node in named}
        return next((total for key, total in reversed(self.below.parts.items()) if key not in used), None)

    def _along_chain(self, items: tuple[Node, ...], chains: int, offset: int, stated: int | None) -> Counted | None:
        """A row into a chain, or an oval that does not name its second side. None where neither closes."""
        named = named_chain(items, self.size)
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
        named = named_chain(items, self.size)
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
