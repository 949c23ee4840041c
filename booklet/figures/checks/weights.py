"""Yarn categories in, those whose number and name disagree, and a gauge outside the category's band, out.

Bad:    weight: light (4)
Good:   weight: light (3)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.tables.language import fold
from booklet.tables.sizes import weights

CODES = ("weight-name-differs", "gauge-outside-band")

BAND_MM = 101.6  # the bands count stitches in 4 in


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """An error for a name of another category; a note for a gauge outside the band, as toys are worked tighter."""
    table = weights()
    named = {fold(name): weight.number for weight in table.values() for name in weight.names}
    for yarn in subject.pattern.yarns:
        meant = named.get(fold(yarn.weight_name))
        if yarn.weight is not None and meant is not None and meant != yarn.weight:
            name = table[yarn.weight].name if yarn.weight in table else ""
            yield diagnostic(
                "weight-name-differs", yarn.span, code=yarn.code, stated=yarn.weight, name=yarn.weight_name, meant=meant, other=name
            )
    stated = subject.pattern.gauge
    yarn = next((yarn for yarn in subject.pattern.yarns if yarn.weight in table), None)
    if stated is None or stated.stitch != "single_crochet" or yarn is None or yarn.weight is None:
        return
    band = table[yarn.weight].gauge
    across = BAND_MM / subject.figures.gauge.stitch_mm
    if band is not None and not band[0] - 0.5 <= across <= band[1] + 0.5:
        yield diagnostic(
            "gauge-outside-band", stated.span, across=round(across, 1), weight=yarn.weight, least=band[0], most=band[1]
        )
