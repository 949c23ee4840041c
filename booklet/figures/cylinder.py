"""A shape with its measures in, whether it fits the small-parts cylinder out; what it means for an age is decided in safety.

The cylinder of 16 CFR 1501.4: 1.25 in wide, its floor rising at 45 degrees from a depth of 2.25 in to 1 in. The inch figures
rule there, and the inch cylinder holds the metric one (31.7, 25.4, 57.1 mm) of the other markets: so it is used for all.
An object is a small part if it fits entirely, in any direction, without being pressed. Only "clear" claims that it cannot.
"""

from __future__ import annotations

from math import cos, pi, sin, sqrt
from typing import NamedTuple

DOUBT_MM = 0.5  # of measuring a hard part; a house rule
DOUBT_SOFT = 0.10  # of a crocheted part, in parts of its size; a house rule


class Cylinder(NamedTuple):
    """The gauge, in mm."""

    across: float
    shallow: float
    deep: float


INCH = Cylinder(31.75, 25.40, 57.15)
METRIC = Cylinder(31.70, 25.40, 57.10)

# Which measures a shape needs, in the order of `Shape dims`.
MEASURES = {
    "sphere": ("diameter",),
    "disc": ("diameter", "height"),
    "rod": ("diameter", "length"),
    "capsule": ("diameter", "length"),
    "mushroom": ("diameter", "length"),
    "ellipsoid": ("width", "depth", "length"),
    "box": ("width", "height", "length"),
}


def verdict(shape: str, measures: tuple[float, ...], *, soft: bool = False, doubt: bool = True, gauge: Cylinder = INCH) -> str:
    """"small", "limit" (within measuring doubt, or undecided: treat it as small) or "clear" (fits in no direction).

    `measures` in mm, in the order of MEASURES; an unknown shape gives (width, length). Raises ValueError for a wrong number.
    """
    wanted = len(MEASURES.get(shape, ("width", "length")))
    if len(measures) != wanted:
        raise ValueError(f"a {shape} takes {wanted} measures, not {len(measures)}")
    exact = _exact(shape, measures, gauge)
    if exact != "clear" or not doubt:
        return exact
    reduced = tuple(max(0.0, size * (1 - DOUBT_SOFT) if soft else size - DOUBT_MM) for size in measures)
    return "limit" if _exact(shape, reduced, gauge) != "clear" else "clear"


def longest(across: float, gauge: Cylinder = INCH) -> float:
    """The longest right cylinder of that diameter (mm) that fits, standing or leaning to the deep side."""
    standing = gauge.deep - across

    def slope(angle: float) -> float:
        c, s = cos(angle), sin(angle)
        return gauge.deep * s - gauge.across * c + across * (c * c - s * s) - across * s * c

    low, high = 0.0, pi / 4
    if slope(low) > 0 or slope(high) < 0:
        return standing
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if slope(middle) < 0 else (low, middle)
    leaning = (gauge.deep - across * (sin(low) + cos(low))) / cos(low)
    return max(standing, leaning)


def _exact(shape: str, measures: tuple[float, ...], gauge: Cylinder) -> str:
    test = _TESTS.get(shape)
    return test(measures, gauge) if test is not None else _unknown(measures, gauge)


def _sphere(measures: tuple[float, ...], gauge: Cylinder) -> str:
    return "small" if measures[0] <= gauge.across else "clear"


def _rod(measures: tuple[float, ...], gauge: Cylinder) -> str:
    across, length = measures
    return "small" if across <= gauge.across and length <= longest(across, gauge) else "clear"


def _capsule_limit(across: float, gauge: Cylinder) -> float:
    rest = gauge.deep - (1 + sqrt(0.5)) * across
    return across + sqrt(max(0.0, rest) ** 2 + max(0.0, gauge.across - across) ** 2)


def _capsule(measures: tuple[float, ...], gauge: Cylinder) -> str:
    across, length = measures
    return "small" if across <= gauge.across and length <= _capsule_limit(across, gauge) else "clear"


def _mushroom(measures: tuple[float, ...], gauge: Cylinder) -> str:
    # A cap on a post: the cylinder round both is only an upper bound of its size.
    if measures[0] > gauge.across:
        return "clear"
    return "small" if _rod(measures, gauge) == "small" else "limit"


def _ellipsoid(measures: tuple[float, ...], gauge: Cylinder) -> str:
    _, middle, long = sorted(measures)
    if middle > gauge.across or long > _chord(gauge):
        return "clear"
    return "small" if long <= _capsule_limit(middle, gauge) else "limit"


def _box(measures: tuple[float, ...], gauge: Cylinder) -> str:
    p, q, r = sorted(measures)
    if sqrt(p * p + q * q) > gauge.across or sqrt(p * p + q * q + r * r) > _chord(gauge) or r > longest(p, gauge):
        return "clear"
    radius = gauge.across / 2
    mean = (gauge.shallow + gauge.deep) / 2
    return "small" if r <= mean + sqrt(radius * radius - q * q / 4) - p else "limit"


def _unknown(measures: tuple[float, ...], gauge: Cylinder) -> str:
    width, length = min(measures), max(measures)
    return "clear" if width > gauge.across or length > _chord(gauge) else "small"


def _chord(gauge: Cylinder) -> float:
    """The longest straight stretch in the cylinder."""
    return sqrt(gauge.across**2 + gauge.deep**2)


_TESTS = {
    "sphere": _sphere,
    "disc": _rod,
    "rod": _rod,
    "capsule": _capsule,
    "mushroom": _mushroom,
    "ellipsoid": _ellipsoid,
    "box": _box,
}
