"""Properties that hold whatever the pattern, yarn beside the rounds, placements, and how the whole is put together."""

from dataclasses import replace
from itertools import pairwise
from math import pi, sqrt

import pytest
from handmade import gauge, graph, line, part, pattern, said, section, standard_ball, yarn

from booklet import pipeline
from booklet.figures.compute import compute
from booklet.figures.profile import inflated
from booklet.figures.shopping import pompon_m

W, H = 4.17, 4.00


def lines(rounds, *after):
    return [line() for _ in range(rounds + 1)] + list(after)


def one(totals, *after, width=W, height=H, **more):
    book = pattern(section("Ball", lines(len(totals), *after)), gauge=gauge(width, height))
    return compute(book, graph(part(totals, **more))).parts[0]


STUFFED = (said("stuff"), said("close"))


# ---- properties


@pytest.mark.parametrize("top", [3, 4, 6, 8])
@pytest.mark.parametrize("height", [3.7, 4.0, 4.3])
def test_more_rounds_are_never_lower(top, height):
    found = [one(standard_ball(top, even), *STUFFED, height=height) for even in range(1, 14)]
    heights = [ball.height_mm for ball in found]
    assert all(a < b for a, b in pairwise(heights))
    volumes = [ball.volume_cm3 for ball in found]
    assert all(a < b for a, b in pairwise(volumes))


def test_a_reversed_ball_is_as_large():
    totals = [6, 12, 18, 24, 30, 34, 34, 30, 27, 24, 20, 15, 10, 6]
    there, back = (inflated(list(way), [H] * len(way), W, shut=True) for way in (totals, totals[::-1]))
    assert max(there.radius) == pytest.approx(max(back.radius), rel=0.02)
    # Not to the last bit: a start is a point before its first round, a drawn-shut end is its last round. Half a round each.
    assert there.height[-1] == pytest.approx(back.height[-1], abs=H)
    assert there.volume == pytest.approx(back.volume, rel=0.08)


@pytest.mark.parametrize("totals", [standard_ball(6, 6), standard_ball(4, 12), [6, 12, 12, 16, 20, 24] + [28] * 7 + [21, 21, 14, 7]])
def test_twice_the_gauge_is_eight_times_the_room(totals):
    small, large = one(totals, *STUFFED), one(totals, *STUFFED, width=2 * W, height=2 * H)
    assert large.volume_cm3 == pytest.approx(8 * small.volume_cm3, rel=0.001)
    assert large.width_mm == pytest.approx(2 * small.width_mm, rel=0.001)


@pytest.mark.parametrize("top", [4, 6, 8, 10])
def test_a_little_gauge_changes_height_a_little(top):
    # Derived: the plain profile would change by 4.5 to 12 % where the count grows by six a round.
    for even in (top - 1, top, top + 4):
        for height in (0.90, 0.955, 1.0):
            a, b = (one(standard_ball(top, even), *STUFFED, width=1.0, height=height * more).height_mm for more in (1.0, 1.01))
            assert abs(b / a - 1) < 0.035


@pytest.mark.parametrize("totals", [[1], [2], [4], [1, 1], [2, 4, 2], [4, 4, 4, 4]])
def test_tiny_parts_have_finite_figures(totals):
    for after in ((), STUFFED, (said("close_flat"),), (said("leave_open"), said("stuff"))):
        found = one(totals, *after)
        for value in (found.width_mm, found.height_mm, found.volume_cm3, found.area_cm2, *(metres for _, metres in found.yarn_m)):
            assert value is None or (value == value and 0 <= value < 1000)


# ---- pressed pieces, tails


def test_pressed_flat():
    # Derived: a tube pressed flat is half of its round wide, and two layers thick.
    found = one([6, 12, 12, 12, 12], said("stuff", amount="none"), said("close_flat"))
    assert found.shape == "flattened"
    assert found.width_mm == pytest.approx(12 * W / 2)
    assert found.height_mm == pytest.approx(2 * 0.72 * W)
    assert found.length_mm == pytest.approx(5 * H)


@pytest.mark.parametrize(
    ("stitches", "closed", "cm"),
    # Four times the seam (hobby lesson on potholders) and 15 cm; a 10-stitch arm agrees with a handbook's 10 to 12 in.
    [(10, False, 32), (24, False, 55), (10, True, 23.5)],
)
def test_tails(stitches, closed, cm):
    arm = part([stitches] * 6, name="Arm", chains=stitches)
    steps = lines(6, *((said("close_flat"),) if closed else (said("leave_open"),)))
    body = part(standard_ball(6, 6), name="Body")
    book = pattern(
        section("Arm", steps),
        section("Body", lines(16, said("close"))),
        section("Assembly", [said("sew", what="Arm", onto="Body", a=8, b=9)], "assembly"),
        gauge=gauge(W, H),
    )
    assert compute(book, graph(arm, body)).parts[0].tail_mm == pytest.approx(10 * cm, abs=6)


# ---- yarn beside the rounds


def test_fringes_pompons_and_coloured_pieces():
    found = part([12] * 6, colours=[0, 0, 0, 1, 1, 1], make=4, chains=12)
    parts = [section("Tube", lines(6), make=4)]
    more = section("Assembly", [said("strands", n=20, length_mm=150.0, yarn="A"), said("pompon", size_mm=40.0, yarn="B")], "assembly")
    yarns = (yarn("A"), yarn("B"), yarn("C"))
    plain = {row.code: row.length_m for row in compute(pattern(*parts, gauge=gauge(W, H), yarns=yarns), graph(found)).yarn}
    with_more = {row.code: row.length_m for row in compute(pattern(*parts, more, gauge=gauge(W, H), yarns=yarns), graph(found)).yarn}
    assert with_more["A"] == pytest.approx(plain["A"] + 3.0)
    assert with_more["B"] == pytest.approx(plain["B"] + pompon_m(40, W))
    assert 4 < pompon_m(40, W) < 20  # from memory: a pompon of 4 cm takes about 8 m of DK
    coloured = replace(parts[0], differs=("2 in A and B", "2 in B and C"))
    rows = {row.code: row.length_m for row in compute(pattern(coloured, gauge=gauge(W, H), yarns=yarns), graph(found)).yarn}
    assert rows["A"] == pytest.approx(plain["A"] / 2)
    assert rows["C"] == pytest.approx(plain["B"] / 2)
    assert rows["B"] == pytest.approx((plain["A"] + plain["B"]) / 2)


def test_a_strand_that_is_carried_along_has_no_ends():
    # Two colours in turn, stitch by stitch, in one round: each is carried over the other.
    text = "## Band\nWorked in a spiral.\nRnd 1: 12 sc in MR (12)\nRnd 2: {} (12)\n"
    turns = ", ".join(f"change to {code}, 3 sc" for code in "ABAB")
    head = "---\nlanguage: en-US\ngauge: 24 sc x 25 rnds = 10 cm\nyarns:\n  A: blue\n  B: red\n---\n"
    mixed = pipeline.understand((head + text.format(turns).replace("spiral.\n", "spiral. With A.\n", 1)).encode(), "x.md").figures
    whole = sum(row.length_m for row in mixed.yarn)
    stitches = 24 * mixed.gauge.path / 1000
    # Ring and end .15 m each, B begins and ends .1 m each, A and B once carried over three stitches: 1.05 x 12.5 mm.
    assert whole == pytest.approx(stitches + 0.3 + 0.2 + 2 * 1.05 * 3 * 100 / 24 / 1000, abs=0.15)


def test_kits_are_cut_in_half_metres():
    book = pattern(section("Ball", lines(16, said("close"))), gauge=gauge(W, H), yarns=(yarn("A", ball_m=125.0, ball_g=50.0),))
    row = compute(book, graph(part(standard_ball(6, 6)))).yarn[0]
    # Worked example: 12.1 m, "about 14 m" with 15 % more.
    assert row.length_m == pytest.approx(12.1, abs=0.1)
    assert row.cut_m == 14.0


def test_published_cloths():
    # Outside checks: a square cloth of 16 rounds of eight more, worsted, 5 mm, back loop, 8 in: 50 to 60 yd (1,088 sc, inferred); a
    # cloth of 5 x 5 in, worsted, 5 mm (windchilde, "Crochet yarn estimating"): 785.5 in of yarn.
    square = one([8 * k for k in range(1, 17)], width=6.35, height=6.35)
    assert sum(metres for _, metres in square.yarn_m) == pytest.approx(50.3, rel=0.15)
    rows = round(127 / 5.5)
    cloth = one([20] * rows, worked="rows", chains=20, width=6.35, height=5.5 / 0.92)
    assert sum(metres for _, metres in cloth.yarn_m) == pytest.approx(785.5 * 0.0254, rel=0.15)


# ---- how parts stand on one another


def test_a_neck_sinks_into_a_closed_head():
    # Derived: an opening of radius r on a ball of radius R sinks R - sqrt(R² - r²); R 30.5, r 11.95: 2.4 mm.
    assert 30.5 - sqrt(30.5**2 - 11.95**2) == pytest.approx(2.4, abs=0.05)
    head = part(standard_ball(6, 8), name="Head")
    body = part([6, 12, 18, 24, 30, 36, 36, 36, 36, 30, 24, 18], name="Body")
    book = pattern(
        section("Head", lines(18, said("stuff"), said("close"))),
        section("Body", lines(12, said("stuff"), said("leave_open"))),
        section("Assembly", [said("sew", what="Head", onto="Body")], "assembly"),
        gauge=gauge(W, H),
    )
    figures = compute(book, graph(head, body))
    ball = max(row.radius_mm for row in figures.parts[0].rounds)
    neck = figures.parts[1].rounds[-1].radius_mm
    sunk = figures.parts[0].height_mm + figures.parts[1].height_mm - figures.size.height_mm
    assert sunk == pytest.approx(ball - sqrt(ball**2 - neck**2), abs=0.01)
    assert set(figures.size.basis) == {"Head", "Body"}


def test_a_nose_is_no_head():
    head, nose = part(standard_ball(6, 8), name="Head"), part([6, 12, 12], name="Nose")
    book = pattern(
        section("Head", lines(18, said("stuff"), said("close"))),
        section("Nose", lines(3, said("leave_open"))),
        section("Assembly", [said("sew", what="Nose", onto="Head")], "assembly"),
        gauge=gauge(W, H),
    )
    assert compute(book, graph(head, nose)).size.basis == ("Head",)


# ---- placements


def placed(total, apart, width, *, odd=False):
    totals = [total] * 6
    eyes = said("place.between", what="safety eyes", a=3, b=4, apart=apart)
    book = pattern(section("Head", [line() for _ in range(7)] + [eyes]), gauge=gauge(width, 0.96 * width))
    (found,) = compute(book, graph(part(totals, name="Head", chains=total))).placements
    return found


@pytest.mark.parametrize(
    ("total", "apart", "width", "arc", "straight", "degrees"),
    # Derived: arc = x w, straight = 2 r sin(180 x / n), r = n w / 2 pi; choices of published toys.
    [(36, 6, 4.17, 25.0, 23.9, 60), (60, 8, 4.17, 33.4, 32.4, 48), (72, 14, 4.0, 56.0, 52.6, 70), (28, 4, 5.3, 21.2, 20.5, 51)],
)
def test_eyes(total, apart, width, arc, straight, degrees):
    found = placed(total, apart, width)
    assert found.arc_mm == pytest.approx(arc, rel=0.005)
    assert found.straight_mm == pytest.approx(straight, rel=0.005)
    assert found.degrees == pytest.approx(degrees, abs=0.5)
    left, right = found.after
    assert right - left == apart and left + right == total and found.centred


def test_an_odd_number_sits_half_a_stitch_beside_the_middle():
    found = placed(36, 5, W)
    assert (found.after, found.centred) == ((15, 20), False)
    assert placed(35, 5, W).centred
    assert placed(6, 5, W).fits == "round"


def test_stitches_from_the_centre_front():
    def beside(side):
        step = said("place.beside", what="button", side=side, n=3, a=3, b=4)
        book = pattern(section("Head", [line() for _ in range(7)] + [step]), gauge=gauge(W, H))
        return compute(book, graph(part([36] * 6, name="Head", chains=36))).placements[0].after

    assert (beside("left"), beside("right")) == ((15,), (21,))


def test_round_radius_matches_the_count():
    found = one([36] * 20, said("leave_open"), chains=36)
    assert found.rounds[10].radius_mm == pytest.approx(36 * W / (2 * pi), rel=0.04)
