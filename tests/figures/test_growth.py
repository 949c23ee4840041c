"""How rounds grow: flat, cupped, ruffled; increases that stand on one another."""

from math import asin, degrees, pi

import pytest
from written import part_of, rounds

from booklet import pipeline
from booklet.figures.growth import Rounds, flat_increase, growths, kappa, stacked, verdict


@pytest.mark.parametrize(
    ("increase", "width", "height", "expected", "name"),
    [
        # Derived from circumference = 2 pi r; published lessons on flat circles (mkcarroll 2009, Ana Rosa 2016) agree: 6 sc, 8 sc ruffles.
        (6, 1.0, 1.0, 0.955, "flat"),
        (8, 1.0, 1.0, 1.273, "ruffle"),
        (5, 1.0, 1.0, 0.796, "bowl"),
        (12, 1.0, 1.9, 1.005, "flat"),
    ],
)
def test_growth_of_a_round(increase, width, height, expected, name):
    found = kappa(increase, width, height)
    assert found == pytest.approx(expected, abs=0.001)
    assert verdict(found) == name


def test_flat_numbers():
    assert flat_increase(5, 4.8) == pytest.approx(6.03, abs=0.005)
    # A cone's half angle is asin(kappa): five a round gives 52.7 degrees.
    assert degrees(asin(kappa(5, 1, 1))) == pytest.approx(52.7, abs=0.1)


def names(totals, height=0.96, below=0):
    return [(one.first, one.last, one.verdict) for one in growths(Rounds(tuple(totals), (height,) * len(totals), 1.0, below))]


def test_a_ball_is_flat_then_a_tube_then_closes():
    assert names([6, 12, 18, 24, 30, 30, 30, 30, 24, 18, 12, 6])[0] == (1, 5, "flat")
    assert names([6, 12, 18, 24, 30, 30, 30, 30, 30, 30]) == [(1, 5, "flat"), (6, 10, "tube")]
    assert names([6, 12, 18, 24, 30, 30, 30, 30, 24, 18, 12, 6])[-1][2] == "closing"


def test_one_round_that_doubles_is_no_ruffle_but_two_are():
    assert all(name != "ruffle" and name != "frill" for *_, name in names([6, 12, 24, 24, 24]))
    assert names([24, 24, 24, 48, 96], below=24)[-1][2] == "frill"


def test_the_running_growth_is_a_mean():
    (only,) = growths(Rounds((8, 16, 24, 32), (1.0,) * 4, 1.0, 0))
    assert only.kappa == pytest.approx(8 / (2 * pi), abs=1e-6)


def test_odd_rounds():
    for totals in ([], [1], [2], [4], [1, 1], [0], [3, 0, 3], [1, 1000]):
        for height in (0.0, 1.0):
            assert all(one.kappa == one.kappa for one in growths(Rounds(tuple(totals), (height,) * len(totals), 1.0, 0)))


def test_stacked_increases():
    totals = [6 * k for k in range(1, 9)]
    assert stacked(part_of(totals, stacked=True).parts[0], 4) == (3, 8)
    # The published remedy: shift every second round by half a stretch (Imaginarium de Pomme; Het Haakbeest).
    assert stacked(part_of(totals).parts[0], 4) is None


def codes(totals, head="gauge: 24 sc x 25 rnds = 10 cm", stuff=""):
    text = f"---\nlanguage: en-US\n{head}\n---\n## Piece\nWorked in a spiral.\n{rounds(totals)}\n{stuff}\n"
    return {found.code: found for found in pipeline.understand(text.encode(), "x.md").problems}


def test_notes_name_the_rounds():
    found = codes([6, 12, 18, 27, 36, 45])
    assert "edge-waves" in found
    assert found["edge-waves"].round.split("-")[1] == "6"
    assert "edge-waves" not in codes([6, 12, 18, 24, 30])
    assert "edge-cups" in codes([5, 10, 15, 20, 25])
    assert "edge-cups" not in codes([5, 10, 15, 20, 25], stuff="Stuff firmly.")
