"""Small parts: the cylinder of 16 CFR 1501.4 (1.25 in wide; 1 in to 2.25 in deep; the inch figures rule)."""

import random
from math import cos, pi, sin, sqrt

import pytest

from booklet.figures.cylinder import INCH, METRIC, longest, verdict

# Outside check: dimensions as in 16 CFR 1501.4, figure 1, and SOR/2011-17 schedule 1 (31.7 mm, 45 degrees, 25.4 to 57.1 mm).
# Verdicts: small / limit (within half a millimetre of doubt, or undecided) / clear.
VECTORS = [
    ("V1", "sphere", (31.0,), "small", "small"),
    ("V2", "sphere", (31.7,), "small", "small"),
    ("V3", "sphere", (31.75,), "small", "small"),
    ("V4", "sphere", (32.0,), "limit", "clear"),
    ("V5", "sphere", (33.0,), "clear", "clear"),
    ("V6", "sphere", (44.4,), "clear", "clear"),
    ("V7", "sphere", (44.5,), "clear", "clear"),
    ("V8", "sphere", (45.1,), "clear", "clear"),
    ("V9", "disc", (12.0, 8.0), "small", "small"),
    ("V10", "disc", (31.7, 25.4), "small", "small"),
    ("V11", "disc", (31.7, 26.0), "limit", "clear"),
    ("V12", "disc", (32.0, 3.0), "limit", "clear"),
    ("V13", "disc", (40.0, 20.0), "clear", "clear"),
    ("V13 washer", "disc", (24.0, 3.0), "small", "small"),
    ("V14", "rod", (10.0, 47.0), "small", "small"),
    ("V15", "rod", (10.0, 49.0), "small", "small"),
    ("V16", "rod", (10.0, 50.0), "limit", "clear"),
    ("V17", "rod", (10.0, 60.0), "clear", "clear"),
    ("V18", "rod", (3.0, 60.0), "small", "small"),
    ("V19", "rod", (3.0, 60.5), "small", "small"),
    ("V20", "rod", (3.0, 61.0), "limit", "clear"),
    ("V21", "rod", (1.5, 55.0), "small", "small"),
    ("V22", "rod", (1.5, 70.0), "clear", "clear"),
    ("V23", "rod", (20.0, 38.0), "limit", "clear"),
    ("V24", "box", (20.0, 20.0, 10.0), "small", "small"),
    ("V25", "box", (22.4, 22.4, 22.4), "small", "small"),
    ("V26", "box", (22.5, 22.5, 22.5), "limit", "clear"),
    ("V27", "box", (25.0, 25.0, 25.0), "clear", "clear"),
    ("V28", "box", (10.0, 30.0, 36.0), "small", "small"),
    # The bounds leave these two undecided; a search over all directions finds no pose for the first and one for the second.
    ("V29", "box", (10.0, 30.0, 45.0), "clear", "clear"),
    ("V30", "box", (8.0, 8.0, 50.0), "small", "small"),
    ("V31", "capsule", (12.0, 30.0), "small", "small"),
    ("V32", "capsule", (25.0, 45.0), "clear", "clear"),
    ("V35", "unknown", (20.0, 60.0), "small", "small"),
]


@pytest.mark.parametrize(("name", "shape", "measures", "doubt", "exact"), VECTORS)
def test_vectors(name, shape, measures, doubt, exact):
    assert verdict(shape, measures) == doubt
    assert verdict(shape, measures, doubt=False) == exact


def test_where_the_metric_cylinder_is_smaller():
    assert verdict("sphere", (31.75,), doubt=False, gauge=METRIC) == "clear"  # V3
    assert verdict("rod", (3.0, 60.5), doubt=False, gauge=METRIC) == "clear"  # V19
    assert verdict("rod", (10.0, 49.0), doubt=False, gauge=METRIC) == "small"  # V15


def test_eggs_and_crocheted_balls():
    assert verdict("ellipsoid", (25.0, 28.0, 40.0)) in ("small", "limit")  # V33
    assert verdict("sphere", (34.0,), soft=True) == "limit"  # V34


# Longest cylinder by diameter: metric, inch (full-orientation search of the reference, good to 0.05 mm).
LONGEST = [(0, 65.31, 65.38), (1, 63.70, 63.76), (3, 60.47, 60.54), (5, 57.25, 57.32), (8, 52.43, 52.50), (10, 49.22, 49.29),
           (12, 46.03, 46.09), (13, 44.43, 44.50), (15, 42.10, 42.15), (20, 37.10, 37.15), (30, 27.10, 27.15)]  # fmt: skip


@pytest.mark.parametrize(("across", "metric", "inch"), LONGEST)
def test_longest(across, metric, inch):
    assert longest(across, METRIC) == pytest.approx(metric, abs=0.006)
    assert longest(across, INCH) == pytest.approx(inch, abs=0.006)


def test_clear_never_fits():
    # Any pose of a thin rod: if it is called clear, no position found by trying fits. Fixed seed: no luck involved.
    chance = random.Random(7)
    for _ in range(200):
        across, length = chance.uniform(0.5, 32), chance.uniform(5, 70)
        fits = any(_leaning_fits(across, length, angle * pi / 360) for angle in range(181))
        if verdict("rod", (across, length), doubt=False) == "clear":
            assert not fits
        elif length < longest(across) - 0.3:
            assert fits


def _leaning_fits(a, length, t):
    """A cylinder leaning by t towards the deep side: three planes and the round wall, in the plane of symmetry."""

    def support(x, d):  # of the cylinder round its centre, in direction (x, d)
        along = abs(x * sin(t) + d * cos(t))
        return length / 2 * along + a / 2 * sqrt(max(0.0, x * x + d * d - along * along))

    planes = support(0, -1) + support(-1, 1) + support(1, 0)
    return planes <= INCH.deep and length * sin(t) + a * cos(t) <= INCH.across and a <= INCH.across


def test_wrong_number_of_measures():
    with pytest.raises(ValueError, match="takes 2 measures"):
        verdict("rod", (3.0,))
