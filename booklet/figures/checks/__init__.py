"""A pattern with its figures in, every finding about sizes, yarn, placing and safety out.

Each check is one module with `CODES` and `check(subject)`. They know nothing of one another; the order is the table below.
"""

from __future__ import annotations

from booklet.diagnostics.diagnostic import Diagnostic
from booklet.figures.checks import (
    eyes_count,
    eyes_late,
    gauge,
    gauge_band,
    hook_letter,
    inches,
    notions,
    placement,
    safety,
    shape,
    size,
    spacing,
    stuffing_late,
    tails,
    weight_name,
    yarn_used,
)
from booklet.figures.checks.subject import FigureSubject

# What is worked first, then materials and sizes, safety last: its cautions are many and mostly notes.
CHECKS = (
    shape,
    placement,
    spacing,
    eyes_late,
    stuffing_late,
    tails,
    eyes_count,
    notions,
    hook_letter,
    weight_name,
    gauge,
    gauge_band,
    inches,
    size,
    yarn_used,
    safety,
)
CODES = tuple(code for module in CHECKS for code in module.CODES)


def run(subject: FigureSubject) -> tuple[Diagnostic, ...]:
    """Every finding of every check, each once, in the order of the table."""
    whole = subject.prepared()
    return tuple(dict.fromkeys(found for module in CHECKS for found in module.check(whole)))
