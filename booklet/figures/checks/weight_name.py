"""Yarns in, those whose category number and name disagree out.

Bad:    weight: light (4)
Good:   weight: light (3)
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.tables.language import fold
from booklet.tables.sizes import weights

CODES = ("weight-name-differs",)


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """An error for the name of another category; a name that no category has says nothing."""
    table = weights()
    named: dict[str, list[int]] = {}
    for weight in table.values():
        for name in (weight.name, *weight.names):
            named.setdefault(fold(name), []).append(weight.number)
    for yarn in subject.pattern.yarns:
        meant = named.get(fold(yarn.weight_name), [])
        if yarn.weight is not None and meant and yarn.weight not in meant:
            other = table[yarn.weight].name if yarn.weight in table else ""
            yield diagnostic(
                "weight-name-differs", yarn.span, yarn=yarn.code, stated=yarn.weight, name=yarn.weight_name, meant=meant[0], other=other
            )
