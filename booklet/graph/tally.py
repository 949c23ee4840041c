"""The small values of counting: what a piece of a line takes and leaves, what lies below it, what came out; no tree is walked here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from booklet.notation.tree import Number


class Tally(NamedTuple):
    """What a piece of the tree takes and leaves."""

    used: int  # places of the round below
    made: int  # counted stitches
    counts: tuple[tuple[str, int], ...] = ()  # base stitch id -> number of counted stitches
    chains: int = 0  # chains that are not stitches but may be worked into
    spaces: int = 0  # chain spaces that those chains make
    taken: int = 0  # chain spaces of the round below
    groups: int = 0  # groups, shells, clusters: what a total "(7 shells)" counts

    def plus(self, other: Tally) -> Tally:
        """Both, one after the other."""
        used, made, counts, chains, spaces, taken, groups = other
        if not (chains or spaces or taken or groups or self.chains or self.spaces or self.taken or self.groups):
            return Tally(self.used + used, self.made + made, self.counts + counts)
        return Tally(
            self.used + used, self.made + made, self.counts + counts,
            self.chains + chains, self.spaces + spaces, self.taken + taken, self.groups + groups,
        )  # fmt: skip

    def times(self, n: int) -> Tally:
        """The same n times."""
        used, made, counts, chains, spaces, taken, groups = self
        return Tally(
            used * n,
            made * n,
            tuple((stitch, number * n) for stitch, number in counts),
            chains * n,
            spaces * n,
            taken * n,
            groups * n,
        )


NOTHING = Tally(0, 0)


class Below(NamedTuple):
    """What a line can be worked into."""

    places: int | None  # stitches or chains that the line before left; None where nothing tells
    chain: bool = False  # the places are the chains of a starting chain
    parts: Mapping[tuple[str, int], int] = {}  # (part title, instance) -> stitches on its last round
    bridge: int = 0  # chains of a bridge made before this line
    size: int = 0  # which of the declared sizes
    spaces: int = 0  # chain spaces that the line before left
    rounds: Mapping[int, int] = {}  # printed number -> stitches of that round, for loops that it left
    chains: int = 0  # chains in the body of the line before
    tube: bool = False  # the chain was closed to a ring: nothing of it is skipped


class Counted(NamedTuple):
    """The result for one round."""

    available: int | None
    used: int | None  # None where a free repeat cannot be solved
    made: int | None
    counts: tuple[tuple[str, int], ...]
    passes: tuple[int, ...]  # solved free repeats, in order of reading
    closes: bool
    remainder: int = 0  # places that a free repeat leaves over
    chains: int = 0
    spaces: int = 0
    groups: int = 0
    loose: bool = False  # worked into spaces, gaps or other places that no number proves: its closing is not judged
    waiting: int = 0  # places that the line leaves unworked on purpose


def pick(number: Number, size: int) -> int:
    """The number for a size."""
    return number if isinstance(number, int) else number[min(size, len(number) - 1)]


def merged(tally: Tally) -> Tally:
    """The same with one entry a stitch, so that nested repeats stay small."""
    if len(tally.counts) < 2:
        return tally
    found: dict[str, int] = {}
    for stitch, number in tally.counts:
        found[stitch] = found.get(stitch, 0) + number
    return tally._replace(counts=tuple(found.items()))
