"""Shapes and sizes of parts, yarn, stuffing, and the whole piece."""

from math import pi

import pytest
from handmade import gauge, graph, line, part, pattern, said, section, standard_ball, yarn

from booklet.figures.compute import compute
from booklet.figures.gauge import gauge_used
from booklet.figures.yarn import RANGE
from booklet.reports.figures_json import figures_json

W, H = 4.17, 4.00


def lines(rounds, *after):
    """A section's steps: a start, `rounds` lines, then sentences."""
    return [line() for _ in range(rounds + 1)] + list(after)


def one(totals, *after, width=W, height=H, name="Ball", **more):
    found = part(totals, name=name, **more)
    book = pattern(section(name, lines(len(totals), *after)), gauge=gauge(width, height))
    return compute(book, graph(found)).parts[0]


def test_ball_of_the_reference():
    # K6 m8: D 48.7, H 41.0 by the closed form, outside 52 x 44 mm.
    found = one(standard_ball(6, 8), said("stuff", amount="firm"), said("close"))
    assert found.shape == "closed"
    assert found.width_mm == pytest.approx(52.1, abs=0.5)
    assert found.height_mm == pytest.approx(43.1, abs=1.0)
    assert found.rounds[-1].n == 18 and found.rounds[5].total == 36


def test_published_egg():
    # Outside check: a 28-stitch egg, worsted, 3.75 mm, stated 2½ in (63.5 mm) tall; gauge not stated (1.4 hooks, 0.96).
    totals = [6, 12, 12, 16, 20, 24] + [28] * 7 + [21, 21, 14, 7]
    width = 1.4 * 3.75
    found = one(totals, said("stuff"), said("close"), width=width, height=0.96 * width)
    assert found.height_mm == pytest.approx(63.5, rel=0.03)


def test_published_basket():
    # Outside check: basket of a crochet magazine (I Like Crochet), 15 sc x 16 rnds = 4 in, base of 8½ in (215.9 mm).
    width, height = 101.6 / 15, 101.6 / 16
    totals = [6 * k for k in range(1, 18)]
    found = one(totals, width=width, height=height)
    assert found.shape == "flat"
    assert found.width_mm == pytest.approx(215.9, rel=0.02)
    assert found.height_mm < 6


def test_gauge_circle():
    # Outside check: designers' gauge circles: five rounds of 6, 12 … 30 are 5 cm with DK cotton and a 2.5 mm hook (h = 5.0).
    assert one([6, 12, 18, 24, 30], width=5.24, height=5.0).width_mm == pytest.approx(50, abs=0.5)


def test_flat_things_are_not_blown_up():
    disc = one([6 * k for k in range(1, 9)])
    assert (disc.shape, disc.volume_cm3, disc.stuffing_g) == ("flat", None, 0.0)
    assert one([6 * k for k in range(1, 9)], said("stuff"), said("close")).shape == "closed"
    assert one([6, 12, 18, 24, 24, 24, 24], said("leave_open")).shape == "open"


def test_rows():
    found = one([20] * 30, worked="rows", chains=20)
    assert found.shape == "rows"
    assert found.width_mm == pytest.approx(20 * W)
    assert found.length_mm == pytest.approx(30 * H * 0.92)
    assert all(row.radius_mm is None for row in found.rounds)


def test_oval():
    # ch 7, four rounds, w 5, h 4.8: 38.4 x 58.4 mm.
    found = one([14, 20, 26, 32], worked="oval spiral", chains=7, width=5.0, height=4.8)
    assert found.shape == "oval flat"
    assert found.width_mm == pytest.approx(38.4, abs=0.2)
    assert found.length_mm == pytest.approx(58.4, abs=0.2)


def test_taller_stitches():
    sc = one([12] * 6, said("leave_open"), chains=12)
    dc = one([12] * 6, said("leave_open"), chains=12, stitch="double_crochet")
    assert dc.height_mm == pytest.approx(2 * sc.height_mm, rel=0.05)


def test_hips_of_joined_legs():
    # 18 + 18 stitches, 4 chains in between: relaxed model 17.5 stitch widths across; a round body would be 14.0.
    leg, body = part([6, 12, 18, 18, 18], name="Leg", make=2), part(
        [44] * 6, name="Body", foreign=((0, 1, 18), (0, 2, 18)), first=6
    )
    book = pattern(section("Leg", lines(5), make=2), section("Body", lines(6)), gauge=gauge(1.0, 0.96))
    found = compute(book, graph(leg, body)).parts[1]
    assert found.width_mm - 0.72 == pytest.approx(17.5, rel=0.01)


def test_whole_piece_is_stacked():
    leg = part([6, 12, 18, 18, 18], name="Leg", make=2)
    body = part([44] * 10 + [36, 30, 24], name="Body", foreign=((0, 1, 18), (0, 2, 18)), first=6)
    head = part([6, 12, 18, 24, 30, 36, 36, 36, 36, 36, 30, 24], name="Head")
    ear = part([6, 12, 12], name="Ear", make=2)
    book = pattern(
        section("Leg", lines(5), make=2),
        section("Body", lines(13, said("leave_open"))),
        section("Head", lines(12, said("leave_open"))),
        section("Ear", lines(3, said("leave_open")), make=2),
        section("Assembly", [said("sew", what="Head", onto="Body"), said("sew", what="the Ears", onto="Head", a=2, b=4)], "assembly"),
        gauge=gauge(W, H),
    )
    figures = compute(book, graph(leg, body, head, ear))
    stack = sum(figures.parts[i].height_mm for i in range(3))
    # Ears add what rises above the head's top; they stand out slantwise.
    assert figures.size.basis == ("Leg", "Body", "Head", "Ear")
    assert stack < figures.size.height_mm < stack + figures.parts[3].width_mm
    extents = {name: (low, high) for name, low, high in figures.size.placed}
    assert max(extents[name][1] for name in ("Leg", "Body", "Head")) == pytest.approx(stack)
    assert extents["Ear"][1] == pytest.approx(figures.size.height_mm)


@pytest.mark.parametrize("totals", [[], [0], [1], [2], [4], [1, 2, 4], [6], [3, 0, 3], [5000]])
def test_odd_parts_do_not_fall_over(totals):
    for after in ((), (said("close"),), (said("stuff"), said("close_flat"))):
        for worked in ("spiral", "joined", "rows", "oval spiral", "mixed"):
            found = one(totals, *after, worked=worked, chains=3 if worked == "rows" else 0)
            assert len(found.rounds) == len(totals)
            figures_json(compute(pattern(section("Ball")), graph(part(totals, worked=worked))))


def test_no_parts():
    figures = compute(pattern(), graph())
    assert figures.parts == () and figures.yarn == () and figures.size.height_mm is None
    figures_json(figures)


# ---- gauge ----


def test_gauge_from_hook_and_default():
    # Mean of fourteen published gauges: a stitch is 1.4 hooks wide, a round 0.96 of that high.
    used = gauge_used(pattern(hook_mm=2.5))
    assert (used.stitch_mm, used.round_mm, used.basis) == (pytest.approx(3.5), pytest.approx(3.36), "hook")
    assert gauge_used(pattern()).basis == "default"


def test_gauge_in_rows():
    # A turned swatch is 0.92 as high as the round: 28 x 38 rows and rounds must not be mixed.
    rounds = gauge_used(pattern(gauge=gauge(W, H)))
    turned = gauge_used(pattern(gauge=gauge(W, H, "24 sc x 25 rows = 10 cm")))
    assert (rounds.round_mm, rounds.row_mm) == (pytest.approx(4.0), pytest.approx(3.68))
    assert (turned.round_mm, turned.row_mm) == (pytest.approx(4.348, abs=1e-3), pytest.approx(4.0))


# ---- yarn ----


def metres(totals, *after, width=W, height=H, **more):
    return sum(length for _, length in one(totals, *after, width=width, height=height, **more).yarn_m)


def test_yarn_of_the_reference_ball():
    # 396 stitches and 30 decreases, w 4.17, h 4.00: 11.70 m and 0.40 m of ends.
    assert metres(standard_ball(6, 6), said("fasten_off"), said("close")) == pytest.approx(12.1, abs=0.05)


def test_published_swatch():
    # Outside check: Interweave magazine, "Yarn usage": 20 x 20 sc, chunky, 6 mm: 19 g of a yarn of 110 m/100 g = 20.9 m.
    found = metres([20] * 20, width=158.75 / 20, height=146.05 / 20 / 0.92, worked="rows", chains=40)
    assert pytest.approx(found, rel=RANGE) == 20.9


def test_published_knobs():
    # Outside check: twelve knobs 6, 12, 12, 12, 6, DK cotton, 3 mm, rounded 20 m (bridiepie.wordpress.com, 2020; gauge inferred).
    found = 12 * metres([6, 12, 12, 12, 6], said("fasten_off", tail_mm=150), width=4.2, height=4.0)
    assert pytest.approx(found, rel=RANGE) == 20.0


def test_published_designers_value():
    # Outside check: a designer's own value, worsted, 5 mm, back loop only: 1.8 in (45.7 mm) a stitch.
    more = metres([100] * 11, chains=100, width=6.65, height=6.35) - metres([100] * 10, chains=100, width=6.65, height=6.35)
    assert more / 100 == pytest.approx(0.0457, rel=0.02)


def test_published_shopping_amounts_are_not_less_than_the_model():
    # Outside check: stated amounts to buy are upper bounds. Hat 12, 24, 36 x 8 in dc, bulky, 50 yd (lanahobby, 2012);
    # basket of 17 rounds and 24 more, two balls of 120 m (I Like Crochet).
    hat = metres([12, 24] + [36] * 8, stitch="double_crochet", width=8.31, height=7.9)
    basket = metres([6 * k for k in range(1, 18)] + [102] * 24, width=6.77, height=6.35)
    assert hat < 50 * 0.9144
    assert 120 < basket < 240


def test_colours_and_pieces():
    found = part([12] * 6, colours=[0, 0, 1, 1, 0, 0], make=3, chains=12)
    book = pattern(section("Tube", lines(6), make=3), gauge=gauge(W, H), yarns=(yarn("A", ball_m=125.0, ball_g=50.0), yarn("B")))
    figures = compute(book, graph(found))
    used = {row.code: row for row in figures.yarn}
    stitch = 3.5 * (W + H) / 1000
    # B: 24 stitches and half of two colour changes.
    assert used["B"].length_m == pytest.approx(3 * (24 * stitch + 0.2))
    assert used["A"].mass_g == pytest.approx(used["A"].length_m * 50 / 125)
    assert (used["A"].balls, used["B"].balls, used["B"].mass_g) == (1, None, None)
    assert used["A"].low_m == pytest.approx(0.85 * used["A"].length_m)


def test_declared_use_is_printed():
    book = pattern(
        section("Tube", lines(6)), gauge=gauge(W, H), yarns=(yarn("A", ball_m=125.0, ball_g=50.0, used_g=60.0),)
    )
    row = compute(book, graph(part([12] * 6))).yarn[0]
    assert (row.length_m, row.mass_g, row.balls, row.basis) == (pytest.approx(150.0), 60.0, 2, "declared")
    assert row.computed_m < 5


def test_more_stitches_never_take_less():
    lengths = [metres([6, 12] + [12] * n) for n in range(1, 8)]
    assert lengths == sorted(lengths)


# ---- stuffing ----


def test_stuffing_of_the_reference_ball():
    # V 46.0 cm3, A 64.4 cm2, fabric 3 mm: 36.3 cm3 inside, 1.5 g at .04.
    found = one(standard_ball(6, 6), said("stuff", amount="normal"), said("close"))
    assert found.stuffing_g == pytest.approx(1.5, abs=0.05)
    assert one(standard_ball(6, 6), said("stuff", amount="none"), said("close")).stuffing_g == 0.0
    assert one(standard_ball(6, 6), said("close")).stuffing_g is None


def test_another_hook_scales_a_part():
    book = pattern(
        section("Ball", [said("hook", hook_mm=5.0), *lines(16, said("close"))]), gauge=gauge(W, H), hook_mm=2.5
    )
    built = graph(part(standard_ball(6, 6)), steps=[list(range(1, 18))])
    found = compute(book, built).parts[0]
    assert found.width_mm == pytest.approx(2 * one(standard_ball(6, 6), said("close")).width_mm, rel=0.01)


def test_json_has_the_agreed_keys():
    book = pattern(section("Ball", lines(16, said("close"))), gauge=gauge(W, H), yarns=(yarn("A"),))
    found = figures_json(compute(book, graph(part(standard_ball(6, 6)))))
    assert {"gauge", "parts", "yarn", "size_mm", "safety", "variants"} <= set(found)
    assert set(found["gauge"]) >= {"stitch_mm", "round_mm", "from"}
    assert set(found["parts"][0]) >= {
        "name", "make", "stitches", "width_mm", "height_mm", "length_mm", "shape", "rounds", "yarn_m", "stuffing_g",
    }  # fmt: skip
    assert set(found["parts"][0]["rounds"][0]) == {"n", "total", "radius_mm", "height_mm"}
    assert {"code", "length_m", "low_m", "high_m", "mass_g", "balls"} <= set(found["yarn"][0])
    assert {"height", "width"} <= set(found["size_mm"])
    assert {"age", "markets", "components", "notes"} <= set(found["safety"])
    assert found["parts"][0]["rounds"][5]["radius_mm"] == pytest.approx(36 * W / 2 / pi, rel=0.1)


@pytest.mark.parametrize(
    ("totals", "hook", "way", "stated"),
    [
        # Outside check: published toys with a stated size and no gauge; the model's own spread on nine such toys is 1.20.
        ([6, 12, 18] + [24] * 7 + [18, 12], 3.75, "height_mm", 44.5),  # head, worsted
        ([6, 12, 18, 24, 30] + [36] * 6 + [30, 24, 18, 12, 6], 4.25, "width_mm", 63.5),  # ball, worsted cotton
    ],
)
def test_published_toys_without_a_gauge(totals, hook, way, stated):
    found = one(totals, said("stuff"), said("close"), width=1.4 * hook, height=0.96 * 1.4 * hook)
    assert stated / 1.2 < getattr(found, way) < stated * 1.2
