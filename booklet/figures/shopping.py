"""Metres of every part, and what is knotted and wound beside them, in, metres, grams and balls of the whole piece by yarn out."""

from __future__ import annotations

import re
from math import ceil, pi

from booklet.figures.figures import GaugeUsed, YarnLine
from booklet.figures.steps import Told, number
from booklet.figures.yarn import RANGE
from booklet.graph.graph import Graph
from booklet.pattern.model import Pattern, Yarn

RESERVE = 1.15  # to buy: others work more loosely
CUT_M = 0.5  # kits are cut in half metres; common practice, no source
YARN_PER_STITCH = 0.45  # diameter of the yarn in stitch widths: fabric is 1.6 yarns or .72 of a stitch thick
POMPON = 1.7  # distance of the strands at the surface of a pompon, in yarn diameters; a guess, ± 40 %
TIE_M = 0.4  # to tie a pompon and sew it on
Metres = tuple[tuple[str, float], ...]


def totals(pattern: Pattern, graph: Graph, per_part: tuple[Metres, ...], more: Metres = (), spread: float = RANGE) -> tuple[YarnLine, ...]:
    """The whole piece by yarn code: yarns of the head in their order (if they are used), then codes that it lacks.

    `more`: metres that belong to no single piece of a part. `spread`: of the computed metres, in parts of them.
    """
    sums: dict[str, float] = {}
    known = {yarn.code: yarn for yarn in pattern.yarns}
    for at, (part, used) in enumerate(zip(graph.parts, per_part, strict=True)):
        section = pattern.parts[at] if at < len(pattern.parts) else None
        for pieces, renamed in _coloured(section.differs if section is not None else (), used, max(1, part.make), set(known)):
            for code, length in used:
                to = renamed.get(code, code)
                sums[to] = sums.get(to, 0.0) + length * pieces
    for code, length in more:
        sums[code] = sums.get(code, 0.0) + length
    order = [code for code in known if code in sums] + [code for code in sums if code not in known]
    return tuple(_line(code, sums[code], known.get(code), spread) for code in order)


def _coloured(differs: tuple[str, ...], used: Metres, make: int, codes: set[str]) -> list[tuple[int, dict[str, str]]]:
    """`make 4: 2 in A and B, 2 in B and C`: pieces, and the yarns that stand in for those of the rounds, in order of first use."""
    found, left = [], make
    for words in differs:
        start = re.match(r"\s*(\d{1,3})\b", words)
        named = [word for word in re.findall(r"\w+", words) if word in codes]
        if start and named and (pieces := min(left, int(start[1]))) > 0:
            found.append((pieces, dict(zip((code for code, _ in used), named, strict=False))))
            left -= pieces
    return [*found, (left, {})] if left else found


def strands(told: tuple[Told, ...], gauge: GaugeUsed, only: str = "") -> dict[str, float]:
    """Metres by code of cut strands (fringes, hair): number times length; and of pompons."""
    found: dict[str, float] = {}
    for one in told:
        code = one.step.value("yarn", "") or only
        if not isinstance(code, str):
            continue
        if one.step.name == "strands":
            count, length = number(one.step.value("n")), one.step.value("length_mm")
            if count and isinstance(length, int | float):
                found[code] = found.get(code, 0.0) + count * float(length) / 1000
        elif one.step.name == "pompon" and isinstance(size := one.step.value("size_mm"), int | float):
            found[code] = found.get(code, 0.0) + pompon_m(float(size), gauge.stitch_mm)
    return found


def pompon_m(across_mm: float, stitch_mm: float) -> float:
    """Yarn of a pompon: strands of its diameter, so many that their ends cover the ball (pi D³ / 2 (c d)²)."""
    apart = POMPON * YARN_PER_STITCH * stitch_mm
    return pi * across_mm**3 / (2 * apart * apart) / 1000 + TIE_M if apart > 0 else 0.0


def _line(code: str, computed: float, yarn: Yarn | None, spread: float) -> YarnLine:
    ball_m, ball_g = (yarn.ball_m, yarn.ball_g) if yarn is not None else (None, None)
    per_m = ball_g / ball_m if ball_m and ball_g else None
    declared = declared_m(yarn)
    length = computed if declared is None else declared
    low, high = (length, length) if declared is not None else (computed * (1 - spread), computed * (1 + spread))
    mass = yarn.used_g if yarn is not None and yarn.used_g else None
    if mass is None and per_m is not None:
        mass = length * per_m
    balls = max(1, ceil(RESERVE * length / ball_m)) if ball_m and length > 0 else None
    cut = ceil(RESERVE * length / CUT_M) * CUT_M if length > 0 else None
    return YarnLine(code, length, low, high, mass, balls, computed, "computed" if declared is None else "declared", cut)


def declared_m(yarn: Yarn | None) -> float | None:
    """The use that the pattern declares, in metres; a weighed one through the ball's label. None if it declares none."""
    if yarn is None:
        return None
    if yarn.used_m:
        return yarn.used_m
    if yarn.used_g and yarn.ball_m and yarn.ball_g:
        return yarn.used_g * yarn.ball_m / yarn.ball_g
    return None
