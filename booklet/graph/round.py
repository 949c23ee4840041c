"""One round's tree and the places below it in, its stitches added to the part; labels, limits and colours of parts are build's."""

from __future__ import annotations

from collections.abc import Iterator

from booklet.graph.count import GENERIC, base_of, pick
from booklet.graph.graph import LOOPS, Place
from booklet.graph.making import Making, spread
from booklet.notation.tree import Act, Group, Node, Work
from booklet.tables.stitches import Stitch


class Round:
    """Works one round: walks the tree once, with a cursor over the places below."""

    def __init__(self, part: Making, items: tuple[Node, ...], passes: Iterator[int], first_round: bool) -> None:
        self.part, self.passes = part, passes
        self.below = part.places
        self.at = 0
        self.turned = False
        self.second_side = False
        self.base = base_of(items, part.known)
        self.first: int | None = None
        self.bridge = list(part.bridge)
        named = any(
            (isinstance(node, Act) and node.kind == "chain_from") or (isinstance(node, Work) and node.target.kind == "chain")
            for node in items
        )
        if part.chain and first_round and not named and self._ends_on_chain(items):
            self.at = 1  # the first chain is skipped without saying so

    def _ends_on_chain(self, items: tuple[Node, ...]) -> bool:
        return not any(isinstance(node, Work) and node.target.kind == "ring" for node in items)

    def work(self, items: tuple[Node, ...]) -> None:
        """Make every stitch of the items, in order."""
        for node in items:
            if isinstance(node, Group):
                self._group(node)
            elif isinstance(node, Work):
                self._stitches(node)
            else:
                self._act(node)

    def _group(self, group: Group) -> None:
        times = next(self.passes, 0) if group.times is None else pick(group.times, self.part.size)
        for _ in range(times):
            self.work(group.items)

    def _act(self, node: Act) -> None:
        part = self.part
        if node.kind == "yarn":
            part.yarn_now = part.yarn_index(node.value)
        elif node.kind == "loop":
            part.loop_now = LOOPS.index("" if node.value == "both" else node.value)
        elif node.kind == "turn":
            self.turned = not self.turned if self.first is not None else self.turned
        elif node.kind == "join" and self.first is not None:
            part.emit("slip_stitch", [self.first], 0)
        elif node.kind == "start_chain":
            self._start_chain(node)
        elif node.kind == "chain_from":
            self.at = max(0, pick(node.n, part.size) - 1)
        elif node.kind == "other_side":
            self.second_side = True
            self.below = self.below[-2::-1]  # back along the chain, from the one before the far end
            self.at = 0

    def _start_chain(self, node: Act) -> None:
        part, n = self.part, pick(node.n, self.part.size)
        for i in range(n):
            counted = int(bool(node.counts) and i == n - 1)
            made = part.emit("chain", self._take(1) if counted and not self._in_ring() else [], counted)
            if counted:
                self.first = made

    def _in_ring(self) -> bool:
        return not self.below

    def _stitches(self, node: Work) -> None:
        part, size = self.part, self.part.size
        stitch = part.known[node.stitch]
        number, each, n = pick(node.count, size), pick(node.each, size), pick(node.target.n, size)
        if node.stitch == "chain":
            self._body_chain(number)
            return
        kind = node.target.kind
        if kind == "around":
            self._into(stitch, next(self.passes, 0), each)
        elif kind == "ring":
            self._in_the_ring(stitch, number)
        elif kind == "same":
            for _ in range(each):
                self._one(stitch, self._same())
        elif kind == "chain":
            self.at = max(0, n - 1)
            self._into(stitch, 1, each)
        elif kind == "part":
            self._on_part(node, stitch, n or number)
        elif kind in ("bridge", "bridge_other"):
            self._on_bridge(stitch, n or number, kind)
        elif kind == "both_layers":
            for _ in range(n or number):
                self._one(stitch, [*self._take(1), *self._take_last()])
        elif n:
            self._into(stitch, n // stitch.uses if stitch.uses > 1 and n >= stitch.uses else n, each)
        else:
            self._into(stitch, number, 1)

    def _into(self, stitch: Stitch, units: int, each: int) -> None:
        """Work `units` stitches of one kind into the next places, `each` times into every place."""
        if stitch.family == "skip":
            self.at += units
            return
        if stitch.uses == 1 and stitch.leaves == 1 and each == 1 and units > 1 and self.at + units <= len(self.below):
            if self.first is None:
                self.first = len(self.part.kind)
            self.part.emit_plain(self._kind(stitch), self.below[self.at : self.at + units])
            self.at += units
            return
        for _ in range(units):
            parents = self._take(stitch.uses)
            for _ in range(each):
                self._one(stitch, parents)

    def _one(self, stitch: Stitch, parents: list[int]) -> None:
        for _ in range(stitch.leaves):
            made = self.part.emit(self._kind(stitch), parents, 1)
            self.first = made if self.first is None else self.first

    def _kind(self, stitch: Stitch) -> str:
        if stitch.family == "increase":
            return self.base if stitch.id in GENERIC else stitch.base
        return stitch.id

    def _take(self, n: int) -> list[int]:
        """The next n places; the last one again where a wrong line asks for more than there are."""
        taken = self.below[self.at : self.at + n]
        self.at += n
        if len(taken) < n and self.below:
            taken = taken + [self.below[-1]] * (n - len(taken)) if taken else [self.below[-1]]
        return taken

    def _take_last(self) -> list[int]:
        return [self.below[-self.at]] if 0 < self.at <= len(self.below) else []

    def _same(self) -> list[int]:
        if self.at == 0:
            return self._take(1)
        return self.below[self.at - 1 : self.at] or self.below[-1:]

    def _in_the_ring(self, stitch: Stitch, number: int) -> None:
        for _ in range(number):
            self._one(stitch, [self.part.ring])

    def _body_chain(self, n: int) -> None:
        made = self.part.chains(n)
        self.bridge = self.bridge or made

    def _on_part(self, node: Work, stitch: Stitch, number: int) -> None:
        part = self.part
        for (title, instance), (index, places) in part.ends.items():
            if (not node.target.name or title == node.target.name) and (not node.target.instance or instance == node.target.instance):
                count_here = number or len(places)
                chosen_places = places if count_here == len(places) else spread(places, count_here)
                parents = [part.foreign_place(Place(index, instance, i)) for i in chosen_places]
                for at in range(0, len(parents), max(1, stitch.uses)):
                    self._one(stitch, parents[at : at + max(1, stitch.uses)])
                return

    def _on_bridge(self, stitch: Stitch, number: int, kind: str) -> None:
        chains = self.bridge[::-1] if kind == "bridge" else self.bridge
        for at in range(number):
            self._one(stitch, chains[at : at + 1] or chains[-1:])
