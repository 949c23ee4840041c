"""Parts that are right have no error and no warning. Composed here, each line added up by hand; a false alarm is worse than a miss."""

import pytest

from booklet import pipeline
from booklet.diagnostics.codes import message, severity
from booklet.graph.checks import CODES

PARTS = {
    "a ball of eight": """## Ball
Rnd 1: 8 sc in MR [8]
Rnd 2: inc x 8 [16]
Rnd 3: (sc, inc) x 8 [24]
Rnds 4-6: sc around [24]
Rnd 7: (sc, dec) x 8 [16]
Rnd 8: dec x 8 [8]
""",
    "a shifted disc": """## Disc
Rnd 1: 8 sc in MR (8)
Rnd 2: inc x 8 (16)
Rnd 3: (sc, inc) x 8 (24)
Rnd 4: 1 sc, inc, (2 sc, inc) x 7, 1 sc (32)
Rnd 5: (3 sc, inc) x 8 (40)
Rnd 6: 2 sc, inc, (4 sc, inc) x 7, 2 sc (48)
""",
    "labels left out": """## Ball
8 sc in MR [8]
inc x 8 [16]
(sc, inc) x 8 [24]
""",
    "many hands": """## Ball
Rnd 1: 6 sc in MR (6)
2. inc x 6 (12)
3rd rnd: (sc, inc) x 6 = 18
Rnd 4: *2 sc, inc* x 6 {24}
Rnds 5 & 6: sc around (24 sts)
Next rnd: (2 sc, dec) 6 times. (18)
""",
    "no totals": """## Ball
Rnd 1: 6 sc in MR
Rnd 2: inc around
Rnd 3: *sc, inc; rep from * around
Rnd 4: 2 sc in next st, sc in next 2 sts, *2 sc in next st, sc in next 2 sts; rep from * 4 more times
""",
    "legs and body": """## Leg (make 2)
Rnd 1: 8 sc in MR (8)
Rnd 2: inc x 8 (16)
Rnds 3-9: 16 sc (16)

## Body
Rnd 10: ch 4, 16 sc on first leg, 4 sc on ch, 16 sc on second leg, 4 sc on other side of ch (40)
Rnds 11-15: 40 sc (40)
Rnd 16: (18 sc, dec) x 2 (38)
""",
    "an ear in rows": """## Ear
Ch 10.
Row 1: sc in 2nd ch from hook and in each ch across (9)
Row 2: ch 1, turn, 9 sc (9)
Row 3: ch 1, turn, dec, 5 sc, dec (7)
Row 4: ch 1, turn, dec, 3 sc, dec (5)
Row 5: ch 1, turn, dec, sc, dec (3)
Row 6: ch 1, turn, sc3tog (1)
""",
    "a sole": """## Sole
Ch 10.
Rnd 1: from 2nd ch from hook: 8 sc, 3 sc in last ch; on the other side of the ch: 7 sc, 2 sc in last ch (20)
Rnd 2: inc, 7 sc, inc x 3, 7 sc, inc x 2 (26)
Rnd 3: BLO, sc around (26)
""",
    "joined rounds": """## Hat
Rnd 1: ch 1, 8 sc in MR, join with sl st to first sc (8)
Rnd 2: ch 1, 2 sc in each st around, join with sl st to first sc (16)
Rnd 3: ch 1, (sc, inc) x 8, join with sl st to first sc (24)
Rnds 4-5: ch 1, sc in each st around, join with sl st to first sc (24)
""",
    "a spiral closed at its end": """## Cup
Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnds 3-5: sc around (12)
Rnd 6: sl st around (12)
""",
}


@pytest.mark.parametrize("name", PARTS)
def test_no_false_alarm(name):
    problems = pipeline.understand(PARTS[name].encode(), "part.md").problems
    assert [message(problem) for problem in problems if problem.code in CODES and severity(problem) != "note"] == []
