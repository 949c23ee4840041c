"""Comes in: a booklet's parts, materials and facts, and who tests it. Goes out: a test copy's stamp and form; nothing is filled in."""

from __future__ import annotations

from collections.abc import Iterable

from booklet.figures.figures import Figures
from booklet.pages.book import Fact, Part, Round, Trial, TrialPart, YarnRow
from booklet.pages.glance import glance
from booklet.pages.rounds import rows_in
from booklet.pages.wording import Words
from booklet.pattern.model import Pattern

SHORT = 22  # signs of a line without a label of its own
MEASURED = ("hook", "gauge", "finished_size")  # what a tester holds against the pattern, by the page word of its label


def trial(
    tester: str, pattern: Pattern, figures: Figures, yarns: Iterable[YarnRow], parts: Iterable[Part], words: Words
) -> Trial:
    """The form, in the order in which a test is made: what was taken, what came out of it, every line."""
    version, date = pattern.field("version"), words.date(pattern.field("date"))
    told = [words.text("test_copy_for", name=tester)]
    told += [words.text("test_version", version=version)] if version else []
    told += [date] if date else []
    by_label = {fact.label: fact for fact in glance(pattern, figures, words)}
    facts = [fact for key in MEASURED if (fact := by_label.get(words.text(key)))]
    whole = tuple(parts)
    sizes = [Fact(part.title, part.size) for part in whole if part.size] if len(whole) > 1 else []
    heads = [(words.text("test_tester"), tester), (words.text("colophon.version"), version), (words.text("colophon.date"), date)]
    return Trial(
        stamp=words.join("dot", told),
        heads=tuple(Fact(*pair) for pair in heads if pair[1]),
        yarns=tuple(yarns),
        facts=tuple(facts),
        sizes=tuple(sizes),
        parts=tuple(TrialPart(part.title, part.make, tuple(map(_label, rows_in(part.blocks)))) for part in whole),
    )


def _label(row: Round) -> str:
    """What the line is called; the beginning of its words where it has no label."""
    label = row.label or (row.text if len(row.text) <= SHORT else row.text[: SHORT - 1].rstrip() + "…")
    return f"{label} · {row.choice}" if row.choice else label
