"""Readings of a line and what lies below in, each of them counted to its last round out; which one is taken is settle's."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from booklet.graph.again import Said
from booklet.graph.count import Below, Counted, count, pick
from booklet.graph.match import EXACT, NO, matches, total_of
from booklet.notation.tree import Act, Instruction
from booklet.tables.stitches import Stitch


class Trial(NamedTuple):
    """One reading of a line, counted to the last of its rounds."""

    reading: int
    line: Instruction
    result: Counted  # of the last round that could be counted
    stated: int | None
    total: int | None  # what the words make, as the printed total counts it
    match: int  # of total and words: see match.py
    several: bool  # the line can be read in other ways too
    trees: tuple[Instruction, ...] = ()  # the words of each round, where they differ
    first_made: int | None = None  # of a range: what its first round makes, where the others do not close

    @property
    def words(self) -> Instruction:
        """The line with the words that it repeats."""
        return self.line

    @property
    def closes(self) -> bool:
        """Every place is used, once."""
        return self.result.made is not None and (self.result.closes or self.loose)

    @property
    def loose(self) -> bool:
        """Worked into places that no number proves."""
        return self.result.loose

    @property
    def right(self) -> bool:
        """It closes and makes the printed total."""
        return self.closes and self.match != NO

    @property
    def exact(self) -> bool:
        """The printed total is the number of stitches."""
        return self.match == EXACT

    @property
    def proved(self) -> bool:
        """Places below are known and used up."""
        return self.result.available is not None and self.result.closes and not self.loose

    @property
    def doubtful(self) -> bool:
        """No error may rest on this reading alone."""
        return self.several or bool(self.line.choices)

    @property
    def trailing(self) -> bool:
        """Does the line end with a chain that raises the hook for the next one?"""
        for node in reversed(self.line.items):
            if not isinstance(node, Act):
                return False
            if node.kind == "start_chain":
                return node.n != 1
        return False


class Trier:
    """Counts readings with the stitches, the finished parts and the size of a pattern."""

    def __init__(self, known: Mapping[str, Stitch], parts: Mapping[tuple[str, int], int], size: int) -> None:
        self.known, self.parts, self.size = known, parts, size
        self.said: Said | None = None

    def trials(self, readings: tuple[Instruction, ...], below: Below) -> list[Trial]:
        """All readings, up to the first that uses every place and makes exactly the printed total."""
        found: list[Trial] = []
        several = len(readings) > 1
        for i, line in enumerate(readings):
            trial = self._trial(i, line, below, several)
            found.append(trial)
            if line.stated is not None and trial.match == EXACT and trial.proved:
                break
        return found

    def _trial(self, reading: int, line: Instruction, below: Below, several: bool) -> Trial:
        """Count all rounds of the line: a range that shapes goes on from its own result."""
        stated = None if line.stated is None else pick(line.stated, self.size)
        trees = self.said.trees(line) if self.said is not None else (line,)
        if not trees:
            trees = (line,)
        result = count(trees[0], below, self.known, stated)
        first = result
        rounds, most = 1, line.rounds
        last_tree = trees[0]
        while (
            rounds < most
            and result.closes
            and result.made is not None
            and (result.made != result.used or len(trees) > 1)
        ):
            if result.available is None and result.made is None:
                break
            tree = trees[rounds % len(trees)]
            following = count(
                tree,
                Below(result.made, False, self.parts, 0, self.size, result.spaces, below.rounds),
                self.known,
                stated,
            )
            rounds += 1
            result, last_tree = following, tree
            if rounds >= 200 and len(trees) == 1 and result.made == result.used:
                break
        match = matches(result, line, self.size)
        first_made = None
        if (
            result is not first
            and not (result.closes and match != NO)
            and matches(first, line, self.size) == EXACT
            and line.stated is not None
        ):
            result, match, first_made = first, EXACT, first.made  # R16: only the first round of the range closes
        total = total_of(result, line, self.size)
        del last_tree
        return Trial(reading, line, result, stated, total, match, several, trees, first_made)


def preferred(readings: tuple[Instruction, ...], said: Said) -> tuple[Instruction, ...]:
    """R8: the readings ordered by what tells whether the starting chain counts: its join, then the habit of the part."""
    chains = [_start_chain(line) for line in readings]
    if all(chain is None for chain in chains):
        return readings

    def odd(i: int) -> int:
        chain = chains[i]
        if chain is None or chain.counts is None:
            return 0
        joined = next(
            (node.value for node in readings[i].items if isinstance(node, Act) and node.kind == "join" and node.value),
            "",
        )
        short = isinstance(chain.n, int) and chain.n < 2
        wanted = None
        if joined:
            wanted = joined == "chain" and not short
        elif chain.n in said.chains:
            wanted = said.chains[chain.n]
        return 0 if wanted is None or chain.counts == wanted else 1

    return tuple(readings[i] for i in sorted(range(len(readings)), key=odd))


def _start_chain(line: Instruction) -> Act | None:
    for node in line.items:
        if isinstance(node, Act) and node.kind == "start_chain":
            return node
        if not isinstance(node, Act):
            return None
    return None
