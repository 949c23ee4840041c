"""Every form of a gauge. Values of geometry are derived; published ones name their source."""

import pytest

from booklet import pipeline

BALL = """
## Ball
Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnd 4: (2 sc, inc) x 6 (24)
Rnd 5: (3 sc, inc) x 6 (30)
Rnds 6-10: sc around (30)

Stuff firmly.
"""


def understood(head, body=BALL):
    return pipeline.understand(f"---\nlanguage: en-US\n{head}\n---\n{body}".encode(), "ball.md")


def used(head, body=BALL):
    return understood(head, body).figures.gauge


@pytest.mark.parametrize(
    ("gauge", "width", "height"),
    [
        ("24 sc x 26 rnds = 10 cm", 100 / 24, 100 / 26),
        ("18 sts and 20 rnds = 4 in", 101.6 / 18, 101.6 / 20),
        ("10 sc x 10 rnds = 2 in", 5.08, 5.08),
        ("24 sc = 10 cm", 100 / 24, 96 / 24),
        ("24 sts x 10 rnds = 5 cm x 4 cm, tube", 100 / 24, 4.0),
        # Published gauge circles of designers: 5 rounds = 5 cm (DK cotton, 2.5 mm), = 2.5 in (worsted, 5 mm), = 2 in (worsted, 3.5 mm).
        ("Rnds 1-5 = 5 cm across", 5.236, 5.0),
        ("5 rnds = 5 cm", 5.236, 5.0),
        ("first 5 rounds = 2.5 in", 6.650, 6.35),
        ("Rnds 1-5 = 2 in", 5.320, 5.08),
    ],
)
def test_forms(gauge, width, height):
    found = used(f"hook: 3 mm\ngauge: {gauge}")
    assert (found.stitch_mm, found.round_mm) == (pytest.approx(width, rel=0.005), pytest.approx(height, rel=0.005))
    assert found.basis == "gauge"


def test_a_motif_of_double_crochet():
    square = """
## Square
Worked in joined rounds.
Rnd 1: ch 3 (counts as dc), 11 dc in MR, join with sl st to first dc (12)
Rnd 2: ch 3 (counts as dc), dc in same st, 2 dc in each of next 11 sts, join with sl st to first dc (24)
"""
    found = used("gauge: Rnds 1-2 = 8 cm square", square)
    # Two rounds of dc, 2 sc high each, are half of the side: 10 mm a sc; 24 stitches go once round: 320 / 24.
    assert found.round_mm == pytest.approx(10.0)
    assert found.stitch_mm == pytest.approx(320 / 24)


def test_a_stitch_that_was_unravelled():
    found = used("gauge: 24 sc x 26 rnds = 10 cm\nunravelled: 20 sc = 58 cm")
    assert found.path == pytest.approx(29.0) and found.path_range == pytest.approx(0.07)
    assert used("gauge: 24 sc x 26 rnds = 10 cm\nunravelled: 58 cm").path == pytest.approx(29.0)
    plain = understood("gauge: 24 sc x 26 rnds = 10 cm").figures.yarn
    assert plain[0].high_m / plain[0].length_m == pytest.approx(1.15)


def test_parts_and_sizes_may_have_their_own():
    head = "gauge:\n  Ball: 20 sc x 20 rnds = 10 cm\n  Cap: 10 sc x 10 rnds = 10 cm"
    cap = BALL + "\n## Cap\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\n"
    ball, other = understood(head, cap).figures.parts
    assert (ball.gauge.stitch_mm, other.gauge.stitch_mm) == (5.0, 10.0)
    sized = BALL.replace(" x 6", " around")
    for total in (6, 12, 18, 24, 30):
        sized = sized.replace(f"({total})", f"[{total}]")  # round brackets hold the numbers of other sizes
    sizes = understood("sizes: small, large\nhook:\n  small: 2 mm\n  large: 4 mm\ngauge: 24 sc x 24 rnds = 10 cm", sized)
    small, large = sizes.figures, sizes.variant_figures[0]
    assert large.gauge.stitch_mm == pytest.approx(2 * small.gauge.stitch_mm)
    assert large.parts[0].volume_cm3 == pytest.approx(8 * small.parts[0].volume_cm3, rel=0.005)


def test_blocking_changes_sizes_but_no_yarn():
    before = understood("gauge: 24 sc x 26 rnds = 10 cm").figures
    both = understood("gauge before blocking: 24 sc x 26 rnds = 10 cm\ngauge after blocking: 20 sc x 22 rnds = 10 cm").figures
    assert both.gauge.stitch_mm == 5.0
    assert both.parts[0].width_mm > 1.15 * before.parts[0].width_mm
    assert both.yarn[0].length_m == pytest.approx(before.yarn[0].length_m, rel=0.01)


def test_another_hook_and_yarn():
    # Derived: with f = new stitch by old stitch, sizes and metres grow by f, stuffing by f³, fabric by f².
    text = understood("hook: 2.5 mm\ngauge: 24 sc x 25 rnds = 10 cm\nyarns:\n  A: blue, light (3), 125 m / 50 g")
    old = text.figures
    new, _ = pipeline.rescaled(text, 4.0, "worsted (4), 85 m / 50 g")
    f = 1.6
    assert new.parts[0].width_mm == pytest.approx(f * old.parts[0].width_mm, rel=0.005)
    assert new.parts[0].volume_cm3 == pytest.approx(f**3 * old.parts[0].volume_cm3, rel=0.005)
    assert new.parts[0].area_cm2 == pytest.approx(f**2 * old.parts[0].area_cm2, rel=0.005)
    assert new.yarn[0].length_m == pytest.approx(f * old.yarn[0].length_m, rel=0.05)  # ends stay as long
    assert new.yarn[0].mass_g == pytest.approx(new.yarn[0].length_m * 50 / 85)
    with pytest.raises(ValueError):
        pipeline.rescaled(text, None, "zibbit")


ODD = ["= 10 cm", "0 sc = 10 cm", "24 sc x 0 rnds = 10 cm", "Rnds 5-1 = 5 cm", "Rnd 0 = 5 cm", "5 rnds = 0 cm", "x"]


@pytest.mark.parametrize("words", ODD)
def test_odd_gauges_do_not_fall_over(words):
    found = understood(f'gauge: "{words}"').figures
    assert found.gauge.stitch_mm > 0 and found.gauge.round_mm > 0
