"""A kit with its patterns and their figures in, everything that one kit of each colourway holds out; nothing is ordered here."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_CEILING, Decimal
from typing import NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic, diagnostic
from booklet.figures.figures import Figures, YarnLine
from booklet.kits.kit import ZERO, Amount, Colourway, Content, Extra, Kit, Supply
from booklet.pattern.model import Choice, Notion, Pattern, Yarn
from booklet.tables.kits import Habit, fold, habits
from booklet.tables.safety import notion_kind

LONG_MM = 500.0  # a notion of this size is sold by its length: "black thread, 2 m"
TENTH = Decimal("0.1")
_UNITS = {"g": "g", "m": "m", "pc": "pieces"}


class Piece(NamedTuple):
    """A pattern of the kit, understood, for its size and choices."""

    pattern: Pattern
    figures: Figures
    choices: tuple[Choice, ...]


def ceiling(value: Decimal, step: Decimal) -> Decimal:
    """The next multiple of a step."""
    return (value / step).to_integral_value(ROUND_CEILING) * step


def supply_of(kit: Kit, item: str) -> Supply | None:
    """Where an item comes from: by its whole name, else by its name without what stands behind a comma."""
    names = (fold(item), fold(item.partition(",")[0]))
    return next((one for name in names for one in kit.supplies if fold(one.item) == name), None)


def contents(kit: Kit, pieces: tuple[Piece, ...]) -> tuple[tuple[Content, ...], tuple[Diagnostic, ...]]:
    """What is packed, colourway by colourway: yarns, stuffing, notions, cards, extra items."""
    found: list[Content] = []
    problems: list[Diagnostic] = []
    for way in kit.colourways:
        _unknown_colours(way, pieces, problems)
        for piece in pieces:
            found += _yarns(kit, way, piece)
        found += _stuffing(kit, way, pieces)
        found += _notions(kit, way, pieces)
        found += (_extra(kit, way, extra) for extra in kit.extras)
    items = {fold(one.item) for one in found}
    problems += (
        diagnostic("kit-supply-unused", one.span, item=one.item[:60])
        for one in kit.supplies
        if fold(one.item) not in items | {name.partition(",")[0] for name in items}
    )
    problems += _units_unfit(kit, found)
    return tuple(_cards_shared(kit, found)), tuple(problems)


def _units_unfit(kit: Kit, found: list[Content]) -> Iterator[Diagnostic]:
    """Amounts of supplies that nothing can turn into the unit of their item: `order` does without them."""
    for supply in kit.supplies:
        one = next((item for item in found if supply_of(kit, item.item) is supply), None)
        if one is None:
            continue
        for key, amount in (("pack", supply.pack), ("minimum", supply.minimum), ("stock", supply.stock)):
            # A plain number counts packs, so it says nothing about how much is in one.
            if amount is not None and in_unit(amount, one) is None and (amount.unit != "pc" or key == "pack"):
                told, unit = _UNITS[amount.unit], _UNITS[one.unit]
                yield diagnostic("kit-unit-unfit", supply.span, key=key, item=one.item[:60], told=told, unit=unit)


def in_unit(amount: Amount, item: Content) -> Decimal | None:
    """An amount in the unit of its item, by the label of the yarn where it has one; None where nothing tells how."""
    if amount.unit == item.unit:
        return amount.value
    if (amount.unit, item.unit) == ("m", "g") and item.metres:
        return amount.value * (item.each / item.metres)
    return None


def _unknown_colours(way: Colourway, pieces: tuple[Piece, ...], problems: list[Diagnostic]) -> None:
    known = {fold(name) for piece in pieces for yarn in piece.pattern.yarns for name in (yarn.code, yarn.colour)}
    for (name, _), span in zip(way.colours, way.codes, strict=True):
        if fold(name) not in known:
            problems.append(diagnostic("kit-colour-unknown", span, yarn=name[:60]))


def _yarns(kit: Kit, way: Colourway, piece: Piece) -> Iterator[Content]:
    known = {yarn.code: yarn for yarn in piece.pattern.yarns}
    for line in piece.figures.yarn:
        yarn = known.get(line.code)
        if yarn is not None and not _made(yarn.only_for, piece.choices):
            continue
        yield _yarn(kit, way, line, yarn)


def _yarn(kit: Kit, way: Colourway, line: YarnLine, yarn: Yarn | None) -> Content:
    """The weighed amount, else the high estimate; in grams where the yarn's label tells metres and grams, else in metres."""
    own = (yarn.colour if yarn is not None else "") or f"yarn {line.code}"
    colours = {fold(name): colour for name, colour in way.colours}
    item = colours.get(fold(line.code)) or colours.get(fold(own)) or own
    metres = exact(line.high_m)
    g_per_m = exact(yarn.ball_g / yarn.ball_m) if yarn is not None and yarn.ball_g and yarn.ball_m else None
    used = exact(yarn.used_g) if yarn is not None and yarn.used_g else None
    net = used if used is not None else metres * g_per_m if g_per_m is not None else metres
    unit = "m" if used is None and g_per_m is None else "g"
    supply = supply_of(kit, item)
    habit = habits()["yarn", unit]
    spare = _first(supply.spare if supply else None, kit.spare, habit.spare)
    basis = "weighed" if line.basis == "declared" else "estimate"
    made = _content(way, "yarn", item, net, unit, spare, habit, code=line.code, basis=basis)
    if unit == "m":
        return made._replace(metres=made.each, weight_g=None)
    return made._replace(metres=ceiling(made.each / g_per_m, Decimal("0.5")) if g_per_m else None)


def _stuffing(kit: Kit, way: Colourway, pieces: tuple[Piece, ...]) -> Iterator[Content]:
    grams = sum((exact(piece.figures.stuffing_g) for piece in pieces if piece.figures.stuffing_g), ZERO)
    if grams and not _left_out(kit, "stuffing"):
        habit, supply = habits()["stuffing", "g"], supply_of(kit, "stuffing")
        spare = _first(supply.spare if supply else None, habit.spare)
        yield _content(way, "stuffing", "stuffing", grams, "g", spare, habit, basis="estimate")


def _notions(kit: Kit, way: Colourway, pieces: tuple[Piece, ...]) -> Iterator[Content]:
    """Notions by name: tools once for all patterns of a kit, everything else added up."""
    sums: dict[tuple[str, str], Decimal] = {}
    for piece in pieces:
        for notion in piece.pattern.notions:
            kind = notion_kind(notion.name)
            if not _made(notion.only_for, piece.choices) or _left_out(kit, notion.name) or (kind and kind.role == "filling"):
                continue
            key, count = _sold(notion)
            tool = kind is not None and kind.role == "tool"
            sums[key] = max(sums.get(key, ZERO), count) if tool else sums.get(key, ZERO) + count
    for (item, unit), count in sums.items():
        kind = "thread" if unit == "m" else "notion"
        supply, habit = supply_of(kit, item), habits()[kind, unit]
        spare = _first(supply.spare if supply else None, habit.spare)
        each = supply.weight_g if supply else None
        yield _content(way, kind, item, count, unit, spare, habit, weight_g=each)


def _sold(notion: Notion) -> tuple[tuple[str, str], Decimal]:
    """Name and unit, and how much: pieces, or metres of a thread."""
    count = Decimal(notion.count or 1)
    size = notion.size_mm or dict(notion.dimensions).get("diameter")
    if size and size >= LONG_MM:
        return (notion.name, "m"), count * exact(size / 1000)
    return (f"{notion.name}, {size:g} mm" if size else notion.name, "pc"), count


def _extra(kit: Kit, way: Colourway, extra: Extra) -> Content:
    name = f"card {extra.name}" if extra.kind == "card" else extra.name
    supply = supply_of(kit, name)
    weight = extra.weight_g if extra.weight_g is not None else supply.weight_g if supply else None
    return _content(way, extra.kind, name, extra.each, "pc", ZERO, habits()[extra.kind, "pc"], weight_g=weight)


def _cards_shared(kit: Kit, found: list[Content]) -> Iterator[Content]:
    """Cards that are for some kits only go into the first kits that want a card of that kind."""
    left = {f"card {extra.name}": extra.kits for extra in kit.extras if extra.kind == "card" and extra.kits is not None}
    for one in found:
        rest = left.get(one.item) if one.kind == "card" else None
        if rest is None:
            yield one
            continue
        some = min(rest, one.kits)
        left[one.item] = rest - some
        if some:
            yield one._replace(kits=some)


def _content(
    way: Colourway,
    kind: str,
    item: str,
    net: Decimal,
    unit: str,
    spare: Decimal,
    habit: Habit,
    *,
    code: str = "",
    basis: str = "told",
    weight_g: Decimal | None = None,
) -> Content:
    rounded = ceiling(net, TENTH) if unit != "pc" else net  # the sheets show a tenth: they compute with what they show
    each = ceiling(rounded * (1 + spare / 100), habit.step)
    weight = each if unit == "g" else None if weight_g is None else weight_g * each
    tolerance = (weight or ZERO) * habit.tolerance / 100
    return Content(way.name, way.kits, kind, item, code, rounded, spare, habit.step, each, unit, None, basis, weight, tolerance)


def _made(only_for: tuple[Choice, ...], choices: tuple[Choice, ...]) -> bool:
    chosen = dict(choices)
    return all(chosen.get(key, value) == value for key, value in only_for)


def _left_out(kit: Kit, name: str) -> bool:
    return any(fold(word) in (fold(name), fold(name).rstrip("s")) for word in kit.leave_out)


def exact(value: float) -> Decimal:
    """A computed figure as a decimal of a millionth."""
    return Decimal(repr(round(value, 6)))


def _first(*values: Decimal | None) -> Decimal:
    return next(value for value in values if value is not None)
