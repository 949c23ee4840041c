"""The noun of this room: what one line tells the hands, as written; repeats stay repeats, nothing is counted."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from booklet.diagnostics.span import Span

Number = int | tuple[int, ...]  # a tuple holds one number for each declared size


class Target(NamedTuple):
    """Where stitches go. `n` is a number of places, or which chain counted from the hook."""

    kind: str  # next, each, around, same, first, last, ring, chain, chains, chain_end, other_side, part, bridge, bridge_other, both_layers
    n: Number = 0
    name: str = ""  # of a part
    instance: int = 0  # of a part made more than once: 1, 2 …; 0 where it is not told
    words: str = ""  # the part as the line called it: "leg" of the part "Legs"


NEXT = Target("next")


@dataclass(frozen=True, slots=True)
class Work:
    """Stitches of one kind. `count` stitches are written; `each` of them go into every place of the target."""

    stitch: str  # stitch id; "chain" and "skip" too
    count: Number
    span: Span
    target: Target = NEXT  # next with n = 0: as many places as the count needs
    each: Number = 1  # 2 in `2 sc in next st`
    loop: str = ""  # "front", "back", or "" for both


@dataclass(frozen=True, slots=True)
class Group:
    """A repeat unit."""

    items: tuple[Node, ...]
    times: Number | None  # None: as often as there are places ("around")
    span: Span
    leave: Number = 0  # places kept at the end ("to last 3 sts")


@dataclass(frozen=True, slots=True)
class Act:
    """Something on the line that makes no stitch: join, turn, yarn, loop, note, start_chain."""

    kind: str
    span: Span
    value: str = ""  # a yarn code, "front"/"back"/"both", or the words of a note
    n: Number = 0  # of a start_chain: its chains
    counts: bool | None = None  # of a start_chain: is it a stitch? None: not said


Node = Work | Group | Act


@dataclass(frozen=True, slots=True)
class Instruction:
    """One reading of one line."""

    kind: str  # "start", "round" or "row"
    label: str  # as typed, tidied: "Rnds 4-7"
    numbers: tuple[int, ...]  # (4, 5, 6, 7); () where the line has no number
    items: tuple[Node, ...]
    stated: Number | None  # the printed total
    stated_unit: str | None  # stitch id, "spaces", "chains", or None
    span: Span  # from the header to the end
    body: Span  # without header and total
    stated_span: Span | None = None
    choices: tuple[tuple[str, tuple[tuple[str, str | int], ...]], ...] = field(default=())  # readings that were chosen: (code, values)

    @property
    def rounds(self) -> int:
        """How many rounds or rows this line stands for."""
        return max(1, len(self.numbers))


class Candidates(NamedTuple):
    """All readings of a line, likeliest first; empty where nothing was understood."""

    readings: tuple[Instruction, ...]
    failed_at: Span | None = None  # the word at which reading stopped
    expected: str = ""  # what would have been understood there
    kind: str = "round"  # what the header says, even where the rest was not understood
    label: str = ""
    numbers: tuple[int, ...] = ()
    stated: int | None = None  # a printed total that could be made out
