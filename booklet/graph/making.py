"""The places of one part while they are being made: stitches in, flat arrays out; which stitch comes next is not known here."""

from __future__ import annotations

from array import array
from collections.abc import Mapping

from booklet.graph.graph import FOREIGN, Place
from booklet.tables.stitches import Stitch

Ends = dict[tuple[str, int], tuple[int, list[int]]]  # (part title, instance) -> part index, places of its last round


class Making:
    """Growing arrays, and what the hands have on the hook."""

    def __init__(self, known: Mapping[str, Stitch], ends: Ends, size: int) -> None:
        self.known, self.ends, self.size = known, ends, size
        self.kinds: dict[str, int] = {}
        self.yarns: dict[str, int] = {"": 0}
        self.kind, self.yarn, self.loop, self.counts = array("H"), array("B"), array("B"), array("B")
        self.parent_start, self.parents = array("L", [0]), array("L")
        self.foreign: dict[Place, int] = {}
        self.places: list[int] = []  # of the last round, in the order in which the next one meets them
        self.chain: list[int] = []  # of the start, from the hook
        self.bridge: list[int] = []
        self.spaces: list[list[int]] = []  # chain spaces of the last round, each with its chains
        self.new_spaces: list[list[int]] = []  # of the round that is being made
        self.by_label: dict[int, list[int]] = {}  # printed number -> places of that round, for loops that it left
        self.ring = -1
        self.yarn_now = 0
        self.loop_now = 0

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

    def chains(self, n: int) -> list[int]:
        """Add n chains in the air."""
        return [self.emit("chain", [], 0) for _ in range(n)]

    def yarn_index(self, code: str) -> int:
        """The number of a yarn code."""
        return self.yarns.setdefault(code, len(self.yarns))

    def foreign_place(self, place: Place) -> int:
        """The parent number of a place of another part."""
        return FOREIGN | self.foreign.setdefault(place, len(self.foreign))


def spread(places: list[int], n: int) -> list[int]:
    """As many places as asked for, evenly taken from those that are there: the count of a wrong line goes on from its printed total."""
    return [places[i * len(places) // n] for i in range(n)] if places and n > 0 else []
