"""Lines are counted as the trade counts them, and a slip is told once, with the mend that closes."""

from __future__ import annotations

import pytest

from booklet.graph.settle import settle
from booklet.notation.read import read_pattern
from booklet.tables.language import load
from tests.graph.written import pattern, section, settled


def numbers(line: object) -> tuple:
    return line.available, line.consumed, line.total, line.stated, line.carried, line.fault  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("have", "line", "used", "made"),
    [
        (12, "Rnd 3: (sc, inc) x 6 (18)", 12, 18),
        (6, "Rnd 2: inc x 6 (12)", 6, 12),
        (6, "Rnd 2: 6 inc [12]", 6, 12),
        (6, "Rnd 2: 2 sc in each st around (12)", 6, 12),
        (18, "Rnds 4-7: sc around (18)", 18, 18),
        (18, "R4: 18 sc", 18, 18),
        (18, "Rnd 4: sc 18 (18)", 18, 18),
        (18, "Rnd 4: 1 sc in each of next 18 sts (18)", 18, 18),
        (18, "4. BLO, sc in each st around (18 sts)", 18, 18),
        (18, "Rnd 4: *2 sc, inc; rep from * around (24)", 18, 24),
        (18, "Rnd 4: *2 sc, inc; rep from * 5 more times (24)", 18, 24),
        (18, "Rnd 4: *2 sc, inc* repeat 6 times (24)", 18, 24),
        (18, "Rnd 4: (2 sc, inc) to end = 24", 18, 24),
        (18, "Rnd 4: 2 sc, inc (24)", 18, 24),
        (18, "Rnd 4: 6 x (2 sc, inc) (24)", 18, 24),
        (18, "Rnd 8: (sc, sc2tog) x 6 (12)", 18, 12),
        (18, "Rnd 8: (skip 1, sc) x 9 (9)", 18, 9),
        (21, "Rnd 4: *2 sc, inc; rep from * to last 3 sts, 3 sc (27)", 21, 27),
        (30, "Rnd 6: 2 sc, inc, (4 sc, inc) x 5, 2 sc (36)", 30, 36),
        (14, "Rnd 3: (6 sc, 3 sc in next st) x 2 (18)", 14, 18),
        (21, "Rnd 5: ((sc, inc) x 3, sc) x 3 (30)", 21, 30),
        (21, "Rnd 5: (2 sc, inc) x 4, sc around (25)", 21, 25),
        (18, "Rnd 5: ch 1, sc in each st around, join with sl st to first sc (18)", 18, 18),
        (14, "Rnd 5: ch 3 (counts as dc), dc in same st, 2 dc in each st around, join (28)", 14, 28),
        (15, "Rnd 7: inc, 4 sc, dec, sc, dec, 4 sc, inc (15)", 15, 15),
    ],
)
def test_right_lines_close(have: int, line: str, used: int, made: int) -> None:
    (found,) = settled(line, have=f"Rnd 1: {have} sc in MR ({have})")
    assert (found.available, found.consumed, found.total, found.fault) == (have, used, made, "")
    assert found.carried == made
    assert sum(number for _, number in found.counts) == made


def test_a_slip_in_the_multiplier_names_the_one_that_closes() -> None:
    (found,) = settled("Rnd 6: (4 sc, dec) x 6 (15)", have="Rnd 1: 18 sc in MR (18)")
    assert numbers(found) == (18, 36, 30, 15, 15, "does-not-close")
    assert found.fits[0] == ("times", 3)


def test_a_slip_in_the_stretch_names_the_one_that_closes() -> None:
    (found,) = settled("Rnd 4: (3 sc, inc) around (28)", have="Rnd 1: 21 sc in MR (21)")
    assert found.fault == "does-not-close"
    assert ("plain", 2) in found.fits


def test_a_wrong_total_goes_on_from_the_number_with_which_the_next_line_closes() -> None:
    first, second = settled("Rnd 2: (2 sc, dec) x 7 (22)", "Rnd 3: (2 sc, inc) x 7 (28)", have="Rnd 1: 28 sc in MR (28)")
    assert numbers(first) == (28, 28, 21, 22, 21, "total-differs")
    assert second.fault == ""
    first, second = settled("Rnd 2: (2 sc, dec) x 7 (22)", "Rnd 3: 22 sc (22)", have="Rnd 1: 28 sc in MR (28)")
    assert first.carried == 22
    assert second.fault == ""


def test_a_right_total_does_not_hide_a_round_that_does_not_fit() -> None:
    (found,) = settled("Rnd 3: 2 sc, inc, (sc, inc) x 6 (22)", have="Rnd 1: 14 sc in MR (14)")
    assert (found.consumed, found.total, found.fault) == (15, 22, "does-not-close")


def test_repeats_are_never_expanded() -> None:
    (found,) = settled("Rnd 2: (((sc) x 1000000) x 1000000) (6)", have="Rnd 1: 6 sc in MR (6)")
    assert found.fault == "does-not-close"


def test_a_line_that_is_not_understood_keeps_its_printed_total() -> None:
    first, second = settled("Rnd 2: wiggle the wool (12)", "Rnd 3: (sc, inc) x 6 (18)", have="Rnd 1: 6 sc in MR (6)")
    assert (first.total, first.stated, first.carried) == (None, 12, 12)
    assert second.fault == ""


def test_chains_ovals_and_rows() -> None:
    first, second, third = settled("Ch 8.", "Row 1: sc in 2nd ch from hook and in each ch across (7)", "Row 2: ch 1, turn, dec, 3 sc, dec (5)")
    assert (first.kind, first.total, first.carried) == ("start", 0, 8)
    assert (second.available, second.consumed, second.total) == (8, 8, 7)
    assert (third.available, third.consumed, third.total, third.fault) == (7, 7, 5, "")
    oval = settled("Ch 9", "Rnd 1: from 2nd ch from hook: 7 sc, 3 sc in last ch; on the other side of the ch: 6 sc, 2 sc in last ch (18)")
    assert (oval[1].available, oval[1].consumed, oval[1].total, oval[1].fault) == (9, 9, 18, "")
    (ring,) = settled("Rnd 1: ch 2, 7 sc in 2nd ch from hook (7)")
    assert (ring.available, ring.consumed, ring.total, ring.fault) == (0, 0, 7, "")


def test_parts_joined_into_one_round() -> None:
    leg = section("Leg", "Rnd 1: 7 sc in MR (7)", "Rnd 2: inc x 7 (14)", make=2)
    body = section("Body", "Rnd 9: ch 3, 14 sc on first leg, 3 sc on ch, 14 sc on second leg, 3 sc on other side of ch (34)", first_line=9)
    whole = pattern(leg, body)
    found = settle(whole, read_pattern(whole, load("en-US")))
    assert (found[-1].available, found[-1].consumed, found[-1].total, found[-1].fault) == (34, 34, 34, "")


def test_sizes_are_settled_each_on_its_own() -> None:
    whole = pattern(section("Ring", "Rnd 1: 6 (8) sc in MR [6 (8)]", "Rnd 2: inc x 6 (8) [12 (16)]"), sizes=("small", "large"))
    for size, total in ((0, 12), (1, 16)):
        found = settle(whole, read_pattern(whole, load("en-US")), size)
        assert [line.fault for line in found] == ["", ""]
        assert found[1].total == total


def test_a_part_whose_start_is_not_in_the_file_believes_its_total() -> None:
    (found,) = settled("Rnd 12: sc around (24)")
    assert (found.available, found.stated, found.carried, found.given, found.fault) == (None, 24, 24, True, "")
