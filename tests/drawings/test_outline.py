"""Silhouettes: true to their profile, at one scale, inside their room."""

import math
import re

import pytest

from booklet.drawings.outline import OutlineStyle, Shape, outline, overview

BALL = [(25 * math.sin(math.pi * (k + 0.5) / 16), 24 * (1 - math.cos(math.pi * (k + 0.5) / 16))) for k in range(16)]
LEG = [(4, 0.5), (8, 1), (12, 1.5), *((12, 1.5 + 4 * k) for k in range(1, 6))]
DISC = [(4.0 * k, 0.02 * k) for k in range(1, 8)]
STYLE = OutlineStyle(24, 40)


def points(text):
    numbers = [float(n) for n in re.findall(r"-?\d*\.?\d+", text)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def path(drawing, role):
    return next(path for path in drawing.paths if path.role == role)


@pytest.mark.parametrize(("profile", "closed"), [(BALL, True), (LEG, False), (DISC, False)])
def test_a_part_stays_inside_its_room(profile, closed):
    drawing = outline(profile, STYLE, closed, range(1, len(profile) + 1), (2, 3))
    assert drawing.width_mm <= STYLE.width_mm + 1e-6 and drawing.height_mm <= STYLE.height_mm + 1e-6
    left, top, right, bottom = drawing.frame
    for x, y in points(path(drawing, "outline").d):
        assert left - 0.5 <= x <= right + 0.5 and top - 0.5 <= y <= bottom + 0.5


def test_the_silhouette_passes_through_the_profile():
    drawing = outline(BALL, STYLE)
    scale = drawing.symbol_mm
    found = points(path(drawing, "outline").d)
    for radius, height in BALL:
        for side in (-1, 1):
            assert min(math.dist((side * radius * scale, -height * scale), point) for point in found) < 0.02


def test_a_flat_part_is_seen_from_above():
    drawing = outline(DISC, STYLE)
    assert drawing.width_mm == pytest.approx(drawing.height_mm)


def test_worked_rounds_are_shaded_between_their_heights():
    drawing = outline(BALL, STYLE, worked=(7, 10))
    ys = [-y for _, y in points(path(drawing, "shade").d)]
    assert max(ys) == pytest.approx(BALL[9][1] * drawing.symbol_mm, abs=0.6)
    assert min(ys) > BALL[4][1] * drawing.symbol_mm


def test_all_parts_stand_at_one_scale_with_their_counts():
    drawing = overview([Shape(BALL, True, 1), Shape(LEG, False, 2), Shape(DISC, False, 1), Shape(LEG, False, 4)], OutlineStyle(110, 60))
    assert [label.text for label in drawing.labels] == ["×1", "×2", "×1", "×4"]
    assert drawing.fits and drawing.height_mm <= 61
    assert all(0 <= label.x <= 110 for label in drawing.labels)


def test_nothing_is_drawn_from_nothing():
    assert outline([], STYLE).paths == ()
    assert overview([], STYLE).paths == ()
