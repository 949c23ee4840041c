"""Round totals with stitch sizes in, radius and height of every round out, with area and volume; parts and steps are not known here."""

from __future__ import annotations

from math import hypot, pi, sqrt
from typing import NamedTuple

from booklet.figures.inflate import Skin, inflate

LONGEST = 300  # rounds that are inflated; longer parts are tubes, whose plain profile is right but for their ends
# From this growth on a piece lies flat: fabric takes about 5 % of strain each way, and the published 8 hdc a round reach .88.
FLAT_FROM = 0.87


class Profile(NamedTuple):
    """A surface with an axis. Index 0 is the start."""

    radius: tuple[float, ...]  # mm, of the middle of the fabric
    height: tuple[float, ...]  # mm above the start
    area: float  # mm2
    volume: float  # mm3


def growth(totals: list[int], heights: list[float], width: float) -> float:
    """Mean growth of a disc in parts of the growth that lies flat (circumference by 2 pi times the way from the centre)."""
    way = sum(heights)
    return totals[-1] * width / (2 * pi * way) if totals and way > 0 else 0.0


def lies_flat(totals: list[int], heights: list[float], width: float) -> bool:
    """Does an unstuffed piece lie flat? It never decreases and keeps growing as fast as a disc must."""
    if not totals or totals[-1] != max(totals):
        return False
    return growth(totals, heights, width) >= FLAT_FROM


def plain(totals: list[int], heights: list[float], width: float, ring: int = 0) -> Profile:
    """Every round exactly as wide as its count and every round as long as its height. Not to be printed for stuffed
    pieces: where the count grows by six a round, the height is the root of nearly nothing.
    """
    radius, height = [ring * width / (2 * pi)], [0.0]
    for total, tall in zip(totals, heights, strict=True):
        reach = total * width / (2 * pi)
        step = reach - radius[-1]
        height.append(height[-1] + sqrt(max(0.0, tall * tall - step * step)))
        radius.append(reach)
    return measured(radius, height)


def disc(totals: list[int], heights: list[float], width: float) -> Profile:
    """A piece that lies flat: each round as far out as the way from the centre and its count agree on."""
    radius, way = [0.0], 0.0
    for total, tall in zip(totals, heights, strict=True):
        way += tall
        # Way and circumference are equally stiff, so a flat piece settles between the two.
        radius.append((way + total * width / (2 * pi)) / 2)
    return Profile(tuple(radius), (0.0,) * len(radius), pi * radius[-1] ** 2, 0.0)


def inflated(totals: list[int], heights: list[float], width: float, *, shut: bool, ring: int = 0) -> Profile:
    """The shape that stuffing gives. Rounds of height 0 are passed over; very long parts stay plain."""
    kept = [k for k, (total, tall) in enumerate(zip(totals, heights, strict=True)) if total > 0 and tall > 0]
    if not kept or len(kept) > LONGEST:
        return plain(totals, heights, width, ring)
    skin = Skin(tuple(totals[k] for k in kept), tuple(heights[k] for k in kept), width, ring, shut)
    found_r, found_z = inflate(skin)
    radius, height, at = [found_r[0]], [found_z[0]], 0
    for k in range(len(totals)):
        if at < len(kept) and kept[at] == k:
            at += 1
        radius.append(found_r[at])
        height.append(found_z[at])
    return measured(radius, height)


def measured(radius: list[float], height: list[float]) -> Profile:
    """Area and volume of a profile, by frusta."""
    area = volume = 0.0
    for a, b, low, high in zip(radius, radius[1:], height, height[1:], strict=False):
        area += pi * (a + b) * hypot(b - a, high - low)
        volume += pi / 3 * (a * a + a * b + b * b) * (high - low)
    return Profile(tuple(radius), tuple(height), area, max(0.0, volume))


def widened(profile: Profile, straight: float) -> Profile:
    """The same section drawn apart by `straight` mm: an oval on a chain."""
    if straight <= 0:
        return profile
    way = inside = 0.0
    points = zip(profile.radius, profile.radius[1:], profile.height, profile.height[1:], strict=False)
    for a, b, low, high in points:
        way += hypot(b - a, high - low)
        inside += (a + b) * (high - low)
    area = profile.area + 2 * straight * way
    return Profile(profile.radius, profile.height, area, profile.volume + max(0.0, straight * inside))
