"""Chains between the stitches of a round in, the arches that they hang in out: how wide they are, how they bow, where feet go.

Distances are measured along the round (x) and in the direction of growth (y), in symbol widths. Nothing is placed here.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import NamedTuple

from booklet.drawings.laps import Lap, Laps

BOWED = 3  # chains from which on an arch bows: two are a corner or a gap and lie flat (common practice, no source)
SPAN = 0.72  # of an arch's length that it is wide: so five chains stand over three skipped stitches, as lace is mostly written
SAG = 0.14  # of its width that an arch bows at least, however much room it has
APART = 0.7  # between the feet of stitches that are worked round a chain; touching feet would mean one stitch


class Arch(NamedTuple):
    """A run of chains in a round: members[first:stop]."""

    first: int
    stop: int

    @property
    def chains(self) -> int:
        """How many chains it has."""
        return self.stop - self.first


class Spot(NamedTuple):
    """A point of an arch: where, how high, and its slope as a tangent."""

    x: float
    y: float
    slope: float


def arches(laps: Laps, lap: Lap) -> tuple[Arch, ...]:
    """The runs of lying chains of a round, in order of work. A chain that stands for a stitch lies in none."""
    found: list[Arch] = []
    if not any(laps.flat):
        return ()
    for number, i in enumerate(lap.members):
        if not laps.is_chain(i) or (number == 0 and laps.part.counts[i]):
            continue
        if found and found[-1].stop == number:
            found[-1] = Arch(found[-1].first, number + 1)
        else:
            found.append(Arch(number, number + 1))
    return tuple(found)


def gaps(laps: Laps, lap: Lap) -> list[float]:
    """The least distance from each member of a round to the next along the round."""
    least = [1.0] * max(len(lap.members) - 1, 0)
    for arch in arches(laps, lap):
        if arch.chains >= BOWED:
            for k in range(max(arch.first - 1, 0), min(arch.stop, len(least))):
                least[k] = SPAN
    return least


def rise(laps: Laps, lap: Lap) -> float:
    """How far the highest arch of a round bows at most."""
    most = max((arch.chains for arch in arches(laps, lap)), default=0)
    return bow(0.0, SPAN * (most + 1), most)[most // 2].y if most >= BOWED else 0.0


def bow(left: float, right: float, chains: int, growth: float = 1.0) -> list[Spot]:
    """Places of the chains of an arch from `left` to `right`: a parabola on which neighbours are a symbol apart.

    With `growth` -1 the work runs towards smaller x.
    """
    wide = right - left
    height = _height(wide, chains) if chains >= BOWED else 0.0
    return [_spot(left, wide, height, share) for share in _shares(wide, height, chains)]


def on_arch(left: float, right: float, chains: int, x: float) -> Spot:
    """The point of an arch above or below x."""
    wide = right - left
    height = _height(wide, chains) if chains >= BOWED else 0.0
    return _spot(left, wide, height, (x - left) / wide if wide else 0.5)


def feet(left: float, right: float, count: int) -> list[float]:
    """Where the feet of `count` stitches round an arch stand, side by side round its middle."""
    apart = min(APART, (right - left) * 0.85 / max(count - 1, 1))
    middle = (left + right) / 2
    return [middle + (k - (count - 1) / 2) * apart for k in range(count)]


def _spot(left: float, wide: float, height: float, share: float) -> Spot:
    return Spot(left + wide * share, 4 * height * share * (1 - share), 4 * height * (1 - 2 * share) / wide if wide else 0.0)


def _height(wide: float, chains: int) -> float:
    """The least height at which chains at equal steps are a symbol apart, by halving."""
    low, high = SAG * wide, max(SAG * wide, 0.8 * (chains + 1))
    if _nearest(wide, low, chains) >= 1.0:
        return low
    for _ in range(16):
        middle = (low + high) / 2
        low, high = (low, middle) if _nearest(wide, middle, chains) >= 1.0 else (middle, high)
    return high


def _nearest(wide: float, height: float, chains: int) -> float:
    shares = [0.0, *_shares(wide, height, chains), 1.0]
    spots = [_spot(0.0, wide, height, share) for share in shares]
    return min(math.hypot(b.x - a.x, b.y - a.y) for a, b in pairwise(spots))


def _shares(wide: float, height: float, chains: int) -> list[float]:
    """Shares of the width at which `chains` points part the arch into pieces of equal length."""
    if height == 0.0 or chains == 0:
        return [(k + 1) / (chains + 1) for k in range(chains)]
    steps = 48
    lengths = [0.0]
    for k in range(steps):
        a, b = _spot(0.0, wide, height, k / steps), _spot(0.0, wide, height, (k + 1) / steps)
        lengths.append(lengths[-1] + math.hypot(b.x - a.x, b.y - a.y))
    shares, at = [], 0
    for k in range(1, chains + 1):
        wanted = lengths[-1] * k / (chains + 1)
        while lengths[at + 1] < wanted:
            at += 1
        shares.append((at + (wanted - lengths[at]) / (lengths[at + 1] - lengths[at])) / steps)
    return shares
