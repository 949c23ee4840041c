"""Settled lines in, the graph of every place out: which stitch stands in which; sizes and drawings come later."""

from __future__ import annotations

from array import array
from collections.abc import Mapping
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.graph.count import Below, Counted, count, goes_into_ring, own_chain, pick
from booklet.graph.graph import Graph, PartGraph, Settled
from booklet.graph.making import Ends, Making, spread
from booklet.graph.round import Round
from booklet.graph.settle import chosen, known_stitches
from booklet.notation.tree import Act, Instruction, Node, Work
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
                diagnostic(
                    "too-large",
                    span,
                    part=part.title,
                    round=refused.settled.label,
                    places=refused.places,
                    limit=refused.limit,
                )
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
        self.tube = False  # the starting chain was closed to a ring
        self.chains_made: list[int] = []  # in the body of the last round
        self.believed = False
        self.counted: tuple[tuple[int | bool | None, ...], Counted] | None = None

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
        joins = (
            [
                node
                for node in settled.instruction.items
                if isinstance(node, Act) and node.kind in ("join", "ring_chain")
            ]
            if settled.instruction
            else []
        )
        self.tube = bool(joins)
        ring = next((node.n for node in joins if node.kind == "ring_chain"), 0)
        length = pick(works[0].count if works else ring, self.size)
        self._room_for(settled, length)
        made = self.chains(length)
        if len(self.labels) == 1:
            self.chain = made[::-1]
            self.places = list(self.chain)
        else:
            self.bridge = made

    def _rounds(self, at: int, settled: Settled) -> None:
        numbers = settled.numbers or (0,) * max(1, settled.length)
        last = len(numbers) - 1
        for i, number in enumerate(numbers):
            line = settled.trees[i % len(settled.trees)] if settled.trees else settled.instruction
            if line is None or not any(not isinstance(node, Act) for node in line.items):
                self._believe(at, settled, number)
            else:
                self._round(at, settled, line, number, i == 0, i == last)

    def _round(self, at: int, settled: Settled, line: Instruction, number: int, is_first: bool, is_last: bool) -> None:
        if is_first and is_last:
            self._meet(settled.available)
        chain = bool(self.chain) and len(self.labels) == 1
        totals = {key: len(places) for key, (_, places) in self.ends.items()}
        places = len(self.places) if self.places or len(self.labels) > 1 else None
        # The rounds of a range mostly meet the same number of places: counted once.
        key = (at, id(line), places, chain, len(self.bridge), len(self.spaces))
        if self.counted is None or self.counted[0] != key:
            labels = {label: len(found) for label, found in self.by_label.items()}
            met = (len(self.spaces), labels, len(self.chains_made), self.tube)
            below = Below(places, chain, totals, len(self.bridge), self.size, *met)
            self.counted = (key, count(line, below, self.known, settled.stated))
        result = self.counted[1]
        self._room_for(settled, max(result.made or 0, result.used or 0))
        if result.made is None and settled.stated is not None:
            self._believe(at, settled, number)
            return
        items = self._start_in_line(line.items)
        row = settled.kind == "row"
        way = (
            ("row back" if self.ways[-1] == "row" else "row")
            if row
            else "joined"
            if self._joins(line.items)
            else "spiral"
        )
        if self.ring < 0 and goes_into_ring(items):
            self.ring = self.emit("ring", [], 0)
        worker = Round(self, items, iter(result.passes), len(self.labels) == 1)
        self._open(at, number or len(self.labels), way)
        self.new_spaces = []
        worker.work(items)
        self.oval = self.oval or worker.second_side
        made = worker.made()
        if (
            settled.carried is not None
            and is_last
            and worker.body_chains
            and settled.carried == len(made) + len(worker.body_chains)
        ):
            made = sorted([*made, *worker.body_chains])
            for chain_place in worker.body_chains if settled.total == settled.carried else ():
                self.counts[chain_place] = 1  # the printed total counts them as stitches
        self.chains_made = [] if set(worker.body_chains) <= set(made) else worker.body_chains
        self.loop_now = 0
        if row or worker.turned:
            made.reverse()
        self._close(made, settled.carried if is_last else None)
        self.by_label[number] = self.places

    def _meet(self, available: int | None) -> None:
        """The places that the settled line starts from: chains of the round below are places where the line works into them."""
        if available is None or not self.places or available == len(self.places) or self.chain:
            return
        with_chains = sorted([*self.places, *self.chains_made])
        self.places = with_chains if available == len(with_chains) else spread(self.places, available)

    def _start_in_line(self, items: tuple[Node, ...]) -> tuple[Node, ...]:
        """`ch 2, 6 sc in 2nd ch from hook` and `ch 3, 14 sc on first leg, …` make their own start: round 0, then the rest."""
        if len(self.labels) > 1 or self.chain or self.bridge:
            return items
        own = own_chain(items, self.size, len(self.places) or None)
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
        self.by_label[number] = self.places

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
        self.spaces, self.new_spaces = self.new_spaces, []
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
