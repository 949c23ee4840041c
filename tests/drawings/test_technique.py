"""Drawings of techniques: crossings as declared, lines that print, everything inside the frame, a step for each picture."""

from __future__ import annotations

import math

import pytest

from booklet.drawings.technique import HEIGHT, WIDTH, panels, points_of, threads, written_threads
from booklet.drawings.yarn_paths import bands, crossings, order, sides, thread
from booklet.tables.reader import TableFault
from booklet.tables.techniques import drawing, technique, techniques

DRAWN = [name for name in techniques() if drawing(name)]
THINNEST = 0.25  # mm at 45 mm width: what every press holds; common practice, no source
# What beginners need most: the stitches, the ring, shaping, loops, the marker, ends and sewing, eyes.
NEEDED = (
    "slip-knot chain into-chain magic-ring slip-stitch single-crochet half-double-crochet double-crochet increase decrease "
    "invisible-decrease front-loop back-loop spiral-marker joined-rounds counting turning changing-color fasten-off "
    "close-front-loops whip-stitch mattress-stitch sew-open-to-closed safety-eyes embroider-eyes embroider-mouth stuffing weaving-in fixing-count"
).split()


def test_what_beginners_need_most_is_drawn() -> None:
    assert [name for name in NEEDED if name not in DRAWN] == []
    assert len(NEEDED) > 20


@pytest.mark.parametrize("name", DRAWN)
def test_each_picture_has_its_step(name: str) -> None:
    text = technique(name, "en-US")
    assert text is not None
    steps = [step for step, _ in panels(name, drawing(name))]
    assert steps == sorted(set(steps))
    assert all(1 <= step <= len(text.steps) for step in steps)
    assert all(text.steps[step - 1].text for step in steps), "the alternative text of a picture is its step"


@pytest.mark.parametrize("name", DRAWN)
def test_lines_can_be_printed(name: str) -> None:
    for _, made in panels(name, drawing(name)):
        assert made.width_mm == WIDTH
        assert all(path.width == 0 or path.width >= THINNEST for path in made.paths)


@pytest.mark.parametrize("name", DRAWN)
def test_what_is_pointed_at_lies_in_the_frame(name: str) -> None:
    for panel in drawing(name):
        high = float(panel.get("height", HEIGHT))
        tips = [hook["tip"] for kind in ("hook", "needle") for hook in panel.get(kind, ())]
        arrows = [point for one in panel.get("arrow", ()) for point in one["points"]]
        marks = [point for one in panel.get("mark", ()) if one["shape"] in ("dot", "cross", "ring") for point in one["points"]]
        for x, y in (*tips, *arrows, *marks):
            assert 0 <= x <= WIDTH, (panel["step"], x, y)
            assert 0 <= y <= high, (panel["step"], x, y)
    for _, made in panels(name, drawing(name)):
        for path in made.paths:
            if path.role == "arrow":
                assert all(-0.5 <= x <= WIDTH + 0.5 and -0.5 <= y <= made.height_mm + 0.5 for x, y in points_of(path))


@pytest.mark.parametrize("name", DRAWN)
def test_a_thread_leaves_the_frame_at_its_edge_only(name: str) -> None:
    for panel in drawing(name):
        for one in panel.get("yarn", ()):
            for at, point in enumerate(one["points"]):
                inside = -1.5 <= point[0] <= WIDTH + 1.5 and -1.5 <= point[1] <= HEIGHT + 1.5
                assert inside or at in (0, len(one["points"]) - 1), (panel["step"], point)


def test_crossings_are_as_declared() -> None:
    declared = 0
    for name in DRAWN:
        for panel in drawing(name):
            every = threads(panel)
            found = crossings(every)[len(every) - written_threads(panel) :] if written_threads(panel) else []
            for one, some in zip(panel.get("yarn", ()), found, strict=True):
                if one.get("order"):
                    declared += 1
                    assert order(some) == one["order"], (name, panel["step"])
    assert declared >= 3


def test_a_loop_knot_alternates() -> None:
    # A closed three-crossing curve, drawn as a trefoil is in any handbook of knots: over and under by turns.
    points = []
    for k in range(24):
        t = 2 * math.pi * k / 24
        x, y = math.sin(t) + 2 * math.sin(2 * t), math.cos(t) - 2 * math.cos(2 * t)
        points.append((20 + 5 * x, 15 + 4 * y, -math.sin(3 * t)))
    some = crossings([thread(points, 1.0, "work", closed=True)])[0]
    assert order(some) in ("ououou", "uououo")


def test_the_lower_thread_is_interrupted_and_the_upper_is_whole() -> None:
    level = thread([(0, 10, 0), (20, 10, 0)], 2.0, "work")
    upright = thread([(10, 0, 1), (10, 20, 1)], 2.0, "work")
    seen = bands([level, upright])
    assert [len([band for band in seen if band.knots[0].x == band.knots[-1].x]), len(seen)] == [1, 3]
    left = next(band for band in seen if band.knots[0].x == 0)
    assert 10 - 1 - 1.0 < left.knots[-1].x < 10 - 1, "the gap is wider than the thread on top, but not by much"
    edges = sides(left)
    assert edges[0][0][1] - edges[1][0][1] == pytest.approx(2.0)


def test_the_left_hand_sees_a_mirror() -> None:
    for (_, right), (_, left) in zip(panels("chain", drawing("chain")), panels("chain", drawing("chain"), left_handed=True), strict=True):
        for one, other in zip(right.paths, left.paths, strict=True):
            mirrored = [(WIDTH - x, y) for x, y in points_of(one)]
            assert points_of(other) == [pytest.approx(point, abs=0.011) for point in mirrored]


def test_the_active_loop_is_darker_in_grey() -> None:
    # Relative luminance, WCAG 2.1: the loop that moves must stand out on a black and white printer.
    from booklet.drawings.technique import FILLS

    def luminance(ink: str) -> float:
        channels = [int(ink[k : k + 2], 16) / 255 for k in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    light, active = luminance(FILLS["work"]), luminance(FILLS["active"])
    assert (light + 0.05) / (active + 0.05) > 2


@pytest.mark.parametrize(
    "panel", [{"step": 1, "colour": "red"}, {"yarn": []}, {"step": 1, "mark": [{"shape": "star", "points": [[1, 1]]}]}, {"step": 1, "loop": [{"at": 3}]}]
)
def test_a_wrong_drawing_is_reported(panel: dict) -> None:
    with pytest.raises(TableFault):
        panels("x", [panel])
