"""Motifs from their text: squares of groups and flowers, whose rounds are worked round chains; a mouth told by stitches."""

from __future__ import annotations

import math

import pytest

from booklet import pipeline
from booklet.editions.edition import Edition
from booklet.figures.growth import straight_sides

HEAD = "---\nlanguage: en-US\nhook: 4 mm\ngauge: 16 dc x 8 rnds = 10 cm\nyarns:\n  A: teal, medium (4), wool, 85 m / 50 g\n---\n\n## Motif\n\n"
SQUARE = HEAD + """\
Start: ch 4, join with sl st to form a ring
Rnd 1: ch 3 (counts as dc), 2 dc in ring, ch 2, (3 dc in ring, ch 2) x 3, join (12)
Rnd 2: ch 3 (counts as dc), (2 dc, ch 2, 3 dc) in same sp, ch 1, [(3 dc, ch 2, 3 dc) in next ch-2 sp, ch 1] x 3, join (24)
"""
FLOWER = HEAD + """\
Rnd 1: ch 3 (counts as dc), 11 dc in MR, join (12)
Rnd 2: ch 1, (sc, ch 3, popcorn, ch 3) x 6, join (12)
Rnd 3: (5 dc in next ch-3 sp, sl st in next ch-3 sp) x 6 (36)
"""


def read(text: str) -> pipeline.Understood:
    return pipeline.understand(text.encode(), "motif.md")


def test_a_square_of_groups_takes_every_corner_once_and_lies_flat() -> None:
    understood = read(SQUARE)
    part = understood.graph.parts[0]
    taken: list[tuple[int, ...]] = []
    for i in range(part.round_start[2], part.round_start[3]):
        parents = tuple(part.parents_of(i))
        if len(parents) == 2 and (not taken or taken[-1] != parents):
            taken.append(parents)
    assert len(taken) == len(set(taken)) == 4
    assert "edge-waves" not in {found.code for found in understood.problems}


@pytest.mark.parametrize("corners", [3, 4, 6, 8, 40])
def test_straight_sides_are_those_of_a_regular_polygon(corners: int) -> None:
    """Perimeter of the regular polygon round a circle of radius 1: 2 n tan(pi / n) (Euclid; any handbook of geometry)."""
    side = 2 * math.tan(math.pi / corners)
    assert straight_sides(corners) == pytest.approx(corners * side / (2 * math.pi))


def test_petals_lie_outside_the_round_that_carries_them() -> None:
    understood = read(FLOWER)
    edition = Edition(("en-US",), "US")
    (chart,) = pipeline.charts(understood, edition, [0])
    far = {r: [math.hypot(m.x, m.y) for m in chart.drawing.marks if m.round == r and m.kind != "chain"] for r in (1, 2, 3)}
    assert max(far[1]) < min(far[2]) and max(far[2]) < max(far[3])
    assert all(len(mark.feet) == 1 for mark in chart.drawing.marks if mark.round == 3)
    assert "edge-waves" not in {found.code for found in understood.problems}


FACE = """\
---
language: en-US
gauge: 24 sc x 25 rnds = 10 cm
---

## Head

Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnds 4-7: sc around (18)
Embroider the mouth from st 8 of Rnd 6 to st 11 of Rnd 5.
Stuff firmly.
Rnd 8: (sc, dec) x 6 (12)
Rnd 9: dec x 6 (6)
Fasten off. Close the hole.
"""


def test_a_line_of_embroidery_ends_at_the_stitches_that_are_named() -> None:
    from booklet.drawings.puts import angle_of, puts
    from booklet.illustration import placings

    understood = read(FACE)
    (put,) = puts(placings(understood.pattern, understood.graph), understood.graph, understood.figures)[0]
    assert put.kind == "line"
    assert put.line == ((6.0, angle_of(8, 18, False)), (5.0, angle_of(11, 18, False)))
