"""Parts, their sentences and the yarns of a pattern in, metres, grams and balls by colour out; sizes are computed elsewhere."""

from __future__ import annotations

from collections import Counter
from itertools import groupby, pairwise
from math import ceil

from booklet.figures.figures import GaugeUsed, YarnLine
from booklet.figures.steps import Told, number
from booklet.graph.graph import Graph, PartGraph
from booklet.pattern.model import Pattern, Yarn
from booklet.tables.stitches import stitches

RANGE = 0.15  # of gauge alone, without the maker's own tension
RESERVE = 1.15  # to buy: others work more loosely
RING_M = 0.15  # to begin in a ring, or with a chain
END_M = 0.15  # to fasten off and weave in
CLOSE_M = 0.25  # to draw the last stitches together and weave in
CHANGE_M = 0.2  # both ends of a colour change


def part_yarn(
    part: PartGraph, told: tuple[Told, ...], gauge: GaugeUsed, only: str = ""
) -> tuple[tuple[str, float], ...]:
    """Metres by yarn code for one piece of a part, in order of first use. `told`: the sentences of this part.

    `only`: the code of a pattern's only yarn, which needs no mention in the rounds.
    """
    if not part.rounds or len(part.round_start) < 2:
        return ()
    one = gauge.path / 1000
    units = _units(part)
    metres: dict[int, float] = {}
    for (kind, yarn), places in Counter(zip(part.kind, part.yarn, strict=True)).items():
        metres[yarn] = metres.get(yarn, 0.0) + units[kind] * places * one
    worked = [yarn for yarn, _ in groupby(part.yarn)]
    if not worked:
        return ()
    if not part.foreign:  # a part that goes on from another has its yarn on the hook already
        metres[worked[0]] += RING_M
    for before, after in pairwise(worked):
        metres[before] += CHANGE_M / 2
        metres[after] += CHANGE_M / 2
    metres[worked[-1]] += _end(told)
    return tuple((_code(part, yarn) or only, length) for yarn, length in metres.items() if length > 0)


def totals(pattern: Pattern, graph: Graph, per_part: tuple[tuple[tuple[str, float], ...], ...]) -> tuple[YarnLine, ...]:
    """The whole piece by yarn code: yarns of the head in their order (if they are used), then codes that it lacks."""
    sums: dict[str, float] = {}
    for part, used in zip(graph.parts, per_part, strict=True):
        for code, length in used:
            sums[code] = sums.get(code, 0.0) + length * max(1, part.make)
    known = {yarn.code: yarn for yarn in pattern.yarns}
    order = [code for code in known if code in sums] + [code for code in sums if code not in known]
    return tuple(_line(code, sums[code], known.get(code)) for code in order)


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


def _end(told: tuple[Told, ...]) -> float:
    names = {one.step.name for one in told}
    tails = [one.step.value("tail_mm") for one in told if one.step.name == "fasten_off"]
    tail = next((float(tail) for tail in tails if isinstance(tail, int | float)), None)
    if tail is not None:
        return tail / 1000
    if "fasten_off.not" in names and "fasten_off" not in names:
        return 0.0
    return CLOSE_M if "close" in names else END_M


def _code(part: PartGraph, yarn: int) -> str:
    return part.yarns[yarn] if 0 <= yarn < len(part.yarns) else ""


def strands(told: tuple[Told, ...]) -> dict[str, float]:
    """Metres by code of cut strands (fringes, hair): number times length."""
    found: dict[str, float] = {}
    for one in told:
        if one.step.name == "strands":
            count, length = number(one.step.value("n")), one.step.value("length_mm")
            code = one.step.value("yarn", "")
            if count and isinstance(length, int | float) and isinstance(code, str):
                found[code] = found.get(code, 0.0) + count * float(length) / 1000
    return found


def _line(code: str, computed: float, yarn: Yarn | None) -> YarnLine:
    ball_m, ball_g = (yarn.ball_m, yarn.ball_g) if yarn is not None else (None, None)
    per_m = ball_g / ball_m if ball_m and ball_g else None
    declared = declared_m(yarn)
    length = computed if declared is None else declared
    low, high = (length, length) if declared is not None else (computed * (1 - RANGE), computed * (1 + RANGE))
    mass = yarn.used_g if yarn is not None and yarn.used_g else None
    if mass is None and per_m is not None:
        mass = length * per_m
    balls = max(1, ceil(RESERVE * length / ball_m)) if ball_m and length > 0 else None
    return YarnLine(code, length, low, high, mass, balls, computed, "computed" if declared is None else "declared")


def declared_m(yarn: Yarn | None) -> float | None:
    """The use that the pattern declares, in metres; a weighed one through the ball's label. None if it declares none."""
    if yarn is None:
        return None
    if yarn.used_m:
        return yarn.used_m
    if yarn.used_g and yarn.ball_m and yarn.ball_g:
        return yarn.used_g * yarn.ball_m / yarn.ball_g
    return None
