"""One round of a part's graph in, how high it is in rounds of single crochet out; millimetres come with the gauge."""

from __future__ import annotations

from collections import Counter

from booklet.graph.graph import PartGraph
from booklet.tables.stitches import Stitch, stitches

SLIP_HEIGHT = 0.2  # of a round of slip stitches, in rounds of single crochet; from memory


def height_of(part: PartGraph, r: int) -> float:
    """Height of round r in rounds of single crochet: the mean of its stitches."""
    table = stitches()
    known: list[Stitch | None] = [table.get(kind) for kind in part.kinds]
    total = number = 0.0
    first, last = part.round_start[r], part.round_start[r + 1]
    for (kind, counted), places in Counter(zip(part.kind[first:last], part.counts[first:last], strict=True)).items():
        stitch = known[kind]
        if counted and stitch is not None and stitch.family not in ("chain", "skip"):
            total += (stitch.height or SLIP_HEIGHT) * places
            number += places
    return total / number if number else 1.0
