"""A pattern's notions, ages and markets in, the cautions to be printed out; texts are in shared/safety, pages print them.

No result of this module says that a piece is free of hazards. What is undecided is treated as small.
"""

from __future__ import annotations

from collections.abc import Iterator

from booklet.figures.components import components
from booklet.figures.figures import Component, Safety, SafetyNote
from booklet.figures.steps import Told, sentences
from booklet.graph.graph import Graph
from booklet.pattern.model import Pattern
from booklet.tables.safety import MARKETS, note_text, notion_kind, wording

TOYS = ("toy", "cuddly toy")
UNDER = 36  # months; the limit of 16 CFR 1501 and of Directive 2009/48/EC Annex V
# Authorities of the EU and the UK count soft toys for cuddling as toys for under 36 months, whatever age is printed (scope
# note of EN 71-1; Danish and Dutch authorities). The Canadian, Australian and New Zealand reading is a house rule: their
# lists name stuffed and plush figures.
CUDDLY_IS_UNDER = ("EU", "UK", "CA", "AU", "NZ")
INCLUDING = ("AU", "NZ")  # "up to and including 36 months"
LABELLED_TO = 72  # months; the US text is for toys for 3 to under 6 years (16 CFR 1500.19)


def assess(pattern: Pattern, graph: Graph, told: tuple[Told, ...] | None = None) -> Safety:
    """The safety minimum: small parts and what comes with them, for every declared market (all, if none is declared)."""
    told = sentences(pattern, graph) if told is None else told
    made_as = made(pattern, told)
    markets = pattern.markets or MARKETS
    found = components(pattern, graph)
    notes: list[SafetyNote] = []
    small = tuple(part for part in found if part.small_part)
    if made_as in TOYS:
        for market in markets:
            notes += _toy(market, made_as, pattern.toy_age_months, small)
        notes += _hazards(found)
        if not small:
            notes.append(_note("no-small-parts-listed" if pattern.notions else "no-safety-data", "", ()))
    elif small:
        notes.append(_note("small-parts-household", "", small))
    notes += [_note("component-unknown", "", (part,)) for part in found if part.verdict == "unknown" and not part.kind]
    return Safety(made_as, _age(made_as, pattern.toy_age_months, found), markets, found, tuple(notes))


def made(pattern: Pattern, told: tuple[Told, ...]) -> str:
    """What the piece is made as; a stuffed piece is a cuddly toy unless the pattern says otherwise."""
    if pattern.made_as:
        return pattern.made_as
    stuffed = any(one.step.name == "stuff" and one.step.value("amount", "normal") != "none" for one in told)
    kinds = (notion_kind(notion.name or notion.text) for notion in pattern.notions)
    return "cuddly toy" if stuffed or any(kind is not None and kind.kind == "stuffing" for kind in kinds) else ""


def _toy(market: str, made_as: str, age: int | None, small: tuple[Component, ...]) -> Iterator[SafetyNote]:
    if not small:
        return
    declared_under = age is not None and age < UNDER
    if made_as == "cuddly toy" and market in CUDDLY_IS_UNDER and not declared_under:
        # Printing "3+" on it is what these authorities forbid: an error where it is asked for by law, else to be decided.
        forbidden = age is not None and market in ("EU", "UK")
        yield _note("counts-as-under-three", market, small, severity="error" if forbidden else "warning")
        return
    if declared_under:
        yield _note("small-parts-under-three", market, small)
        return
    if age == UNDER and market in INCLUDING:
        yield _note("small-parts-at-three", market, small)
    loose = tuple(part for part in small if part.attached == "loose")
    if market == "US":
        if made_as == "cuddly toy":
            yield _note("may-count-as-under-three", market, small)
        if loose and (age is None or age < LABELLED_TO):
            yield _note("small-parts", market, loose, text_id="US-SP")
        # The US text is for small parts as sold; what is fixed may still come off.
        fixed = tuple(part for part in small if part not in loose)
        if fixed or not (age is None or age < LABELLED_TO):
            yield _note("small-parts", market, fixed or loose)
    elif market in ("EU", "UK"):
        yield _note("small-parts", market, small, text_id="EU-SP")
    else:
        yield _note("small-parts", market, small)


def _hazards(found: tuple[Component, ...]) -> Iterator[SafetyNote]:
    by_hazard: dict[str, list[Component]] = {}
    for part in found:
        kind = notion_kind(part.name)
        if kind is not None and kind.hazard:
            by_hazard.setdefault(kind.hazard, []).append(part)
    for hazard, parts in by_hazard.items():
        yield _note(f"{hazard}-in-toy", "", tuple(parts))


_SEVERITY = {
    "small-parts-under-three": "error",  # the stated age and the stated parts contradict each other
    "small-parts-at-three": "warning",
    "may-count-as-under-three": "warning",
    "no-safety-data": "warning",
    "magnet-in-toy": "warning",
    "battery-in-toy": "warning",
    "sharp-in-toy": "warning",
}


def _note(
    code: str, market: str, parts: tuple[Component, ...], *, severity: str = "", text_id: str | None = None
) -> SafetyNote:
    names = tuple(dict.fromkeys(part.name for part in parts))
    prescribed = wording(text_id) if text_id else None
    text = prescribed.text if prescribed is not None else note_text(code, names=", ".join(names))
    shown = text_id if prescribed is not None else None
    return SafetyNote(code, market, severity or _SEVERITY.get(code, "note"), shown, text, names)


def _age(made_as: str, months: int | None, found: tuple[Component, ...]) -> str | None:
    """The age mark: the declared age, but never below what the parts ask for. None where nothing is to be said."""
    if made_as not in TOYS:
        return None
    least = 0
    if any(part.small_part for part in found):
        least = UNDER
    kinds = [notion_kind(part.name) for part in found]
    if any(kind is not None and kind.hazard in ("glass", "sharp") for kind in kinds):
        least = 96  # a house rule
    if months is None and not least:
        return None
    shown = max(least, months or 0)
    return f"{shown // 12}+" if shown >= 24 or shown == 0 else f"{shown} m+"
