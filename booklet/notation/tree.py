"""The noun of this room: what one line tells the hands, as written; repeats stay repeats, nothing is counted."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from booklet.diagnostics.span import Span

Number = int | tuple[int, ...]  # a tuple holds one number for each declared size


class Target(NamedTuple):
    """Where stitches go. `n` is a number of places, or which chain counted from the hook.

    Kinds: next, around (all that are left), same, first, last; ring, chain (the n-th from the hook), chain_end;
    part, bridge, bridge_other, both_layers (2n places folded on each other), both_pieces (n places here and n of another piece);
    space, spaces (every one of the round below), same_space: chain spaces, `instance` = chains of each, 0 where it is not told;
    earlier (loops that round `instance` left, `name` = which loops), every (one place in n), evenly (spread over the round),
    to_count (until the round has n), free (a place that no round below counts: a hole, an edge, a gap).
    """

    kind: str
    n: Number = 0
    name: str = ""  # of a part; "chain" where the places of an "around" are chains; the loops of an earlier round
    instance: int = 0  # of a part made more than once: 1, 2 …, -1 for each of them; 0 where it is not told
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
    loop: str = ""  # "front", "back", "third", "bump", or "" for both


@dataclass(frozen=True, slots=True)
class Group:
    """A repeat unit, or stitches that go into one place."""

    items: tuple[Node, ...]
    times: Number | None  # None: as often as there are places ("around")
    span: Span
    leave: Number = 0  # places kept at the end ("to last 3 sts")
    target: Target | None = None  # all of its stitches go into this place: `(3 dc, ch 2, 3 dc) in next sp`
    until: Number = 0  # repeated until so many stitches are there ("until 7 sts remain"); 0 where it is not told


@dataclass(frozen=True, slots=True)
class Act:
    """Something on the line that makes no stitch.

    Kinds: join (value = what it goes into: stitch, chain, or ""), turn, yarn, loop, note, start_chain, ring_chain,
    skipped_chain (n chains skipped at the hook), chain_from, other_side, tally, leave (the rest stays unworked),
    as_round (value = "3" or "5,6": rounds whose words are repeated, "last" and n: the last n), as_before, measure, begin.
    """

    kind: str
    span: Span
    value: str = ""  # a yarn code, "front"/"back"/"both", or the words of a note
    n: Number = 0  # of a start_chain: its chains; of as_round: how often
    counts: bool | None = None  # of a start_chain: is it a stitch? None: not said
    space: Number = 0  # of a start_chain that counts: its chains beyond the stitch (`ch 5, counts as dc and ch 2`: 2)


Node = Work | Group | Act


@dataclass(frozen=True, slots=True)
class Instruction:
    """One reading of one line."""

    kind: str  # "start", "round" or "row"
    label: str  # as typed, tidied: "Rnds 4-7"
    numbers: tuple[int, ...]  # (4, 5, 6, 7); () where the line has no number
    items: tuple[Node, ...]
    stated: Number | None  # the printed total
    stated_unit: str | None  # stitch id, "space", "group", "chain", or None
    span: Span  # from the header to the end
    body: Span  # without header and total
    stated_span: Span | None = None
    choices: tuple[tuple[str, tuple[tuple[str, str | int], ...]], ...] = field(
        default=()
    )  # readings that were chosen: (code, values)
    length: int = 0  # rounds told by a tally where there is no range: `For 6 rounds:`
    stated_more: tuple[
        tuple[Number, str | None], ...
    ] = ()  # the other numbers of a total in several units, with theirs

    @property
    def rounds(self) -> int:
        """How many rounds or rows this line stands for."""
        return max(1, len(self.numbers), self.length)


class Candidates(NamedTuple):
    """All readings of a line, likeliest first; empty where nothing was understood."""

    readings: tuple[Instruction, ...]
    failed_at: Span | None = None  # the word at which reading stopped
    expected: str = ""  # what would have been understood there
    kind: str = "round"  # what the header says, even where the rest was not understood
    label: str = ""
    numbers: tuple[int, ...] = ()
    stated: int | None = None  # a printed total that could be made out
    guesses: tuple[Instruction, ...] = ()  # readings that pass over words; only to be taken where they prove themselves
