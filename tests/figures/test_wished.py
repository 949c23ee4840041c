"""`booklet shape`: what is written is read again by our own reader and measured by our own figures."""

import json

import pytest
from click.testing import CliRunner

from booklet import pipeline
from booklet.cli import main
from booklet.diagnostics.codes import severity
from booklet.figures.figures import GaugeUsed
from booklet.figures.wished import Unfulfilled, Wish, counts, spread

GAUGES = ("24 sc x 25 rnds = 10 cm", "16 sc x 17 rnds = 10 cm", "30 sc x 34 rnds = 10 cm")
WISHES = [
    ("ball", 40, 0), ("ball", 60, 0), ("ball", 100, 0), ("ball", 150, 0), ("egg", 50, 70), ("egg", 80, 100), ("cone", 60, 80),
    ("cone", 80, 120), ("tube", 40, 60), ("tube", 30, 100), ("capsule", 30, 70), ("capsule", 40, 120), ("disc", 200, 0), ("oval", 90, 140),
]  # fmt: skip


def understood(made, gauge):
    text = f"---\nlanguage: en-US\nhook: 3 mm\ngauge: {gauge}\n---\n{made.text}"
    return pipeline.understand(text.encode(), "wish.md")


@pytest.mark.parametrize("gauge", GAUGES)
@pytest.mark.parametrize(("kind", "width", "other"), WISHES)
def test_wishes_come_true(kind, width, other, gauge):
    made = pipeline.wished(kind, width, other, gauge, "", kind.capitalize(), "en-US", "")
    whole = understood(made, gauge)
    errors = [one.code for one in whole.problems if severity(one) == "error"]
    assert errors == []
    (part,) = whole.figures.parts
    assert tuple(one.total for one in part.rounds) == made.totals
    # Half a round or half a stitch in the round cannot be worked: 6 % covers them here; a flat piece grows by whole rounds.
    flat = whole.figures.gauge.round_mm if kind in ("disc", "oval") else 0
    assert part.width_mm == pytest.approx(width, abs=max(0.06 * width, 1.05 * flat))
    second = part.length_mm if kind == "oval" else part.height_mm
    if kind != "disc":
        assert second == pytest.approx(other or width, rel=0.06)
    assert part.shape == {"cone": "open", "tube": "open", "disc": "flat", "oval": "oval flat"}.get(kind, "closed")


@pytest.mark.parametrize("before", range(1, 40))
def test_spread_is_even(before):
    from booklet.notation.tree import Group

    def used_and_made(items):
        used = made = 0
        for node in items:
            if isinstance(node, Group):
                a, b = used_and_made(node.items)
                used, made = used + a * node.times, made + b * node.times
            else:
                takes, leaves = {"single_crochet": (1, 1), "increase": (1, 2), "decrease": (2, 1)}[node.stitch]
                used, made = used + takes * node.count, made + leaves * node.count
        return used, made

    for now in range((before + 1) // 2, 2 * before + 1):
        if now != before:
            for shifted in (False, True):
                assert used_and_made(spread(before, now, shifted=shifted)) == (before, now)


def test_a_disc_has_no_corners():
    made = pipeline.wished("disc", 150, 0, GAUGES[0], "", "Disc", "en-US", "")
    assert "increases-stacked" not in [one.code for one in understood(made, GAUGES[0]).problems]


@pytest.mark.parametrize(
    ("wish", "why"),
    [(Wish("ball", 5, 0), "small"), (Wish("ball", 50_000, 0), "large"), (Wish("capsule", 60, 30), "low"), (Wish("oval", 80, 40), "low"),
     (Wish("cone", 40, 1), "low"), (Wish("star", 40, 40), "kind")],
)  # fmt: skip
def test_wishes_that_cannot_be_worked(wish, why):
    with pytest.raises(Unfulfilled, match=why):
        counts(wish, GaugeUsed(4.17, 4.0, 3.7, "gauge"))


def test_every_small_wish_has_an_answer_or_a_reason():
    for kind in ("ball", "egg", "cone", "tube", "capsule", "disc", "oval"):
        for width in (6, 8, 10, 13, 17, 25):
            for other in (0, 5, 10, 20, 40):
                try:
                    found = counts(Wish(kind, width, other), GaugeUsed(4.17, 4.0, 3.7, "gauge"))
                except Unfulfilled:
                    continue
                assert all(n >= 1 for n in found.totals) and found.width > 0


def test_the_command():
    run = CliRunner().invoke
    shown = run(main, ["shape", "ball", "--width", "6 cm", "--gauge", "24 sc x 25 rnds = 10 cm", "--json"])
    made = json.loads(shown.stdout)
    assert made["totals"][0] == 6 and made["found_mm"]["width"] == pytest.approx(60, abs=2)
    assert run(main, ["shape", "egg", "--width", "5 cm", "--hook", "3 mm"]).exit_code == 2
    assert run(main, ["shape", "ball", "--width", "5 cm"]).exit_code == 2
    assert run(main, ["shape", "ball", "--width", "x", "--hook", "3 mm"]).exit_code == 2
    assert run(main, ["shape", "ball", "--width", "5 cm", "--gauge", "so so"]).exit_code == 2
    assert run(main, ["shape", "disc", "--width", "2 in", "--hook", "3 mm", "--terms", "UK"]).exit_code == 0
