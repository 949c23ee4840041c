"""Comes in: a pattern and its figures. Goes out: the facts at a glance; nothing is computed here but sums of pieces."""

from __future__ import annotations

from booklet.figures.figures import Figures
from booklet.pages import measures
from booklet.pages.book import Fact
from booklet.pages.wording import Words, capital
from booklet.pattern.model import Pattern
from booklet.tables.language import fold
from booklet.tables.sizes import hooks
from booklet.units import measures as found_measures


def glance(pattern: Pattern, figures: Figures, words: Words) -> tuple[Fact, ...]:
    """Level, finished size, gauge, hook, pieces, stitches: those that are known."""
    facts = [
        level(pattern, words),
        Fact(words.text("finished_size"), size(pattern, figures, words)),
        Fact(words.text("gauge"), _gauge(pattern, words)),
        Fact(words.text("hook"), hook(pattern, words)),
        _pieces(figures, words),
        Fact(words.text("stitches"), _stitches(figures, words)),
    ]
    return tuple(fact for fact in facts if fact.value)


def level(pattern: Pattern, words: Words) -> Fact:
    """The project level; a word that is none of the trade's four is printed as it stands."""
    typed = fold(pattern.field("level"))
    name = words.optional(f"level.{typed}", capital(pattern.field("level")))
    return Fact(words.text("level"), name, words.optional(f"level_note.{typed}"))


def size(pattern: Pattern, figures: Figures, words: Words) -> str:
    """The size the designer states, in the edition's units; else the one the stitches give."""
    stated = pattern.field("finished size")
    if stated and words.same:
        return _converted(stated, words)
    found = figures.size
    kinds = (("tall", found.height_mm), ("wide", found.width_mm), ("long", found.length_mm))
    texts = [words.text(f"size.{kind}", size=measures.length(mm, words.style)) for kind, mm in kinds if mm]
    return words.text("about", what=words.join("comma", texts)) if texts else ""


def hook(pattern: Pattern, words: Words) -> str:
    """Millimetres first, then the US size where there is one and the edition may want it."""
    if pattern.hook_mm is None:
        return ""
    size_mm = measures.tool(pattern.hook_mm, words.style)
    us = next((row.us for row in hooks() if abs(row.mm - pattern.hook_mm) < 0.001), "")
    if us and (words.language.terms == "US" or words.style.units != "metric"):
        return words.text("hook_us", mm=size_mm, us=us)
    return size_mm


def _converted(text: str, words: Words) -> str:
    """The lengths inside a text in the edition's units, everything else as it stands."""
    found = [measure for measure in found_measures(text) if measure.dimension == "length"]
    for measure in reversed(found):
        text = text[: measure.start] + measures.length(measure.amount, words.style) + text[measure.end :]
    return text


def _gauge(pattern: Pattern, words: Words) -> str:
    gauge = pattern.gauge
    if gauge is None:
        rounds = dict(pattern.gauges).get("by rounds")
        if rounds is None:
            return ""
        across = measures.length(rounds.width_mm, words.style)
        return words.optional("gauge_rounds", rounds.text, first=rounds.first, last=rounds.last, width=across)
    # 4 in are 1.6 % more than 10 cm: where the edition's unit is not the designer's, the numbers are converted too.
    side = measures.gauge_side(gauge.width_mm, words.style)
    name = words.language.names.get(gauge.stitch)
    share = side / gauge.width_mm
    number = measures.decimal(gauge.stitches * share, 1, words.style)
    stitches = words.text("gauge_count", n=number, st=name.abbr if name else gauge.stitch)
    width = measures.length(side, words.style)
    if gauge.rounds is None:
        return words.text("gauge_stitches", stitches=stitches, width=width)
    rounds = measures.decimal(gauge.rounds * side / gauge.height_mm, 1, words.style)
    return words.text("gauge_both", stitches=stitches, rounds=rounds, width=width)


def _pieces(figures: Figures, words: Words) -> Fact:
    pieces = sum(part.make for part in figures.parts)
    if pieces < 2:
        return Fact(words.text("pieces"), "")
    text = words.plural("pieces_of", pieces)
    if len(figures.parts) < pieces:
        text = words.text("pieces_kinds", pieces=text, kinds=words.plural("kinds", len(figures.parts)))
    return Fact(words.text("pieces"), text)


def _stitches(figures: Figures, words: Words) -> str:
    number = sum(part.make * part.stitches for part in figures.parts)
    return measures.count(number, words.style) if number else ""
