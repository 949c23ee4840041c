"""Declared yarn use in, a use that the stitches do not ask for out.

Bad, where the rounds need 12 m:   used: 40 m
Good:                              used: 13 m
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject

CODES = ("yarn-used-differs",)

ALLOWED = 0.25  # of the declared use; the computed one is good to 15 %


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning at the yarn. The declared use is printed all the same."""
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
