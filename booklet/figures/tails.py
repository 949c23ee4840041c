"""A part with its sentences in, the tail that sewing it on takes out; whether the text leaves enough is asked by checks/tails."""

from __future__ import annotations

from booklet.figures.figures import GaugeUsed
from booklet.figures.steps import Told, number
from booklet.graph.graph import PartGraph

# Published rule: four times the seam (hobby lesson on potholders); 15 cm more to begin and to weave in.
TIMES_SEAM = 4.0
MORE_MM = 150.0
LEAST_TIMES = 2.6  # the yarn that is really sewn in, in seams (derived: 2.6 to 3)


def seam_mm(part: PartGraph, sewn: tuple[Told, ...], told: tuple[Told, ...], gauge: GaugeUsed) -> float | None:
    """Length of the seam that holds a part: its last round, half of it where it is pressed flat, or the stitches that are named.

    None for a part that is not sewn on, and for rows, whose edge nobody names.
    """
    if not sewn or not part.rounds or part.worked == "rows":
        return None
    stitches = part.total(part.rounds)
    if any(one.step.name == "close_flat" for one in told):
        stitches = (stitches + 1) // 2
    for one in sewn:
        first, last = number(one.step.value("p")), number(one.step.value("q"))
        if first is not None and last is not None and last >= first:
            stitches = last - first + 1
    return stitches * gauge.stitch_mm


def advised(part: PartGraph, sewn: tuple[Told, ...], told: tuple[Told, ...], gauge: GaugeUsed) -> float | None:
    """A tail that is long enough, in mm."""
    seam = seam_mm(part, sewn, told, gauge)
    return None if seam is None else TIMES_SEAM * seam + MORE_MM


def stated_tail(told: tuple[Told, ...]) -> float | None:
    """The longest tail that the text leaves, in mm; None where none has a length."""
    tails = [one.step.value("tail_mm") for one in told if one.step.name == "fasten_off"]
    return max((float(tail) for tail in tails if isinstance(tail, int | float)), default=None)
