"""An edition for one market and the ways to make the piece in, the edition with the ways that the market lets through out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.diagnostics.span import START
from booklet.editions.edition import Edition
from booklet.figures.figures import Safety

CODES = ("market-choice",)
Way = tuple[tuple[tuple[str, str], ...], Safety]  # its choices, and what has to be said about it


def allowed(
    edition: Edition, ways: Iterable[Way], choices: Sequence[tuple[str, tuple[str, ...]]]
) -> tuple[Edition, tuple[Diagnostic, ...]]:
    """Take the first value of each open choice with which nothing stands against a sale in the edition's market.

    A choice is left open where every value passes, or none does. Each one that is taken is told.
    """
    if not edition.market:
        return edition, ()
    chosen = dict(edition.choices)
    fitting = [(dict(made), safety) for made, safety in ways if _fits(dict(made), chosen)]
    found: list[Diagnostic] = []
    for key, values in choices:
        if key in chosen:
            continue
        good = [value for value in values if any(made.get(key) == value and passes(safety, edition.market) for made, safety in fitting)]
        if good and len(good) < len(values):
            chosen[key] = good[0]
            left = ", ".join(value for value in values if value not in good)
            found.append(diagnostic("market-choice", START, market=edition.market, choice=f"{key}: {good[0]}", left=left))
            fitting = [(made, safety) for made, safety in fitting if made.get(key, good[0]) == good[0]]
    return replace(edition, choices=tuple(sorted(chosen.items()))), tuple(found)


def passes(safety: Safety, market: str) -> bool:
    """Does no rule of the market stand against it? That is what our rules say; a laboratory has the last word."""
    return not any(note.level == "block" and note.market in ("", market) for note in safety.notes)


def _fits(made: Mapping[str, str], chosen: Mapping[str, str]) -> bool:
    return all(made.get(key, value) == value for key, value in chosen.items())
