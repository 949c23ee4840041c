"""One part, its sentences and its stitch in, metres by colour out; what the whole piece takes is summed in shopping."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator
from itertools import groupby
from typing import NamedTuple

from booklet.figures.figures import GaugeUsed
from booklet.figures.steps import Told
from booklet.figures.tails import stated_tail
from booklet.graph.graph import PartGraph
from booklet.tables.stitches import stitches

RANGE = 0.15  # of gauge alone, without the maker's own tension
RING_M = 0.15  # to begin in a ring, or with a chain
END_M = 0.15  # to fasten off and weave in
CLOSE_M = 0.25  # to draw the last stitches together and weave in
CHANGE_M = 0.2  # both ends of a colour change
CARRIED = 1.05  # a strand that is carried along inside the fabric, in lengths of the stretch


def part_yarn(
    part: PartGraph, told: tuple[Told, ...], gauge: GaugeUsed, only: str = "", tail_mm: float | None = None
) -> tuple[tuple[str, float], ...]:
    """Metres by yarn code for one piece of a part, in order of first use. `told`: the sentences of this part.

    `only`: the code of a pattern's only yarn, which needs no mention in the rounds. `tail_mm`: the tail that sewing the part
    on takes, for texts that leave a long one without saying how long.
    """
    if not part.rounds or len(part.round_start) < 2:
        return ()
    one = gauge.path / 1000
    units = _units(part)
    metres: dict[int, float] = {}
    for (kind, yarn), places in Counter(zip(part.kind, part.yarn, strict=True)).items():
        metres[yarn] = metres.get(yarn, 0.0) + units[kind] * places * one
    runs = _runs(part)
    if not runs:
        return ()
    if not part.foreign:  # a part that goes on from another has its yarn on the hook already
        metres[runs[0].yarn] += RING_M
    for yarn, more in _changes(part, runs, gauge.stitch_mm / 1000):
        metres[yarn] += more
    metres[runs[-1].yarn] += _end(told, tail_mm)
    return tuple((_code(part, yarn) or only, length) for yarn, length in metres.items() if length > 0)


class _Run(NamedTuple):
    """Places that are worked one after another with one yarn."""

    yarn: int
    first: int
    last: int


def _runs(part: PartGraph) -> list[_Run]:
    found, at = [], 0
    for yarn, places in groupby(part.yarn):
        number = sum(1 for _ in places)
        found.append(_Run(yarn, at, at + number - 1))
        at += number
    return found


def _changes(part: PartGraph, runs: list[_Run], width_m: float) -> Iterator[tuple[int, float]]:
    """What changes of colour take. A yarn that is needed again within a round is carried along; else its ends are woven in."""
    before: dict[int, _Run] = {}
    starts = part.round_start
    for at, run in enumerate(runs):
        last = before.get(run.yarn)
        if last is not None:
            gap = run.first - last.last - 1
            r = max(1, bisect_right(starts, last.last) - 1)
            if r + 1 < len(starts) and gap < starts[r + 1] - starts[r]:
                yield run.yarn, CARRIED * gap * width_m
            else:
                yield run.yarn, CHANGE_M  # both ends: it was left there, and it is taken up here
        elif at:
            yield run.yarn, CHANGE_M / 2
        before[run.yarn] = run
    for yarn, run in before.items():
        if run is not runs[-1]:
            yield yarn, CHANGE_M / 2


def _units(part: PartGraph) -> list[float]:
    """Yarn of one place of each kind, in single crochets. An increase is several places: each takes its share."""
    table, found = stitches(), []
    for kind in part.kinds:
        stitch = table.get(kind)
        if stitch is None:
            found.append(0.0)
        elif stitch.family == "increase":
            found.append(stitch.yarn / max(1, stitch.leaves))
        else:
            found.append(stitch.yarn)
    return found


def _end(told: tuple[Told, ...], tail_mm: float | None) -> float:
    names = {one.step.name for one in told}
    tail = stated_tail(told)
    if tail is not None:
        return tail / 1000
    if "fasten_off.not" in names and "fasten_off" not in names:
        return 0.0
    if tail_mm is not None:
        return tail_mm / 1000
    return CLOSE_M if "close" in names else END_M


def _code(part: PartGraph, yarn: int) -> str:
    return part.yarns[yarn] if 0 <= yarn < len(part.yarns) else ""
