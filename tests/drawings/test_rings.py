"""The mathematics of a ring, against values worked out by hand."""

import math
import random
from itertools import pairwise

import pytest

from booklet.drawings.rings import Track, lean, relax, ring, spread


def test_six_into_twelve_gives_gaps_of_24_and_36_degrees():
    """In-pair gap of a round of increases = (2 pi / n)(1 - 1/(1 + 4 tie)): derived by hand from the least squares, tie 1."""
    parents = [30 + 60 * k for k in range(6)]
    targets = [parents[k // 2] for k in range(12)]
    at = relax(targets, 30, 15, 345, tie=1.0)
    gaps = [b - a for a, b in pairwise(at)]
    assert gaps == pytest.approx([24, 36] * 5 + [24])
    assert at[0] - parents[0] == pytest.approx(-12)
    assert at[0] + 360 - at[-1] == pytest.approx(36)


@pytest.mark.parametrize("tie", [0.25, 0.5, 1.0, 4.0])
def test_the_pair_formula_holds_for_every_tie(tie):
    at = relax([30 + 60 * (k // 2) for k in range(12)], 30, 15, 345, tie=tie)
    assert at[1] - at[0] == pytest.approx(30 * (1 - 1 / (1 + 4 * tie)))


def test_relax_solves_its_own_equations():
    """Checked by the gradient of the sum that it minimises, which must vanish."""
    rng = random.Random(3)
    for count in (1, 2, 3, 4, 9, 30):
        targets = [None if rng.random() < 0.2 else k + rng.uniform(-1, 1) for k in range(count)]
        targets[0] = 0.3
        at = relax(targets, 1.1, tie=0.7)
        for i in range(count):
            slope = 0.0 if targets[i] is None else at[i] - targets[i]
            if i:
                slope += 0.7 * (at[i] - at[i - 1] - 1.1)
            if i < count - 1:
                slope -= 0.7 * (at[i + 1] - at[i] - 1.1)
            assert slope == pytest.approx(0, abs=1e-9)


def test_spread_keeps_gap_and_bounds_and_moves_as_little_as_possible():
    assert spread([0, 0, 0], 1) == pytest.approx([-1, 0, 1])
    assert spread([0, 5, 5.5], 1) == pytest.approx([0, 4.75, 5.75])
    assert spread([-9, 0, 99], 1, 0, 4) == pytest.approx([0, 1, 4])
    rng = random.Random(7)
    for _ in range(50):
        wished = sorted(rng.uniform(0, 20) for _ in range(15))
        at = spread(wished, 1.0, -2.0, 22.0)
        assert all(b - a >= 1 - 1e-9 for a, b in pairwise(at))
        assert at[0] >= -2 - 1e-9 and at[-1] <= 22 + 1e-9


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 100])
def test_a_ring_without_parents_is_even(count):
    length = 3.0 + 1.3 * count
    at = ring([None] * count, length, 1.1)
    steps = [b - a for a, b in pairwise(at)]
    assert all(step == pytest.approx(steps[0]) for step in steps)
    assert at[0] == pytest.approx(length - at[-1])


def test_lean_turns_a_ring_over_its_parents():
    even = [1.05 + k for k in range(10)]
    assert lean([x + 0.4 for x in even], 11.1, 1.1) == pytest.approx(0.4)


@pytest.mark.parametrize("half", [0.0, 2.0, 5.5])
@pytest.mark.parametrize("start", [math.pi / 2, math.pi / 4, 0.0])
def test_track_goes_once_round_its_stadium(half, start):
    track = Track(half, start)
    for radius in (0.6, 3.0):
        whole = track.length(track.turn, radius)
        assert whole == pytest.approx(2 * math.pi * radius + 4 * half)
        points = [track.point(track.parameter(whole * k / 4000, radius), radius) for k in range(4001)]
        walked = sum(math.dist(a, b) for a, b in pairwise(points))
        assert walked == pytest.approx(whole, rel=1e-4)
        for k in range(0, 4001, 37):
            assert track.length(track.parameter(whole * k / 4000, radius), radius) == pytest.approx(whole * k / 4000)


def test_right_handed_work_runs_anticlockwise_from_the_top():
    """Published on every round chart: right-handers read anticlockwise, the right side facing."""
    track = Track(0.0, math.pi / 2)
    assert track.point(0, 1) == pytest.approx((0, -1))
    assert track.point(math.pi / 2, 1) == pytest.approx((-1, 0))
