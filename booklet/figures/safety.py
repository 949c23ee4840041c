"""A pattern's notions, parts, ages and markets in, the cautions to be printed out; rules and texts are in shared/safety.

The rules are a table; this module gathers what they look at, tries them in order, and keeps for each finding which rule and which
limit it rests on. No result says that a piece is free of hazards. What is undecided is treated as small.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from booklet.figures.components import asked, components, packed
from booklet.figures.figures import Component, Cord, MarketAge, Safety, SafetyNote
from booklet.figures.safety_checks import brought_by_choices, more
from booklet.figures.safety_facts import (
    TOYS,
    Facts,
    Piece,
    bag_facts,
    cord_facts,
    counts_as_under,
    part_facts,
    piece_facts,
)
from booklet.figures.safety_parts import Made, cords, crocheted, told_components
from booklet.figures.steps import Told, sentences
from booklet.graph.graph import Graph
from booklet.pattern.model import Pattern
from booklet.tables.markets import Limit, Market, market
from booklet.tables.markets import codes as market_codes
from booklet.tables.rules import NONE, Rule, rules
from booklet.tables.safety import note_text, notion_kind, wording


class Case:
    """All that the rules look at, gathered once for a size and a set of choices."""

    def __init__(self, pattern: Pattern, graph: Graph, told: tuple[Told, ...], made_of: Made) -> None:
        listed = components(pattern, graph)
        listed = (*listed, *told_components(told, listed))
        as_what = made(pattern, told)
        knits = crocheted(pattern, graph, told, made_of) if as_what in TOYS else ()
        ball, special = _named(pattern, "ball"), _named(pattern, "special")
        if ball:
            knits = tuple(part._replace(hazard="ball") if part.made == "piece" else part for part in knits)
        kit = pattern.maker_age_years is not None
        self.pattern, self.graph = pattern, graph
        self.brought = brought_by_choices(pattern)
        self.parts = (*listed, *knits)
        self.cords = cords(graph, told, made_of, listed) if as_what in TOYS else ()
        self.pack = tuple(part for part in packed(pattern, graph) if part.kind != "bag") if kit else ()
        self.bags = tuple(part for part in packed(pattern, graph) if part.kind == "bag")
        stuffed = any(one.step.name == "stuff" and one.step.value("amount", "normal") != "none" for one in told)
        unknown = asked(pattern, graph)
        self.piece = Piece(
            as_what, pattern.toy_age_months, pattern.maker_age_years, stuffed, bool(pattern.notions), ball, special, unknown
        )


def assess(pattern: Pattern, graph: Graph, told: tuple[Told, ...] | None = None, made_of: Made | None = None) -> Safety:
    """All cautions, for every declared market (all, if none is declared). `made_of`: what the crocheted parts measure."""
    told = sentences(pattern, graph) if told is None else told
    case = Case(pattern, graph, told, made_of or Made())
    markets = tuple(market(code) for code in pattern.markets or market_codes())
    notes = [note for one in (*markets, None) for note in _notes(case, one)]
    notes.sort(key=lambda note: note.severity != "error")  # stable: what would be wrong to print stands first
    ages = tuple(_market_age(case.piece, one, notes) for one in markets)
    kit = case.piece.maker_age is not None
    codes = tuple(one.code for one in markets)
    return Safety(case.piece.made_as, _mark(ages), codes, case.parts, tuple(notes), ages, case.cords, kit)


def made(pattern: Pattern, told: tuple[Told, ...]) -> str:
    """What the piece is made as; a stuffed piece is a cuddly toy unless the pattern says otherwise."""
    if pattern.made_as:
        return pattern.made_as
    stuffed = any(one.step.name == "stuff" and one.step.value("amount", "normal") != "none" for one in told)
    kinds = (notion_kind(notion.name or notion.text) for notion in pattern.notions)
    return "cuddly toy" if stuffed or any(kind is not None and kind.kind == "stuffing" for kind in kinds) else ""


def _named(pattern: Pattern, hazard: str) -> bool:
    """Does the title, or the only part's name, say that the piece is one (a ball, a rattle)?"""
    parts = [section.title for section in pattern.parts]
    names = [pattern.title, *(parts if len(parts) == 1 else ())]
    kinds = [notion_kind(name) for name in names if name]
    return any(kind is not None and kind.hazard == hazard for kind in kinds)


def _notes(case: Case, one: Market | None) -> Iterator[SafetyNote]:
    """What the rules find in one market; without a market what they find once for all."""
    whole = piece_facts(case.piece, one, case.parts)
    things: dict[str, list[tuple[Component, Facts]]] = {
        "part": [(part, whole | part_facts(part, one)) for part in case.parts],
        "pack": [(part, whole | part_facts(part, one)) for part in case.pack],
        "bag": [(part, whole | bag_facts(part, one)) for part in case.bags],
    }
    for rule in rules():
        if (rule.per == "market") != (one is not None) or rule.about == "page" or rule.never & whole:
            continue
        limit = one.limit(rule.limit) if one is not None and rule.limit else None
        if rule.about == "piece":
            if rule.holds(whole):
                names = case.piece.asked if rule.text == "ask" else ()
                yield _note(case, rule, one, limit, names, ())
        elif rule.about == "cord":
            yield from _cord_notes(case, rule, one, whole) if one is not None else ()
        else:
            met = tuple(part for part, facts in things[rule.about] if rule.holds(facts))
            if met:
                yield _note(case, rule, one, limit, [part.name for part in met], met)


def _cord_notes(case: Case, rule: Rule, one: Market, whole: Facts) -> Iterator[SafetyNote]:
    for cord in case.cords:
        facts, limit = cord_facts(cord, case.piece, one)
        if rule.holds(whole | facts):
            yield _note(case, rule, one, limit, (cord.name,), (), cord)


def _note(
    case: Case,
    rule: Rule,
    one: Market | None,
    limit: Limit | None,
    names: Iterable[str],
    parts: tuple[Component, ...],
    cord: Cord | None = None,
) -> SafetyNote:
    names = tuple(dict.fromkeys(names))
    values = {"limit": limit.text} if limit is not None else {}
    if cord is not None:
        size = cord.thick_mm if rule.limit == "cord.thick" and cord.thick_mm else cord.length_mm
        values["length"] = f"{size:.3g} mm" if size < 10 else f"{size:.0f} mm"
    age = case.piece.maker_age if rule.about == "pack" else None
    if age is not None:
        values["age"] = str(age)
    prescribed = wording(rule.wording) if rule.wording else None
    sentence = f"{rule.code}.{rule.text}" if rule.text else rule.code
    text = prescribed.text if prescribed is not None else note_text(sentence, names=", ".join(names), **values)
    below = more(rule, one, parts, case.piece, case.brought, case.pattern, case.graph)
    # Where the pattern itself offers a way out, its editions can be printed; which of them is left to decide.
    avoided = {dict(said)["names"] for name, said in below if name == "way-out"}
    grave = "warning" if rule.severity == "error" and names and avoided >= set(names) else rule.severity
    return SafetyNote(
        rule.code,
        one.code if one is not None else "",
        grave,
        rule.wording if prescribed is not None else None,
        text,
        names,
        rule.rule,
        rule.level,
        limit,
        rule.source,
        rule.text,
        tuple(values.items()),
        below,
        rule.mark,
    )


def _market_age(piece: Piece, one: Market, notes: list[SafetyNote]) -> MarketAge:
    """The mark for a market: the stated age, but never below what the rules ask for; none where a rule forbids one."""
    counts = counts_as_under(piece, one)
    mine = [note.mark for note in notes if note.market in ("", one.code)]
    least = max([mark for mark in mine if mark != NONE], default=0)
    mark = None
    if piece.made_as in TOYS and NONE not in mine and (piece.toy_age is not None or least):
        mark = age_mark(max(least, piece.toy_age or 0))
    return MarketAge(one.code, piece.toy_age, 0 if counts else None, mark)


def _mark(ages: tuple[MarketAge, ...]) -> str | None:
    """The mark for all markets together: the highest one, none if one of them has none."""
    marks = [one.mark for one in ages]
    return None if None in marks or not marks else max((mark for mark in marks if mark), key=mark_months)


def age_mark(months: int) -> str:
    """`3+`, or `18 m+` below two years."""
    return f"{months // 12}+" if months >= 24 or months == 0 else f"{months} m+"


def mark_months(mark: str) -> int:
    """The months of a mark."""
    number = int("".join(sign for sign in mark if sign.isdigit()) or 0)
    return number if "m" in mark else number * 12
