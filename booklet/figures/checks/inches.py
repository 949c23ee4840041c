"""Texts in, pairs of metric and imperial measures that do not agree out.

Bad:    finished size: 12 cm (6 in)
Good:   finished size: 12 cm (4¾ in)
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.diagnostics.span import Span, within
from booklet.figures.checks.subject import FigureSubject
from booklet.source.tree import Value
from booklet.units import Measure, measures

CODES = ("inches-differ",)

_BETWEEN = re.compile(r"[\s(\[/=≈~,]*(?:or|about|approx\.?|ca\.?)?[\s(\[]*")
_IMPERIAL = re.compile(r"(?:in|inch|inches|ft|yds?|yards?|oz|lb|\"|″)$", re.IGNORECASE)
# Most lines of a pattern have no such measure: they are passed over quickly.
_LIKELY = re.compile(r"[\d½¼¾⅓⅔⅛⅜⅝⅞]\s*(?:in\b|inch|ft\b|yd|yards?\b|oz\b|lb\b|\"|″)", re.IGNORECASE)
# Designers round to half a centimetre and a quarter of an inch (3.2 mm), to a gram and a quarter of an ounce.
LEAST = {"length": 3.3, "mass": 4.0}
SHARE = 0.04  # 4 in = 10 cm is common and 1.6 % off


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """A warning at the second measure of a pair that stands side by side."""
    for value in subject.pattern.fields.values():
        yield from _in_value(value)
    for section in subject.pattern.sections:
        for step in section.steps:
            for piece in step.pieces:
                for first, second in _pairs(piece.text):
                    span = within(piece.line, piece.column, second.start, second.end)
                    yield _finding(piece.text, first, second, span)


def _in_value(value: Value) -> Iterator[Diagnostic]:
    if value.kind == "text":
        for first, second in _pairs(value.text):
            yield _finding(value.text, first, second, value.span)
    for item in (*value.items, *(entry for _, entry in value.pairs)):
        yield from _in_value(item)


def _pairs(text: str) -> Iterator[tuple[Measure, Measure]]:
    if not _LIKELY.search(text):
        return
    for first, second in pairwise(measures(text)):
        one, other = (bool(_IMPERIAL.search(text[found.start : found.end])) for found in (first, second))
        if one == other or first.dimension != second.dimension or not _BETWEEN.fullmatch(text[first.end : second.start]):
            continue
        difference = abs(first.amount - second.amount)
        if difference > max(LEAST[first.dimension], SHARE * max(first.amount, second.amount)):
            yield first, second


def _finding(text: str, first: Measure, second: Measure, span: Span) -> Diagnostic:
    one, other = (text[found.start : found.end].strip() for found in (first, second))
    unit = "mm" if first.dimension == "length" else "g"
    return diagnostic(
        "inches-differ", span, one=one, other=other, first=f"{first.amount:.0f} {unit}", second=f"{second.amount:.0f} {unit}"
    )
