"""The stitch table against published lists, and its names against itself."""

from __future__ import annotations

import pytest

from booklet.tables.language import fold, load
from booklet.tables.reader import rows
from booklet.tables.stitches import stitches


@pytest.mark.parametrize(
    ("stitch", "chains"),
    # Turning-chain scale: "How to Crochet a Turning Chain" (Dummies handbook series); Crochet Guild of America lesson text, 1997.
    [
        ("slip_stitch", 0),
        ("single_crochet", 1),
        ("half_double_crochet", 2),
        ("double_crochet", 3),
        ("treble_crochet", 4),
        ("double_treble_crochet", 5),
        ("triple_treble_crochet", 6),
    ],
)
def test_turning_chains(stitch: str, chains: int) -> None:
    assert stitches()[stitch].turning_chain == chains


@pytest.mark.parametrize(
    ("stitch", "loops"),
    # Loops on the hook before the last pull-through: cluster pages of a stitch handbook (US edition), as quoted in trade lists.
    [("sc2tog", 3), ("sc3tog", 4), ("hdc2tog", 5), ("hdc3tog", 7), ("dc2tog", 3), ("dc3tog", 4), ("bobble", 6)],
)
def test_loops_on_the_hook(stitch: str, loops: int) -> None:
    assert stitches()[stitch].loops == loops


@pytest.mark.parametrize(
    ("us", "uk"),
    # US and UK terms side by side: a yarn maker's list of crochet terms and a yarn-shop conversion leaflet.
    [("sl st", "ss"), ("sc", "dc"), ("hdc", "htr"), ("dc", "tr"), ("tr", "dtr"), ("dtr", "trtr")]
    + [("sc2tog", "dc2tog"), ("dc2tog", "tr2tog")],
)
def test_us_and_uk_terms_name_the_same_stitch(us: str, uk: str) -> None:
    american, british = load("en-US", "US"), load("en-US", "UK")
    assert american.words[fold(us)] == british.words[fold(uk)]


def test_increases_and_decreases_agree_with_their_base() -> None:
    for stitch in stitches().values():
        base = stitches()[stitch.base]
        assert base.base == base.id, stitch.id
        if stitch.family == "increase":
            assert stitch.uses == 1
            assert stitch.leaves > 1
        if stitch.family == "decrease":
            assert stitch.uses > 1
            assert stitch.leaves == 1
            assert stitch.height == base.height


def test_both_term_systems_name_every_stitch() -> None:
    for terms in ("US", "UK"):
        assert {row.cells["id"] for row in rows(f"terms/{terms}.tsv")} == set(stitches())
