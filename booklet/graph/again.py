"""Settled lines of a part in, what they said for later lines out: the words of a round that is repeated, chains that count."""

from __future__ import annotations

from dataclasses import replace

from booklet.graph.graph import Settled
from booklet.notation.tree import Act, Instruction, Node, Number


class Said:
    """What earlier lines of the part said."""

    def __init__(self) -> None:
        self.by_number: dict[int, Instruction] = {}
        self.in_order: list[Instruction] = []
        self.chains: dict[Number, bool] = {}  # length of a starting chain -> does it count in this part

    def add(self, settled: Settled, line: Instruction) -> None:
        """Remember a line."""
        if settled.kind == "start":
            return
        for number in line.numbers or (self._next_number(),):
            self.by_number[number] = line
        self.in_order.append(line)
        for node in line.items:
            if isinstance(node, Act) and node.kind == "start_chain" and node.counts is not None:
                self.chains.setdefault(node.n, node.counts)

    def _next_number(self) -> int:
        return max(self.by_number, default=0) + 1

    def resolved(self, line: Instruction) -> Instruction:
        """The line itself; where it repeats the words of one other round, with these words."""
        again = _again(line)
        if again is None:
            return line
        trees = self.trees(line)
        if len(trees) != 1:
            return line
        return _in_place(line, again, trees[0])

    def trees(self, line: Instruction) -> tuple[Instruction, ...]:
        """The words of every round that a line stands for, one cycle; the line itself where it repeats nothing."""
        again = _again(line)
        if again is None:
            return (line,)
        if again.value.startswith("last"):
            n = int(again.value.split()[-1])
            lines = self.in_order[-n:] if n else []
        else:
            lines = [self.by_number[n] for n in map(int, again.value.split(",")) if n in self.by_number]
        return tuple(_in_place(line, again, other) for other in lines)


def _again(line: Instruction) -> Act | None:
    for node in line.items:
        if isinstance(node, Act) and node.kind == "as_round":
            return node
    return None


def _in_place(line: Instruction, again: Act, other: Instruction) -> Instruction:
    items: list[Node] = []
    for node in line.items:
        items += other.items if node is again else [node]
    return replace(
        line,
        items=tuple(
            node for node in items if not (isinstance(node, Act) and node.kind == "tally" and node not in line.items)
        ),
    )
