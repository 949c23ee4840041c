"""A shape with its measures in, whether it fits the small-parts cylinder out; what it means for an age is decided in safety.

The cylinder of 16 CFR 1501.4: 1.25 in wide, its floor rising at 45 degrees from a depth of 2.25 in to 1 in. The inch figures
rule there, and the inch cylinder holds the metric one (31.7, 25.4, 57.1 mm) of the other markets: so it is used for all.
An object is a small part if it fits entirely, in any direction, without being pressed. Only "clear" claims that it cannot.
"""

from __future__ import annotations

from functools import lru_cache
from math import cos, pi, sin, sqrt

from booklet.figures.poses import Cylinder, box_room, ellipsoid_room

DOUBT_MM = 0.5  # of measuring a hard part; a house rule
DOUBT_SOFT = 0.10  # of a crocheted part, in parts of its size; a house rule
PRESSED = 0.8  # of the smaller measures of a soft part that may be pressed (Canada, 4.45 N); a house rule

INCH = Cylinder(31.75, 25.40, 57.15)
METRIC = Cylinder(31.70, 25.40, 57.10)

# Which measures a shape needs, in the order in which `verdict` takes them. A ring counts as the disc round it.
MEASURES = {
    "sphere": ("diameter",),
    "disc": ("diameter", "height"),
    "rod": ("diameter", "length"),
    "capsule": ("diameter", "length"),
    "mushroom": ("diameter", "length"),
    "ellipsoid": ("width", "depth", "length"),
    "box": ("width", "height", "length"),
    "ring": ("diameter", "height"),
    "washer": ("diameter", "height"),
    "cone": ("diameter", "length"),
    "toggle": ("diameter", "length"),
    "egg": ("width", "depth", "length"),
}
UNKNOWN = ("width", "length")
HAIR = 0.01  # mm; a body that is this much too large is still said to fit: rounding must never clear one


@lru_cache(maxsize=4096)
def verdict(shape: str, measures: tuple[float, ...], *, soft: bool = False, doubt: bool = True, gauge: Cylinder = INCH) -> str:
    """"small", "limit" (within measuring doubt, or undecided: treat it as small) or "clear" (fits in no direction).

    `measures` in mm, in the order of MEASURES; an unknown shape gives (width, length). Raises ValueError for a wrong number.
    """
    wanted = len(MEASURES.get(shape, UNKNOWN))
    if len(measures) != wanted:
        raise ValueError(f"a {shape} takes {wanted} measures, not {len(measures)}")
    exact = _exact(shape, measures, gauge)
    if exact != "clear" or not doubt:
        return exact
    return "limit" if _exact(shape, reduced(measures, soft=soft), gauge) != "clear" else "clear"


def reduced(measures: tuple[float, ...], *, soft: bool = False) -> tuple[float, ...]:
    """The smallest size that the part may have, given how it was measured."""
    return tuple(max(0.0, size * (1 - DOUBT_SOFT) if soft else size - DOUBT_MM) for size in measures)


def pressed(shape: str, measures: tuple[float, ...]) -> tuple[float, ...]:
    """A soft part pressed with a finger's force: all but its longest measure shrink. A ball shrinks in its only one."""
    longest_at = max(range(len(measures)), key=lambda at: measures[at]) if len(measures) > 1 else -1
    return tuple(size if at == longest_at else size * PRESSED for at, size in enumerate(measures))


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
    # A cap on a post, or a cone: the cylinder round it is only an upper bound of its size.
    across, length = measures
    if across > gauge.across or length > _chord(gauge):
        return "clear"
    return "small" if _rod(measures, gauge) == "small" else "limit"


def _ellipsoid(measures: tuple[float, ...], gauge: Cylinder) -> str:
    short, middle, long = sorted(measures)
    if middle > gauge.across or long > _chord(gauge):
        return "clear"
    if long <= _capsule_limit(middle, gauge):
        return "small"
    return "small" if ellipsoid_room((short, middle, long), gauge) >= -HAIR else "clear"


def _box(measures: tuple[float, ...], gauge: Cylinder) -> str:
    p, q, r = sorted(measures)
    if sqrt(p * p + q * q) > gauge.across or sqrt(p * p + q * q + r * r) > _chord(gauge) or r > longest(p, gauge):
        return "clear"
    radius = gauge.across / 2
    mean = (gauge.shallow + gauge.deep) / 2
    if r <= mean + sqrt(radius * radius - q * q / 4) - p:
        return "small"
    return "small" if box_room((p, q, r), gauge) >= -HAIR else "clear"


def _unknown(measures: tuple[float, ...], gauge: Cylinder) -> str:
    width, length = min(measures), max(measures)
    return "clear" if width > gauge.across or length > _chord(gauge) else "small"


def _chord(gauge: Cylinder) -> float:
    """The longest straight stretch in the cylinder."""
    return sqrt(gauge.across**2 + gauge.deep**2)


_TESTS = {
    "sphere": _sphere,
    "disc": _rod,
    "ring": _rod,
    "washer": _rod,
    "rod": _rod,
    "capsule": _capsule,
    "toggle": _capsule,
    "mushroom": _mushroom,
    "cone": _mushroom,
    "ellipsoid": _ellipsoid,
    "egg": _ellipsoid,
    "box": _box,
}
