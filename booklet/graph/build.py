"""Settled lines in, the graph of every place out: which stitch stands in which; sizes and drawings come later."""

from __future__ import annotations

from array import array
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.count import GENERIC, Below, base_of, count, own_chain, pick
from booklet.graph.graph import FOREIGN, LOOPS, Graph, PartGraph, Place, Settled
from booklet.graph.settle import chosen, known_stitches
from booklet.notation.tree import Act, Group, Node, Work
from booklet.pattern.model import Choice, Pattern, Section
from booklet.tables.limits import limits
from booklet.tables.stitches import Stitch

Ends = dict[tuple[str, int], tuple[int, list[int]]]  # (part title, instance) -> part index, places of its last round


class _TooLarge(Exception):
    """A round or a pattern beyond shared/limits.toml."""

    def __init__(self, settled: Settled, places: int, limit: int) -> None:
        super().__init__(places)
        self.settled, self.places, self.limit = settled, places, limit


class Built(NamedTuple):
    """The graph and what had to be refused on the way."""

    graph: Graph
    problems: tuple[Diagnostic, ...]


def build(pattern: Pattern, settled: tuple[Settled, ...], size: int = 0, choices: tuple[Choice, ...] = ()) -> Built:
    """Build all parts, in order. A part beyond the limits ends at its last good round and is reported as `too-large`."""
    known = known_stitches(pattern)
    parts: list[PartGraph] = []
    problems: list[Diagnostic] = []
    ends: Ends = {}
    room = limits()["places_pattern"]
    for p, part in enumerate(pattern.parts):
        lines = {line.step: (i, line) for i, line in enumerate(settled) if line.part == p}
        builder = _Part(part, known, ends, size, room)
        try:
            builder.build(lines, choices)
        except _TooLarge as refused:
            builder.drop_open_round()
            builder.believed = True
            instruction = refused.settled.instruction
            span = instruction.span if instruction is not None else part.span
            problems.append(
                diagnostic("too-large", span, part=part.title, round=refused.settled.label, places=refused.places, limit=refused.limit)
            )
        graph = builder.graph(part)
        room -= len(graph.kind) * part.make
        for instance in range(1, part.make + 1):
            ends[part.title, instance] = (p, builder.places)
        parts.append(graph)
    name = pattern.sizes[size] if pattern.sizes else ""
    return Built(Graph(settled, tuple(parts), name, choices), tuple(problems))


class _Part:
    def __init__(self, part: Section, known: Mapping[str, Stitch], ends: Ends, size: int, room: int) -> None:
        self.part, self.known, self.ends, self.size, self.room = part, known, ends, size, room
        self.kinds: dict[str, int] = {}
        self.yarns: dict[str, int] = {"": 0}
        self.kind, self.yarn, self.loop, self.counts = array("H"), array("B"), array("B"), array("B")
        self.parent_start, self.parents = array("L", [0]), array("L")
        self.round_start, self.round_line = array("L", [0]), array("l", [-1])
        self.labels: list[str] = [""]
        self.ways: list[str] = ["start"]
        self.foreign: dict[Place, int] = {}
        self.places: list[int] = []  # of the last round, in the order in which the next one meets them
        self.chain: list[int] = []  # of the start, from the hook
        self.bridge: list[int] = []
        self.ring = -1
        self.yarn_now = 0
        self.loop_now = 0
        self.joined = False  # said by a sentence
        self.oval = False
        self.believed = False

    # --- a whole part ----------------------------------------------------------------------------------------------

    def build(self, lines: Mapping[int, tuple[int, Settled]], choices: tuple[Choice, ...]) -> None:
        for s, step in enumerate(self.part.steps):
            if not chosen(step, choices):
                continue
            if step.kind == "sentence":
                self._sentence(step.name, step.value("yarn"), step.value("how"))
            elif s in lines:
                at, settled = lines[s]
                if settled.kind == "start":
                    self._start_chain(settled)
                else:
                    self._rounds(at, settled)

    def _sentence(self, name: str, yarn: object, how: object) -> None:
        if name in ("yarn.with", "yarn.change") and yarn:
            self.yarn_now = self._yarn(str(yarn))
        elif name == "worked":
            self.joined = how == "joined"

    def _start_chain(self, settled: Settled) -> None:
        works = [node for node in settled.instruction.items if isinstance(node, Work)] if settled.instruction else []
        for node in settled.instruction.items if settled.instruction else ():
            if isinstance(node, Act) and node.kind == "yarn":
                self.yarn_now = self._yarn(node.value)
        length = pick(works[0].count, self.size) if works else 0
        self._room_for(settled, length)
        made = self._chains(length)
        if len(self.labels) == 1:
            self.chain = made[::-1]
            self.places = list(self.chain)
        else:
            self.bridge = made

    def _rounds(self, at: int, settled: Settled) -> None:
        numbers = settled.numbers or (0,)
        for number in numbers:
            if settled.instruction is None:
                self._believe(at, settled, number)
            else:
                self._round(at, settled, number)

    def _round(self, at: int, settled: Settled, number: int) -> None:
        line = settled.instruction
        assert line is not None
        chain = bool(self.chain) and len(self.labels) == 1
        totals = {key: len(places) for key, (_, places) in self.ends.items()}
        places = len(self.places) if self.places or len(self.labels) > 1 else None
        result = count(line, Below(places, chain, totals, len(self.bridge), self.size), self.known, settled.stated)
        self._room_for(settled, max(result.made or 0, result.used or 0))
        if result.made is None and settled.stated is not None:
            self._believe(at, settled, number)
            return
        items = self._start_in_line(line.items)
        row = settled.kind == "row"
        way = ("row back" if self.ways[-1] == "row" else "row") if row else "joined" if self._joins(line.items) else "spiral"
        if self.ring < 0 and any(isinstance(node, Work) and node.target.kind == "ring" for node in items):
            self.ring = self.emit("ring", [], 0)
        worker = _Round(self, items, iter(result.passes))
        first = self._open(at, number or len(self.labels), way)
        worker.work(items)
        self.oval = self.oval or worker.second_side
        made = [i for i in range(first, len(self.kind)) if self.counts[i]]
        self.loop_now = 0
        if row or worker.turned:
            made.reverse()
        self._close(made, settled.carried if number == (settled.numbers or (0,))[-1] else None)

    def _start_in_line(self, items: tuple[Node, ...]) -> tuple[Node, ...]:
        """`ch 2, 6 sc in 2nd ch from hook` and `ch 3, 14 sc on first leg, …` make their own start: round 0, then the rest."""
        if len(self.labels) > 1 or self.chain or self.bridge:
            return items
        own = own_chain(list(items), self.size)
        at = next((i for i, node in enumerate(items) if not isinstance(node, Act)), None)
        parts = any(isinstance(node, Work) and node.target.kind == "part" for node in items)
        first = items[at] if at is not None else None
        if at is None or not isinstance(first, Work) or first.stitch != "chain" or not (own or parts):
            return items
        made = self._chains(pick(first.count, self.size))
        if own:
            self.chain = made[::-1]
            self.places = list(self.chain)
        else:
            self.bridge = made
        return items[:at] + items[at + 1 :]

    def _believe(self, at: int, settled: Settled, number: int) -> None:
        """A line that was not understood: as many plain stitches as its printed total says, spread over what is below."""
        total = settled.carried or 0
        self._room_for(settled, total)
        self.believed = True
        self._open(at, number or len(self.labels), "row" if settled.kind == "row" else "spiral")
        below = _spread(self.places, total)
        for i in range(total):
            self.emit("single_crochet", below[i : i + 1], 1)
        self._close(list(range(self.round_start[-1], len(self.kind))), total)

    def _open(self, at: int, number: int, way: str) -> int:
        if len(self.labels) == 1 and len(self.round_start) == 1:
            self.round_start.append(len(self.kind))
        self.labels.append(str(number))
        self.ways.append(way)
        self.round_line.append(at)
        return len(self.kind)

    def _close(self, made: list[int], carried: int | None) -> None:
        self.round_start.append(len(self.kind))
        self.bridge = []
        self.places = made if carried is None or carried == len(made) else _spread(made, carried)

    def drop_open_round(self) -> None:
        """After a refusal: forget what was begun, keep what is whole."""
        while len(self.labels) >= len(self.round_start) and len(self.labels) > 1:
            self.labels.pop()
            self.ways.pop()
            self.round_line.pop()

    def _room_for(self, settled: Settled, places: int) -> None:
        most = limits()["places_round"]
        if places > most:
            raise _TooLarge(settled, places, most)
        if len(self.kind) + places > self.room:
            raise _TooLarge(settled, len(self.kind) + places, limits()["places_pattern"])

    def _joins(self, items: tuple[Node, ...]) -> bool:
        return self.joined or any(isinstance(node, Act) and node.kind == "join" for node in items)

    # --- places ----------------------------------------------------------------------------------------------------

    def emit(self, kind: str, parents: list[int], counted: int) -> int:
        """Add one place and give its index."""
        self.kind.append(self.kinds.setdefault(kind, len(self.kinds)))
        self.yarn.append(self.yarn_now)
        self.loop.append(self.loop_now)
        self.counts.append(counted)
        self.parents.extend(parents)
        self.parent_start.append(len(self.parents))
        return len(self.kind) - 1

    def emit_plain(self, kind: str, parents: list[int]) -> None:
        """Add one counted stitch into each of the parents; the fast way for long plain stretches."""
        n = len(parents)
        self.kind.extend((self.kinds.setdefault(kind, len(self.kinds)),) * n)
        self.yarn.extend((self.yarn_now,) * n)
        self.loop.extend((self.loop_now,) * n)
        self.counts.extend((1,) * n)
        start = len(self.parents)
        self.parents.extend(parents)
        self.parent_start.extend(range(start + 1, start + n + 1))

    def _chains(self, n: int) -> list[int]:
        return [self.emit("chain", [], 0) for _ in range(n)]

    def _yarn(self, code: str) -> int:
        return self.yarns.setdefault(code, len(self.yarns))

    def foreign_place(self, place: Place) -> int:
        """The parent number of a place of another part."""
        return FOREIGN | self.foreign.setdefault(place, len(self.foreign))

    def graph(self, part: Section) -> PartGraph:
        """The finished value."""
        if len(self.round_start) == 1:
            self.round_start.append(len(self.kind))
        return PartGraph(
            part.title, part.make, self._worked(), tuple(self.kinds), tuple(self.yarns),
            self.kind, self.yarn, self.loop, self.counts, self.round_start, tuple(self.labels), self.round_line,
            tuple(self.ways), self.parent_start, self.parents, tuple(self.foreign), self.believed,
        )  # fmt: skip

    def _worked(self) -> str:
        ways = {"rows" if way.startswith("row") else way for way in self.ways[1:]}
        if len(ways) != 1:
            return "mixed" if ways else "spiral"
        way = next(iter(ways))
        return f"oval {way}" if self.oval else way


class _Round:
    """Works one round: walks the tree once, with a cursor over the places below."""

    def __init__(self, part: _Part, items: tuple[Node, ...], passes: Iterator[int]) -> None:
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
        if part.chain and len(part.labels) == 1 and not named and self._ends_on_chain(items):
            self.at = 1  # the first chain is skipped without saying so

    def _ends_on_chain(self, items: tuple[Node, ...]) -> bool:
        return not any(isinstance(node, Work) and node.target.kind == "ring" for node in items)

    def work(self, items: tuple[Node, ...]) -> None:
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
            part.yarn_now = part._yarn(node.value)
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
        made = self.part._chains(n)
        self.bridge = self.bridge or made

    def _on_part(self, node: Work, stitch: Stitch, number: int) -> None:
        part = self.part
        for (title, instance), (index, places) in part.ends.items():
            if (not node.target.name or title == node.target.name) and (not node.target.instance or instance == node.target.instance):
                count_here = number or len(places)
                chosen_places = places if count_here == len(places) else _spread(places, count_here)
                parents = [part.foreign_place(Place(index, instance, i)) for i in chosen_places]
                for at in range(0, len(parents), max(1, stitch.uses)):
                    self._one(stitch, parents[at : at + max(1, stitch.uses)])
                return

    def _on_bridge(self, stitch: Stitch, number: int, kind: str) -> None:
        chains = self.bridge[::-1] if kind == "bridge" else self.bridge
        for at in range(number):
            self._one(stitch, chains[at : at + 1] or chains[-1:])


def _spread(places: list[int], n: int) -> list[int]:
    """n places, evenly taken from those that are there: the count of a wrong line goes on from its printed total."""
    return [places[i * len(places) // n] for i in range(n)] if places and n > 0 else []
