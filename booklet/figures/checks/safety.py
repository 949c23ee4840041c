"""The safety assessment in, its cautions as findings out, one for each kind; nothing is assessed here.

Bad:    made as: cuddly toy … toy-age: 3+ … 2 safety eyes, 6 mm
Good:   made as: cuddly toy … embroidered eyes
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.checks.subject import FigureSubject
from booklet.figures.components import PLACING
from booklet.figures.figures import SafetyNote

CODES = (
    "small-parts",
    "small-parts-household",
    "small-parts-under-three",
    "small-parts-at-three",
    "counts-as-under-three",
    "may-count-as-under-three",
    "no-safety-data",
    "no-small-parts-listed",
    "component-unknown",
    "magnet-in-toy",
    "battery-in-toy",
    "sharp-in-toy",
    "glass-in-toy",
)


def check(subject: FigureSubject) -> Iterator[Diagnostic]:
    """Each caution once, with the markets that it is for, at the notion that raises it."""
    merged: dict[tuple[str, str, tuple[str, ...]], list[SafetyNote]] = {}
    for note in subject.figures.safety.notes:
        merged.setdefault((note.code, note.severity, note.names), []).append(note)
    spans = {notion.name or notion.text: notion.span for notion in reversed(subject.pattern.notions)}
    choices, nowhere = _choices(subject), subject.field_span("notions", "toy-age", "made as")
    for (code, severity, names), notes in merged.items():
        markets = [note.market for note in notes if note.market]
        yield diagnostic(
            code,
            spans.get(names[0], nowhere) if names else nowhere,
            severity=severity,
            names=", ".join(names),
            markets=", ".join(dict.fromkeys(markets)) or "all markets",
            age=subject.figures.safety.age or "",
            choices=choices,
        )


def _choices(subject: FigureSubject) -> str:
    """The choices that decide what is fixed to the piece, such as " (eyes: safety)"; "" where there are none."""
    pattern = subject.pattern
    keys = {key for notion in pattern.notions for key, _ in notion.only_for}
    placings = (step for section in pattern.sections for step in section.steps if step.name in PLACING)
    keys |= {key for step in placings for key, _ in step.choices}
    taken = ", ".join(f"{key}: {value}" for key, value in subject.graph.choices if key in keys)
    return f" ({taken})" if taken else ""
