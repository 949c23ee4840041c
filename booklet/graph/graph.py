"""The noun of this room: settled lines, and every place of a piece with what it stands in, as flat arrays."""

from __future__ import annotations

from array import array
from dataclasses import dataclass
from typing import NamedTuple

from booklet.notation.tree import Instruction

LOOPS = ("", "front", "back", "third", "bump")  # values of PartGraph.loop
FOREIGN = 1 << 31  # a parent with this bit is an index into PartGraph.foreign


class Place(NamedTuple):
    """A place of another part: (part, instance, index)."""

    part: int  # index in Graph.parts
    instance: int  # 1 … make
    index: int  # of the place in that part


@dataclass(frozen=True, slots=True)
class Settled:
    """One instruction line with its counts. Counts are of the last round of the line."""

    part: int  # index in Pattern.parts
    step: int  # index in that part's steps
    line: int  # in the file
    kind: str  # "start", "round", "row"
    instruction: Instruction | None  # None: not understood
    label: str
    numbers: tuple[int, ...]
    available: int | None  # places that the line before left; None where nothing tells
    consumed: int | None
    total: int | None  # what the words make; None where not understood
    stated: int | None
    stated_unit: str | None
    carried: int | None  # what the next line starts from
    counts: tuple[tuple[str, int], ...]  # stitch id -> number, of the last round of the line
    passes: tuple[int, ...] = ()  # solved times of the free repeats ("around"), in order of reading
    given: bool = False  # the places come from outside the file's words: the printed total is believed
    fault: str = ""  # "", "does-not-close", "total-differs": what is wrong here
    fits: tuple[tuple[str, int], ...] = ()  # mends that would close: ("times", 7), ("plain", 2), ("total", 21)
    reading: int = 0  # which candidate was taken
    length: int = 0  # rounds told by a tally where the line has no numbers for them
    trees: tuple[Instruction, ...] = ()  # the words of its rounds, one cycle, where they differ (`repeat Rnds 5 and 6`)

    @property
    def rounds(self) -> int:
        """How many rounds or rows the line stands for."""
        return max(1, len(self.numbers), self.length)


@dataclass(frozen=True, slots=True)
class PartGraph:
    """Every place of one part, in order of work. Places of round 0 are its start: a ring, a chain, or nothing."""

    name: str
    make: int
    worked: str  # "spiral", "joined", "rows", "oval spiral", "oval joined" or "mixed"
    kinds: tuple[str, ...]  # stitch ids that `kind` points into
    yarns: tuple[str, ...]  # yarn codes that `yarn` points into
    kind: array[int]  # per place: index into kinds
    yarn: array[int]  # per place: index into yarns
    loop: array[int]  # per place: index into LOOPS, how it was entered
    counts: array[int]  # per place: 1 if it is counted as a stitch, 0 for ring, joins, chains that do not count
    round_start: array[int]  # index of the first place of round r; one more entry at the end
    round_label: tuple[str, ...]  # printed number of each round, "" for round 0
    round_line: array[int]  # index into Graph.settled of each round
    round_way: tuple[str, ...]  # "start", "spiral", "joined", "row", of each round; for rows "row" and "row back" alternate
    parent_start: array[int]  # parents of place i are parents[parent_start[i]:parent_start[i + 1]]
    parents: array[int]  # places below, in order of work; FOREIGN bit: see foreign
    foreign: tuple[Place, ...] = ()
    believed: bool = False  # some line was not understood: later counts rest on printed totals

    @property
    def rounds(self) -> int:
        """Number of worked rounds or rows, the start apart."""
        return len(self.round_label) - 1

    def total(self, r: int) -> int:
        """Counted stitches of round r."""
        return sum(self.counts[self.round_start[r] : self.round_start[r + 1]])

    def stitches(self) -> int:
        """Counted stitches of the whole part, one piece."""
        return sum(self.counts[self.round_start[1] :]) if self.rounds else 0

    def parents_of(self, i: int) -> array[int]:
        """The places that place i stands in."""
        return self.parents[self.parent_start[i] : self.parent_start[i + 1]]


@dataclass(frozen=True, slots=True)
class Graph:
    """All parts of a pattern for one size and one set of choices."""

    settled: tuple[Settled, ...]
    parts: tuple[PartGraph, ...]
    size: str = ""
    choices: tuple[tuple[str, str], ...] = ()
