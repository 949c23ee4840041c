"""Settled lines in, the graph of every place out: which stitch stands in which; sizes and drawings come later."""

from __future__ import annotations

from array import array
from collections.abc import Mapping
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.count import Below, Counted, count, own_chain, pick
from booklet.graph.graph import Graph, PartGraph, Settled
from booklet.graph.making import Ends, Making, spread
from booklet.graph.round import Round
from booklet.graph.settle import chosen, known_stitches
from booklet.notation.tree import Act, Node, Work
from booklet.pattern.model import Choice, Pattern, Section
from booklet.tables.limits import limits
from booklet.tables.stitches import Stitch


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


class _Part(Making):
    def __init__(self, part: Section, known: Mapping[str, Stitch], ends: Ends, size: int, room: int) -> None:
        super().__init__(known, ends, size)
        self.part, self.room = part, room
        self.round_start, self.round_line = array("L", [0]), array("l", [-1])
        self.labels: list[str] = [""]
        self.ways: list[str] = ["start"]
        self.joined = False  # said by a sentence
        self.oval = False
        self.believed = False
        self.counted: tuple[tuple[int, int | None, bool, int], Counted] | None = None

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
            self.yarn_now = self.yarn_index(str(yarn))
        elif name == "worked":
            self.joined = how == "joined"

    def _start_chain(self, settled: Settled) -> None:
        works = [node for node in settled.instruction.items if isinstance(node, Work)] if settled.instruction else []
        for node in settled.instruction.items if settled.instruction else ():
            if isinstance(node, Act) and node.kind == "yarn":
                self.yarn_now = self.yarn_index(node.value)
        length = pick(works[0].count, self.size) if works else 0
        self._room_for(settled, length)
        made = self.chains(length)
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
        # The rounds of a range mostly meet the same number of places: counted once.
        key = (at, places, chain, len(self.bridge))
        if self.counted is None or self.counted[0] != key:
            self.counted = (key, count(line, Below(places, chain, totals, len(self.bridge), self.size), self.known, settled.stated))
        result = self.counted[1]
        self._room_for(settled, max(result.made or 0, result.used or 0))
        if result.made is None and settled.stated is not None:
            self._believe(at, settled, number)
            return
        items = self._start_in_line(line.items)
        row = settled.kind == "row"
        way = ("row back" if self.ways[-1] == "row" else "row") if row else "joined" if self._joins(line.items) else "spiral"
        if self.ring < 0 and any(isinstance(node, Work) and node.target.kind == "ring" for node in items):
            self.ring = self.emit("ring", [], 0)
        worker = Round(self, items, iter(result.passes), len(self.labels) == 1)
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
        made = self.chains(pick(first.count, self.size))
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
        below = spread(self.places, total)
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
        self.places = made if carried is None or carried == len(made) else spread(made, carried)

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
