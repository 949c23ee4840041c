"""Comes in: findings. Goes out: the list that a proof prints; which of them matter is decided elsewhere."""

from __future__ import annotations

from collections.abc import Iterable

from booklet.diagnostics import codes
from booklet.diagnostics.diagnostic import Diagnostic
from booklet.pages.book import Finding
from booklet.pages.wording import Words


def proof(findings: Iterable[Diagnostic], words: Words) -> tuple[Finding, ...]:
    """Errors, warnings and notes in the order given."""
    return tuple(_finding(found, words) for found in findings)


def _finding(found: Diagnostic, words: Words) -> Finding:
    severity = codes.severity(found)
    place = [words.text("proof_line", line=found.span.line)]
    if found.part:
        place.append(found.part)
    if found.round:
        place.append(words.text("proof_round", round=found.round))
    return Finding(
        severity,
        words.text(f"severity.{severity}"),
        words.join("comma", place),
        codes.message(found),
        codes.help_text(found),
    )
