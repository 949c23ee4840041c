"""Where things sit: angles from stitch counts, heights from rounds, and the drawing at the places that were worked out."""

import math

import pytest

from booklet.drawings.drawing import Put, Said
from booklet.drawings.outline import OutlineStyle
from booklet.drawings.placement import check_bar, placement
from booklet.drawings.progress import progress, stages
from booklet.drawings.puts import angle_of, puts, upside_down
from booklet.pipeline import understand

STYLE = OutlineStyle(116, 64)
BALL = [(4, 1), (8, 3), (12, 7), (14, 12), (14, 16), (12, 21), (8, 25), (4, 27)]

TOY = """---
title: Toy
gauge: 24 sc x 25 rnds = 10 cm
---

## Head

With A. Worked in a spiral.

Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnd 4: (2 sc, inc) x 6 (24)
Rnd 5: (3 sc, inc) x 6 (30)
Rnd 6: (4 sc, inc) x 6 (36)
Rnds 7-12: sc around (36)

Place the safety eyes between Rnds 8 and 9, 5 sts between them.

Rnd 13: (4 sc, dec) x 6 (30)
Rnd 14: (3 sc, dec) x 6 (24)

Fasten off, leaving a 30 cm tail. Leave open.

## Body

Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnd 4: (2 sc, inc) x 6 (24)
Rnds 5-12: sc around (24)

Fasten off, leaving a 30 cm tail. Leave open.

## Ear (make 2)

Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnds 3-4: sc around (12)

Fasten off, leaving a 20 cm tail. Leave open.

## Tail

Rnd 1: 6 sc in MR (6)
Rnds 2-4: sc around (6)

Fasten off, leaving a 20 cm tail. Leave open.

## Assembly

1. Sew the Head to the Body.
2. Sew the Ears to the Head, over Rnds 7 to 9, 11 sts between them.
3. Sew the Tail to the Body, over Rnds 3 to 4, at the center back.
"""


@pytest.fixture(scope="module")
def toy():
    from booklet.illustration import placings

    understood = understand(TOY.encode(), "toy.md")
    said = placings(understood.pattern, understood.graph)
    return understood, said, puts(said, understood.graph, understood.figures)


def test_n_stitches_between_two_eyes_put_their_middles_n_plus_one_apart(toy):
    """36 stitches, 5 between: 6/36 of a round, 60 degrees. Published choices lie at 40 to 75 degrees (technical editors' rule)."""
    eyes = toy[2][0][0]
    assert eyes.kind == "eye" and eyes.between and (eyes.first, eyes.last) == (8, 9)
    assert eyes.angles == pytest.approx((-30.0, 30.0))


def test_sewn_parts_carry_the_number_of_their_step(toy):
    understood, _, found = toy
    ears = found[0][1]
    assert ears.number == "2" and ears.angles == pytest.approx((-60.0, 60.0)) and (ears.first, ears.last) == (7, 9)
    (tail,) = found[1]
    assert tail.number == "3" and tail.angles == (180.0,)
    assert tail.wide_mm == pytest.approx(2 * understood.figures.parts[3].rounds[-1].radius_mm)


def test_a_head_that_begins_at_the_crown_is_worn_the_other_way_up(toy):
    understood, said, _ = toy
    assert upside_down(said, understood.figures) == {0}


def test_stitches_are_counted_from_the_centre_back_to_the_own_left():
    """Right-handed work runs from right to left as seen from outside, so from behind it runs to the piece's own left."""
    assert angle_of(0.5, 36, False) == pytest.approx(180)
    assert angle_of(9.5, 36, False) == pytest.approx(90)
    assert angle_of(18.5, 36, False) == pytest.approx(0)
    assert angle_of(9.5, 36, True) == pytest.approx(-90)


def test_a_line_of_embroidery_runs_between_stitches_of_named_rounds(toy):
    understood = toy[0]
    said = Said("embroider", (("a", 8), ("b", 10), ("p", 17), ("q", 20), ("what", "mouth")), None, 0, "4")
    (mouth,) = puts((said,), understood.graph, understood.figures, left_handed=True)[0]
    assert mouth.kind == "line"
    assert mouth.line == ((8.0, angle_of(17, 36, True)), (10.0, angle_of(20, 36, True)))
    drawing = placement("Head", BALL, [str(k) for k in range(1, 9)], [mouth._replace(line=((3, 10), (5, -10)), first=3, last=5)], STYLE)
    assert [path for path in drawing.paths if path.role == "embroidery"]


def middles(path):
    for part in path.d.split("M")[1:]:
        numbers = [float(n) for n in part.replace("C", " ").replace("L", " ").replace("Z", " ").split()]
        xs, ys = numbers[0::2], numbers[1::2]
        yield (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def test_eyes_are_drawn_where_they_sit_in_both_views():
    eyes = Put("eyes", "", 4, 5, True, (-30.0, 30.0), 2.0, "eye")
    drawing = placement("Head", BALL, [str(k) for k in range(1, 9)], [eyes], STYLE, views=("front", "side"))
    scale = drawing.symbol_mm
    (path,) = [path for path in drawing.paths if path.role == "eyes"]
    spots = sorted(middles(path))
    # In front the two lie symmetrically; from its left side only its left eye is seen, in front of the axis.
    assert len(spots) == 3
    (left, right), radius = spots[1:] if spots[0][0] > 0 else (spots[0], spots[1]), 14
    assert left[0] == pytest.approx(-right[0], abs=0.02)
    assert right[0] == pytest.approx(radius * math.sin(math.radians(30)) * scale, abs=0.05)
    assert [label.text for label in drawing.labels if label.role == "view"] == ["front", "side"]


def test_nothing_of_a_placement_lies_outside_its_frame():
    put = [
        Put("eyes", "", 4, 5, True, (-30.0, 30.0), 2.0, "eye"),
        Put("ears", "2", 6, 7, False, (-95.0, 95.0), 8.0),
        Put("cap", "3", 7, 8, True, ()),
        Put("tail", "4", 1, 3, False, (180.0,), 9.0),
    ]
    for flipped in (False, True):
        drawing = placement("Head", BALL, [str(k) for k in range(1, 9)], put, STYLE, flipped=flipped, views=("front", "side"))
        left, top, right, bottom = drawing.frame
        assert drawing.width_mm <= STYLE.width_mm + 0.1 and drawing.height_mm <= STYLE.height_mm + 0.1
        for path in drawing.paths:
            for x, y in middles(path):
                assert left <= x <= right and top <= y <= bottom, path.role
        tags = [label.y for label in drawing.labels if label.role == "step"]
        assert len(tags) == 3 and all(abs(a - b) > 4 for i, a in enumerate(tags) for b in tags[i + 1 :])


def test_the_check_bar_is_five_centimetres_long():
    drawing = check_bar("5 cm", OutlineStyle(60, 10))
    (path,) = drawing.paths
    numbers = [float(n) for n in path.d.replace("M", " ").replace("L", " ").split()]
    assert max(numbers[0::2]) - min(numbers[0::2]) == 50.0
    assert drawing.width_mm == pytest.approx(51)


def test_steps_of_progress_end_where_a_part_changes():
    totals = [6, 12, 18, 24, 24, 24, 24, 18, 12, 6]
    assert stages(totals) == ((1, 4), (5, 7), (8, 10))
    assert stages([6] * 5) == ((1, 5),)
    many = [6, 12, 12, 12, 18, 18, 18, 24, 24, 24, 30, 30, 30]
    found = stages(many)
    assert len(found) <= 4 and found[0][0] == 1 and found[-1][1] == len(many)


def test_progress_shows_the_width_of_the_last_round():
    profile = BALL
    drawing = progress("Ball", profile, ((1, 4), (5, 8)), (("Rnds 1–4", "28 mm"), ("Rnds 5–8", "8 mm")), OutlineStyle(58, 27), True)
    (measure,) = [path for path in drawing.paths if path.role == "measure"]
    first = [float(n) for n in measure.d.split("M")[1].replace("L", " ").split()]
    assert first[2] - first[0] == pytest.approx(2 * 14 * drawing.symbol_mm, abs=0.02)
    assert progress("Ball", profile, ((1, 8),), (("", ""),), OutlineStyle(58, 27), True) is None
