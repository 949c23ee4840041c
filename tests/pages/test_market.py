"""An edition for one market prints the alternative that this market's rules let through."""

from __future__ import annotations

from booklet import pipeline
from booklet.diagnostics.codes import help_text, message, severity
from booklet.editions.edition import Edition

BALL = """\
---
made as: {made}
toy-age: 3+
markets: US, EU, UK
notions:
  - stuffing
  - safety eyes: {{diameter: 12 mm, count: 2, only for: eyes safety}}
gauge: 24 sc x 25 rnds = 10 cm
---

## Ball

Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (18)
Rnd 4: (2 sc, inc) x 6 (24)
Rnd 5: (3 sc, inc) x 6 (30)
Rnd 6: (4 sc, inc) x 6 (36)
Rnds 7-12: sc around (36)
Either (eyes: safety): Place the safety eyes between Rnds 9 and 10, 5 sts between them.
Or (eyes: embroidered): Embroider the eyes between Rnds 9 and 10, 5 sts between them.
Stuff firmly.
Rnd 13: (4 sc, dec) x 6 (30)
Rnd 14: (3 sc, dec) x 6 (24)
Rnd 15: (2 sc, dec) x 6 (18)
Rnd 16: (sc, dec) x 6 (12)
Rnd 17: dec x 6 (6)
Fasten off. Close the hole.
"""


def for_market(made: str, market: str, choices: tuple[tuple[str, str], ...] = ()) -> tuple[Edition, list[str]]:
    understood = pipeline.understand(BALL.format(made=made).encode(), "ball.md")
    edition, told = pipeline.for_market(understood, Edition(("en-US",), "US", market=market, choices=choices))
    for note in told:
        assert "{" not in message(note) + help_text(note)
    return edition, [note.code for note in told]


def test_the_union_prints_embroidered_eyes_on_a_cuddly_toy():
    # Directive 2009/48/EC, guidance document 11: soft-filled toys for cuddling are for children under 36 months.
    edition, told = for_market("cuddly toy", "EU")
    assert edition.choices == (("eyes", "embroidered"),)
    assert told == ["market-choice"]


def test_both_are_printed_where_both_pass_or_no_market_is_named():
    assert for_market("toy", "US")[0].choices == ()
    assert for_market("cuddly toy", "") == (Edition(("en-US",), "US"), [])


def test_what_was_chosen_is_not_touched():
    edition, told = for_market("cuddly toy", "EU", (("eyes", "safety"),))
    assert edition.choices == (("eyes", "safety"),)
    assert told == []


def test_a_pattern_with_a_way_out_can_be_built_one_without_cannot():
    text = BALL.format(made="cuddly toy")
    open_choice = pipeline.understand(text.encode(), "ball.md")
    found = {problem.code: severity(problem) for problem in open_choice.problems}
    assert found["counts-as-under-three"] == "warning"
    only = text.replace("Either (eyes: safety): ", "").replace(", only for: eyes safety", "")
    only = "\n".join(line for line in only.splitlines() if not line.startswith("Or (")) + "\n"
    found = {problem.code: severity(problem) for problem in pipeline.understand(only.encode(), "ball.md").problems}
    assert found["counts-as-under-three"] == "error"
