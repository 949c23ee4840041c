"""A pattern with its graph in, every finding about its rounds and words out; sizes and safety are proved in figures.

Each check is one module with `CODES` and `check(subject)`. They know nothing of one another; the order is the table below.
"""

from __future__ import annotations

from booklet.diagnostics.diagnostic import Diagnostic
from booklet.graph.checks import (
    abbreviations,
    brackets,
    chains,
    closing,
    films,
    joins,
    label_styles,
    level,
    missing_totals,
    not_understood,
    numbering,
    own_stitches,
    ranges,
    readings,
    references,
    repeat_styles,
    round_words,
    starts,
    stitch_names,
    tallies,
    terms,
    total_styles,
    totals,
    yarns_told,
    yarns_unknown,
    yarns_unused,
)
from booklet.graph.checks._subject import Subject

__all__ = ["CHECKS", "CODES", "Subject", "run"]

# Arithmetic first, then words, yarns, references, and last the remarks on style.
CHECKS = (
    closing,
    totals,
    not_understood,
    abbreviations,
    terms,
    brackets,
    starts,
    numbering,
    tallies,
    ranges,
    chains,
    joins,
    missing_totals,
    readings,
    yarns_unknown,
    yarns_told,
    yarns_unused,
    level,
    references,
    films,
    own_stitches,
    round_words,
    stitch_names,
    label_styles,
    repeat_styles,
    total_styles,
)
CODES = tuple(code for module in CHECKS for code in module.CODES)


def run(subject: Subject) -> tuple[Diagnostic, ...]:
    """Every finding of every check, each once, in the order of the table."""
    whole = subject.prepared()
    return tuple(dict.fromkeys(found for module in CHECKS for found in module.check(whole)))
