"""The picture of a cover without a photo: every part once, at one scale, in the colours of its rounds."""

from __future__ import annotations

import re

import pytest

from booklet.drawings.outline import OutlineStyle, Shape
from booklet.drawings.plate import Worked, plate

STYLE = OutlineStyle(120, 96)
RED, BLUE = "#aa2211", "#113399"


def ball(size: float, closed: bool = True) -> Shape:
    return Shape(((size * 0.6, size * 0.2), (size, size), (size * 0.6, size * 1.8)), closed, 1, name="Ball")


def boxes(drawing) -> list[tuple[float, float, float, float]]:
    """Left, top, right, bottom of each outline, by the points of its path."""
    found = []
    for path in drawing.paths:
        if path.role == "outline":
            numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", path.d)]
            found.append((min(numbers[::2]), min(numbers[1::2]), max(numbers[::2]), max(numbers[1::2])))
    return found


def test_every_part_is_drawn_once_and_in_its_colours():
    drawing = plate([Worked(ball(20), (RED, RED, BLUE)), Worked(ball(10), (BLUE,) * 3)], STYLE)
    assert len(boxes(drawing)) == 2
    assert [path.ink for path in drawing.paths if path.role == "body"] == [RED, BLUE, BLUE]
    assert not drawing.labels


def test_the_scale_is_one():
    (left, _, right, _), (small_left, _, small_right, _) = boxes(plate([Worked(ball(20), (RED,) * 3), Worked(ball(10), (RED,) * 3)], STYLE))
    assert (right - left) / (small_right - small_left) == pytest.approx(2, rel=0.02)


@pytest.mark.parametrize("count", [2, 5, 12, 24])
def test_the_picture_stays_in_its_room_and_nothing_overlaps(count):
    parts = [Worked(ball(6 + 3 * (k % 7), k % 2 == 0), (RED, BLUE, RED)) for k in range(count)]
    drawing = plate(parts, STYLE)
    assert drawing.width_mm <= STYLE.width_mm + 1 and drawing.height_mm <= STYLE.height_mm + 4
    found = boxes(drawing)
    assert len(found) == count
    for k, one in enumerate(found):
        for other in found[k + 1 :]:
            apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            assert apart, (one, other)


def test_rows_are_stripes_across_the_longer_side():
    scarf = Worked(Shape((), False, 1, (100.0, 10.0)), (RED,) * 5 + (BLUE,) * 2 + (RED,) * 5, along=True)
    drawing = plate([scarf, Worked(ball(10), (RED,) * 3)], STYLE)
    stripes = [path for path in drawing.paths if path.role == "body"][-3:]
    assert [path.ink for path in stripes] == [RED, BLUE, RED]
    starts = [float(re.findall(r"-?\d+\.?\d*", path.d)[0]) for path in stripes]
    wide = boxes(drawing)[-1][2] - boxes(drawing)[-1][0]
    assert [(start - starts[0]) / wide for start in starts] == pytest.approx([0, 5 / 12, 7 / 12], abs=0.01)


def test_a_flat_round_is_seen_from_above():
    disc = Shape(((10, 1), (20, 2), (30, 3)), False, 1)
    drawing = plate([Worked(disc, (RED, BLUE, RED)), Worked(ball(10), (RED,) * 3)], STYLE)
    inks = [path.ink for path in drawing.paths if path.role == "body"]
    assert inks.count(BLUE) == 1 and inks.count(RED) == 3
    left, top, right, bottom = boxes(drawing)[0]  # the taller on the page stands first
    assert right - left == pytest.approx(bottom - top, rel=0.02)


def test_no_small_part_has_a_line_to_itself():
    parts = [Worked(ball(size), (RED,) * 3) for size in (20, 18, 12, 9, 8, 4)]
    tops = [round(bottom) for _, _, _, bottom in boxes(plate(parts, STYLE))]
    assert all(tops.count(one) > 1 for one in tops)
