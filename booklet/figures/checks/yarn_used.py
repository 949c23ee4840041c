"""Declared yarn use in, a use that the stitches do not ask for out.

Bad, where the rounds need 12 m:   used: 40 m
Good:                              used: 13 m
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject

CODES = ("yarn-used-differs", "yarn-label-differs")

LABEL = 0.05  # grams and metres of one use, each rounded
ALLOWED = 0.25  # of the declared use; the computed one is good to 15 %


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning at the yarn. The declared use is printed all the same."""
    for yarn in subject.pattern.yarns:
        if yarn.used_g and yarn.used_m and yarn.ball_g and yarn.ball_m:
            grams = yarn.used_m * yarn.ball_g / yarn.ball_m
            if abs(grams - yarn.used_g) > max(1.0, LABEL * yarn.used_g):
                values = {"yarn": yarn.code, "grams": round(yarn.used_g, 1), "metres": round(yarn.used_m, 1), "label": round(grams, 1)}
                yield diagnostic("yarn-label-differs", yarn.span, **values)
    spans = {yarn.code: yarn.span for yarn in subject.pattern.yarns}
    for line in subject.figures.yarn:
        if line.basis != "declared" or line.code not in spans:
            continue
        if abs(line.length_m - line.computed_m) > ALLOWED * line.length_m:
            yield diagnostic(
                "yarn-used-differs",
                spans[line.code],
                help="more" if line.length_m > line.computed_m else "less",
                yarn=line.code,
                declared=round(line.length_m, 1),
                computed=round(line.computed_m, 1),
            )
