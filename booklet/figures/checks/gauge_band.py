"""The gauge in, one outside the band of the yarn's category out; that names and numbers of categories agree is proved in pattern.

Bad:    14 sc = 10 cm is the band of light yarn: 24 sc is outside
Good:   14 sc = 10 cm
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.tables.sizes import weights

CODES = ("gauge-outside-band",)

BAND_MM = 101.6  # the bands count stitches in 4 in


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A note: the bands are guidelines, and toys are worked tighter."""
    table = weights()
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
