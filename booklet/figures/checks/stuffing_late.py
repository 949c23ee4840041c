"""Stuffing sentences in, parts whose first one comes when the opening is too small out.

Bad:    Rnd 9: dec x 6 (6) … Stuff firmly. Close the hole.
Good:   Stuff firmly. Rnd 8: (sc, dec) x 6 (12) …
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject

CODES = ("stuffing-too-late",)

FEWEST = 12  # stitches: editors ask for stuffing before the round count falls under about 12 to 18 (trade checklist)


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning at the first stuffing sentence of a part; later ones may add a little."""
    for part, found in enumerate(subject.graph.parts):
        widest = max((found.total(r) for r in range(1, found.rounds + 1)), default=0)
        for one, left in subject.openings(part):
            if one.step.name != "stuff" or one.step.value("amount", "normal") == "none" or one.step.value("what"):
                continue
            if left is not None and left < min(FEWEST, widest):
                variant = "closed" if left == 0 else ""
                yield diagnostic(
                    "stuffing-too-late", one.step.span, part=found.name, help=variant, host=found.name, left=left, fewest=FEWEST
                )
            break
