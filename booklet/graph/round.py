"""One round's tree and the places below it in, its stitches added to the part; labels, limits and colours of parts are build's."""

from __future__ import annotations

from collections.abc import Iterator

from booklet.graph.count import GENERIC, base_of, pick
from booklet.graph.graph import LOOPS, Place
from booklet.graph.making import Making, spread
from booklet.notation.tree import Act, Group, Node, Target, Work
from booklet.tables.stitches import Stitch

_LIMIT_UNITS = 20_000  # stitches of one node; build refuses larger rounds before, see shared/limits.toml


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
        self.segment = len(part.kind)  # first place made since the last turn
        self.fixed: list[int] | None = None  # the one place that a group goes into
        self.space_at = 0  # chain spaces of the round below that were worked into
        self.spur: list[int] = []  # chains that stand out from the round
        self.depth = 0
        self.bridge = list(part.bridge)
        self.body_chains: list[int] = []
        named = any(
            (isinstance(node, Act) and node.kind == "chain_from")
            or (isinstance(node, Work) and node.target.kind == "chain")
            for node in items
        )
        if part.chain and first_round and not named and not _into_ring(items):
            self.at = 1  # the first chain is skipped without saying so

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
        size = self.part.size
        free = group.times is None or (group.target is not None and group.target.kind in ("spaces", "around"))
        times = next(self.passes, 0) if free else pick(group.times or 0, size)
        self.depth += 1
        for _ in range(min(times, _LIMIT_UNITS)):
            if group.target is None:
                self.work(group.items)
            else:
                self._into_place(group, group.target)
        self.depth -= 1

    def _into_place(self, group: Group, target: Target) -> None:
        """All stitches of a group into one place, and again for each place that the target names."""
        n = (
            1
            if target.kind in ("spaces", "around", "same", "same_space", "ring", "free")
            else max(1, pick(target.n, self.part.size))
        )
        for _ in range(n):
            self.fixed = self._place(target)
            self.work(group.items)
        self.fixed = None

    def _place(self, target: Target) -> list[int]:
        if target.kind in ("space", "spaces"):
            return self._next_space()
        if target.kind == "same_space":
            return self._this_space()
        if target.kind == "same":
            return self._same()
        if target.kind == "ring":
            return [self.part.ring] if self.part.ring >= 0 else []
        return self._here() if target.kind == "free" else self._take(1)

    def _act(self, node: Act) -> None:
        part = self.part
        if node.kind == "yarn":
            part.yarn_now = part.yarn_index(node.value)
        elif node.kind == "loop":
            part.loop_now = LOOPS.index(node.value) if node.value in LOOPS else 0
        elif node.kind == "turn" and self.first is not None:
            self.turned = not self.turned
            made = [i for i in range(self.segment, len(part.kind)) if part.counts[i]]
            self.rest = (self.below[self.at :], self.segment)
            self.below, self.at, self.segment = made[::-1], 0, len(part.kind)
        elif node.kind == "join" and self.first is not None:
            part.emit("slip_stitch", [self.first], 0)
        elif node.kind == "start_chain":
            self._start_chain(node)
        elif node.kind == "skipped_chain" and node.counts:
            self.first = part.emit("chain", [], 1)
        elif node.kind == "chain_from":
            self.at = max(0, pick(node.n, part.size) - 1)
        elif node.kind == "other_side":
            self.second_side = True
            self.below = self.below[-2::-1]  # back along the chain, from the one before the far end
            self.at = 0

    def made(self) -> list[int]:
        """Counted places that the next round meets: those made since the last turn within the line."""
        part = self.part
        made = [i for i in range(self.segment, len(part.kind)) if part.counts[i]]
        if not made and self.turned:  # the turn was the end of the line
            made = [i for i in range(self.rest[1], self.segment) if part.counts[i]]
        return made

    rest: tuple[list[int], int] = ([], 0)

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
        if self.spur and (kind == "chain" or node.target.name == "chain"):
            return  # out along a chain and back: no stitch of the round
        self.spur = []
        loop_before = part.loop_now
        if node.loop:
            part.loop_now = LOOPS.index(node.loop) if node.loop in LOOPS else 0
        worker = _WORKERS.get(kind, Round._next)
        worker(self, node, stitch, n, number, each)
        part.loop_now = loop_before

    # --- one method for each kind of place -------------------------------------------------------------------------

    def _next(self, node: Work, stitch: Stitch, n: int, number: int, each: int) -> None:
        if n:
            self._into(stitch, n // stitch.uses if stitch.uses > 1 and n >= stitch.uses else n, each)
        else:
            self._into(stitch, number, 1)

    def _around(self, node: Work, stitch: Stitch, n: int, number: int, each: int) -> None:
        self._into(stitch, next(self.passes, 0), each)

    def _ring(self, node: Work, stitch: Stitch, n: int, number: int, each: int) -> None:
        for _ in range(number):
            self._one(stitch, [self.part.ring] if self.part.ring >= 0 else [])

    def _in_same(self, node: Work, stitch: Stitch, n: int, number: int, each: int) -> None:
        for _ in range(each):
            self._one(stitch, self._same())

    def _chain(self, node: Work, stitch: Stitch, n: int, number: int, each: int) -> None:
        self.at = max(0, n - 1) if n else max(0, len(self.below) - 1)
        self._into(stitch, 1, each)

    def _both(self, node: Work, stitch: Stitch, n: int, number: int, each: int) -> None:
        for _ in range(n or number):
            self._one(stitch, [*self._take(1), *(self._take_last() if node.target.kind == "both_layers" else [])])

    def _spaces(self, node: Work, stitch: Stitch, n: int, number: int, each: int) -> None:
        times = next(self.passes, 0) if node.target.kind == "spaces" else max(1, n)
        for _ in range(min(times, _LIMIT_UNITS)):
            place = self._this_space() if node.target.kind == "same_space" else self._next_space()
            if stitch.family != "skip":
                for _ in range(each):
                    self._one(stitch, place)

    def _free(self, node: Work, stitch: Stitch, n: int, number: int, each: int) -> None:
        for _ in range(each):
            self._one(stitch, self._here())

    def _evenly(self, node: Work, stitch: Stitch, n: int, number: int, each: int) -> None:
        """Shaping spread over the rest of the round, plain stitches between."""
        times = next(self.passes, 0)
        plain = len(self.below) - self.at - times * stitch.uses
        base = self.part.known[self.base]
        for i in range(times):
            self._into(base, plain * (i + 1) // times - plain * i // times, 1)
            self._into(stitch, 1, 1)
        if not times:
            self._into(base, max(0, plain), 1)

    def _earlier(self, node: Work, stitch: Stitch, n: int, number: int, each: int) -> None:
        """Into the loops of an earlier round."""
        if self.below is not self.part.by_label.get(node.target.instance):
            self.below, self.at = self.part.by_label.get(node.target.instance, self.below), 0
        self._into(stitch, n or next(self.passes, 0), each)

    def _on_part(self, node: Work, stitch: Stitch, n: int, number: int, each: int) -> None:
        part, target = self.part, node.target
        for (title, instance), (index, places) in part.ends.items():
            if (target.name and title != target.name) or (target.instance > 0 and instance != target.instance):
                continue
            count_here = n or len(places)
            chosen_places = places if count_here == len(places) else spread(places, count_here)
            parents = [part.foreign_place(Place(index, instance, i)) for i in chosen_places]
            for at in range(0, len(parents), max(1, stitch.uses)):
                self._one(stitch, parents[at : at + max(1, stitch.uses)])
            if target.instance >= 0:
                return

    def _on_bridge(self, node: Work, stitch: Stitch, n: int, number: int, each: int) -> None:
        for kind in ("bridge", "bridge_other") if node.target.kind == "bridge_both" else (node.target.kind,):
            chains = self.bridge[::-1] if kind == "bridge" else self.bridge
            for at in range(n or number):
                self._one(stitch, chains[at : at + 1] or chains[-1:])

    # --- stitches and places -----------------------------------------------------------------------------------------

    def _into(self, stitch: Stitch, units: int, each: int) -> None:
        """Work `units` stitches of one kind into the next places, `each` times into every place."""
        if self.fixed is not None:
            if stitch.family != "skip":
                for _ in range(units * each):
                    self._one(stitch, self.fixed)
            return
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

    def _here(self) -> list[int]:
        """The place beside the last stitch, for places that no round below counts."""
        return self.below[self.at : self.at + 1] or self.below[-1:]

    def _next_space(self) -> list[int]:
        spaces = self.part.spaces
        self.space_at += 1
        return spaces[(self.space_at - 1) % len(spaces)] if spaces else self._take(1)

    def _this_space(self) -> list[int]:
        spaces = self.part.spaces
        # A round that begins "in same sp" stands in a space already: the next one is another.
        self.space_at = max(1, self.space_at)
        return spaces[(self.space_at - 1) % len(spaces)] if spaces else self._same()

    def _body_chain(self, n: int) -> None:
        made = self.part.chains(n)
        self.spur = made if self.first is not None or self.depth else []
        self.body_chains += made
        self.part.new_spaces.append(made)
        self.bridge = self.bridge or made


def _into_ring(items: tuple[Node, ...]) -> bool:
    return any(isinstance(node, Work) and node.target.kind == "ring" for node in items)


_WORKERS = {
    "around": Round._around,
    "ring": Round._ring,
    "same": Round._in_same,
    "chain": Round._chain,
    "part": Round._on_part,
    "bridge": Round._on_bridge,
    "bridge_other": Round._on_bridge,
    "bridge_both": Round._on_bridge,
    "both_layers": Round._both,
    "both_pieces": Round._both,
    "space": Round._spaces,
    "spaces": Round._spaces,
    "same_space": Round._spaces,
    "free": Round._free,
    "evenly": Round._evenly,
    "to_count": Round._evenly,
    "earlier": Round._earlier,
}
