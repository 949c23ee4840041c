"""The profile of stuffed pieces."""

from math import pi, sqrt

import pytest
from handmade import standard_ball

from booklet.figures.inflate import Skin, inflate
from booklet.figures.profile import disc, growth, inflated, lies_flat, measured, plain, widened

W, H = 4.17, 4.00


def ball(top, even, width=W, height=H):
    totals = standard_ball(top, even)
    return totals, inflated(totals, [height] * len(totals), width, shut=True)


@pytest.mark.parametrize(
    ("top", "even", "rounds", "stitches", "across", "tall"),
    [
        # From the project's own reference prototype (numpy), same model, other solver: middle of the fabric.
        (6, 6, 16, 396, 48.7, 32.0),
        (6, 8, 18, 468, 49.1, 40.1),
        (6, 9, 19, 504, 49.2, 44.1),
        (4, 16, 22, 456, 32.8, 67.5),
        (10, 10, 28, 1140, 81.5, 58.4),
    ],
)
def test_inflated_balls_agree_with_the_prototype(top, even, rounds, stitches, across, tall):
    totals, found = ball(top, even)
    assert (len(totals), sum(totals)) == (rounds, stitches)
    assert 2 * max(found.radius) == pytest.approx(across, abs=0.06)
    assert found.height[-1] == pytest.approx(tall, abs=0.06)


def test_volume_and_area_of_the_reference_ball():
    _, found = ball(6, 6)
    assert found.volume / 1000 == pytest.approx(46.0, abs=0.1)
    assert found.area / 100 == pytest.approx(64.4, abs=0.1)


@pytest.mark.parametrize("top", [3, 5, 6, 8, 10])
@pytest.mark.parametrize("rho", [0.90, 0.96, 1.0, 1.05])
def test_closed_forms_hold(top, rho):
    # D = 1.02 n w / pi and H = N h - c n w / pi with c = .63 - .45 (rho - 1), sd .03 D: fitted for K 3-10, H/D > .4.
    totals, found = ball(top, top + 1, 1.0, rho)
    widest = 6 * top / pi
    tall = len(totals) * rho - (0.63 - 0.45 * (rho - 1)) * widest
    if tall / widest > 0.4:
        assert 2 * max(found.radius) == pytest.approx(1.02 * widest, rel=0.04)
        assert found.height[-1] == pytest.approx(tall, abs=0.09 * widest)  # three standard deviations


@pytest.mark.parametrize(("rho", "half"), [(0.90, 0.34), (0.96, 0.33), (1.0, 0.30), (1.05, 0.27)])
def test_one_open_end(rho, half):
    totals = [6 * k for k in range(1, 7)] + [36] * 10
    found = inflated(totals, [rho] * len(totals), 1.0, shut=False)
    assert (len(totals) * rho - found.height[-1]) / (36 / pi) == pytest.approx(half, abs=0.02)


def test_two_flat_discs_make_the_balloon_of_the_textbooks():
    # Outside check: two discs of film that cannot be stretched, blown up, are .7627 as wide as before and .599 as thick as wide
    # (W. H. Paulsen, "What is the shape of a Mylar balloon?", American Mathematical Monthly 101, 1994; title from memory).
    # Hoops that do not resist, next to no pressure so that the film keeps its length, 40 rounds up and 40 down.
    up = [6 * k for k in range(1, 41)]
    totals = tuple(up + up[::-1])
    skin = Skin(totals, (1.0,) * len(totals), 2 * pi / 6, shut=True, pressure=0.002, hoops=1e-4)
    radius, height = inflate(skin)
    assert max(radius) / 40 == pytest.approx(0.7627, abs=0.01)
    assert height[-1] / (2 * max(radius)) == pytest.approx(0.599, abs=0.005)


def test_plain_profile_worked_example():
    found = plain([6, 12, 18, 24, 24, 24, 24, 18, 12, 6], [4.0] * 10, 4.0)
    expected = [1.187, 2.375, 3.562, 4.749, 8.749, 12.749, 16.749, 17.937, 19.124, 20.311]
    assert found.radius[4] == pytest.approx(15.279, abs=5e-4)
    assert found.height[1:] == pytest.approx(expected, abs=6e-4)
    assert found.volume / 1000 == pytest.approx(11.10, abs=0.01)
    assert found.area / 100 == pytest.approx(26.40, abs=0.01)


def test_a_sphere_of_true_counts_is_nearly_round():
    # Counts of a sphere of radius 25: N = round(pi R / h), n_k = round(2 pi R / w sin(pi k / N)).
    totals = [6, 12, 17, 22, 27, 30, 34, 36, 37, 38, 37, 36, 34, 30, 27, 22, 17, 12, 6]
    found = inflated(totals, [4.0] * len(totals), W, shut=True)
    assert found.volume / 1000 == pytest.approx(66.5, rel=0.05)  # a ball of radius 25 has 65.4 cm3
    assert found.height[-1] / (2 * max(found.radius)) == pytest.approx(0.94, abs=0.03)


def test_counts_that_lie_flat():
    # Outside check: a circle of sc starts with 6 and grows by 6 a round, hdc 8, dc 12 (published flat-circle lessons).
    sc, hdc, dc = 0.955, 1.45, 1.91
    for start, tall in ((6, sc), (8, hdc), (12, dc)):
        totals = [start * k for k in range(1, 9)]
        assert lies_flat(totals, [tall] * 8, 1.0)
    assert growth([5 * k for k in range(1, 9)], [1.0] * 8, 1.0) == pytest.approx(0.796, abs=1e-3)
    assert growth([8 * k for k in range(1, 9)], [1.0] * 8, 1.0) == pytest.approx(1.273, abs=1e-3)
    assert not lies_flat([4 * k for k in range(1, 9)], [0.96] * 8, 1.0)
    assert not lies_flat([6, 12, 18, 24, 24, 24, 24], [0.96] * 7, 1.0)


def test_disc_is_as_wide_as_its_rounds():
    # Five rounds, 50 mm across (published gauge circle): round height 5.0, edge stitch 5.24.
    found = disc([6, 12, 18, 24, 30], [5.0] * 5, 5.236)
    assert 2 * found.radius[-1] == pytest.approx(50.0, abs=0.05)


def test_oval_worked_examples():
    # ch 7: 14, 20, 26, 32; w 5, h 4.8: 38.4 x 58.4. ch 11, w 4.17 h 4.0: 22 … 46, 40.0 x 73.4, 25.9 cm2.
    for straight, width, height, rounds, across, along, area in ((4, 5.0, 4.8, 4, 38.4, 58.4, None), (8, W, H, 5, 40.0, 73.4, 25.9)):
        totals = [6 * k for k in range(1, rounds + 1)]
        found = widened(disc(totals, [height] * rounds, width), straight * width)
        assert 2 * found.radius[-1] == pytest.approx(across, rel=0.005)
        assert 2 * found.radius[-1] + straight * width == pytest.approx(along, rel=0.005)
        if area:
            assert found.area / 100 == pytest.approx(area, rel=0.01)


def test_odd_skins():
    assert inflate(Skin((), (), 1.0)) == ((0.0,), (0.0,))
    for totals in ([1], [2], [4], [1, 1], [6], [2, 4, 2], [6, 200, 6], [40] * 3, [1000], [3, 0, 3]):
        for shut in (False, True):
            found = inflated(totals, [1.0] * len(totals), 1.0, shut=shut)
            assert len(found.radius) == len(totals) + 1
            assert all(r == r and abs(r) < 1e6 for r in (*found.radius, *found.height, found.area, found.volume))


def test_a_tube_is_a_tube():
    found = inflated([36] * 20, [0.96] * 20, 1.0, shut=False, ring=36)
    assert found.radius[10] == pytest.approx(36 / (2 * pi), rel=0.04)
    assert found.height[-1] == pytest.approx(20 * 0.96, rel=0.04)


def test_frusta():
    cone = measured([0.0, 3.0], [0.0, 4.0])
    assert cone.volume == pytest.approx(pi * 9 * 4 / 3)
    assert cone.area == pytest.approx(pi * 3 * sqrt(9 + 16))


def test_same_numbers_every_time():
    totals = tuple(standard_ball(7, 6))
    skin = Skin(totals, (0.96,) * len(totals), 1.0, shut=True)
    first = inflate(skin)
    inflate.cache_clear()
    assert inflate(skin) == first
