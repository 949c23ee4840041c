"""What the kits hold in, what has to be ordered, packed and paid out: stock taken off, packs and least orders rounded up."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from math import sqrt

from booklet.kits.contents import in_unit, supply_of
from booklet.kits.kit import ZERO, Amount, Answer, Content, Kit, OrderLine, Packed, Supply
from booklet.tables.kits import fold, habits

CENT = Decimal("0.01")
THOUSANDTH = Decimal("0.001")
MILLIONTH = Decimal("0.000001")


def order(kit: Kit, contents: tuple[Content, ...]) -> Answer:
    """The answer. Decimal throughout: a cent is a cent, and 20 % of 15 g are 3 g."""
    groups: dict[tuple[str, str], list[Content]] = {}
    for one in contents:
        groups.setdefault((fold(one.item), one.unit), []).append(one)
    lines = tuple(_line(kit, number, found) for number, found in enumerate(groups.values(), 1))
    costs = [line.cost for line in lines if line.cost is not None]
    unpriced = tuple(line.item for line in lines if line.packs and line.price is None)
    packed = tuple(_packed(kit, way.name, way.kits, [one for one in contents if one.colourway == way.name]) for way in kit.colourways)
    return Answer(kit.title, kit.kits, kit.currency, contents, lines, packed, sum(costs, ZERO) if costs else None, unpriced)


def _line(kit: Kit, number: int, found: list[Content]) -> OrderLine:
    first = found[0]
    supply = supply_of(kit, first.item) or Supply(first.item, kit.patterns[0].span)
    packed = sum((one.total for one in found), ZERO)
    pack = in_unit(supply.pack, first) if supply.pack else None
    word = supply.pack.word if supply.pack else ""
    size = pack if pack else Decimal(1)
    kind = "cone" if first.kind == "yarn" and "cone" in word.casefold() else first.kind
    waste = supply.waste if supply.waste is not None else habits()[kind, first.unit].waste
    need = (packed * (1 + waste / 100)).quantize(THOUSANDTH, ROUND_CEILING)
    balls = ZERO
    if pack and kind == "yarn":
        # Cones are long: what is lost at their ends is their `waste`. A ball has an end every few kits, and no kit gets a knot.
        balls = sum((balls_cut(one.kits, one.each, pack) for one in found), ZERO)
        need = max(need, balls.quantize(MILLIONTH).to_integral_value(ROUND_CEILING) * pack)
    stock = _stock(supply.stock, first, size)
    short = max(ZERO, need - stock)
    least = _least(supply.minimum, first, size)
    packs = max(least, int((short / size).to_integral_value(ROUND_CEILING))) if short else 0
    cost = (supply.price * packs).quantize(CENT, ROUND_HALF_UP) if supply.price is not None else None
    metres = sum((one.metres * one.kits for one in found if one.metres is not None), ZERO) or None
    shown = word or ("pack" if pack and pack != 1 else "")
    return OrderLine(
        number, first.kind, first.item, first.unit, packed, waste, need, metres, stock, short,
        size, shown, least, packs, supply.price, cost, supply.supplier, supply.article, balls,
    )  # fmt: skip


def balls_cut(kits: int, each: Decimal, pack: Decimal) -> Decimal:
    """Balls that the yarn of so many kits is cut from without a knot: of 50 g four kits get 11 g, and 6 g are left.

    Parts of a ball add up over colourways; where those want very different lengths, one ball more may be needed than their sum.
    """
    whole, rest = divmod(each, pack)
    return kits * whole + (Decimal(kits) / (pack // rest) if rest else ZERO)


def _stock(stock: Amount | None, item: Content, pack: Decimal) -> Decimal:
    """What is there. A plain number of something that is sold by weight or length counts packs."""
    if stock is None:
        return ZERO
    if stock.unit == "pc" and item.unit != "pc":
        return stock.value * pack
    return in_unit(stock, item) or ZERO


def _least(minimum: Amount | None, item: Content, pack: Decimal) -> int:
    """The least order in packs: a plain number counts packs, an amount is divided by the pack."""
    if minimum is None:
        return 0
    if minimum.unit == "pc":
        return int(minimum.value.to_integral_value(ROUND_CEILING))
    amount = in_unit(minimum, item)
    return int((amount / pack).to_integral_value(ROUND_CEILING)) if amount else 0


def _packed(kit: Kit, colourway: str, kits: int, found: Iterable[Content]) -> Packed:
    """The weight of one kit. The parts are weighed apart: their tolerances add up as independent errors do, unless one is told."""
    every = list(found)
    weight = sum((one.weight_g for one in every if one.weight_g is not None), ZERO)
    if kit.tolerance is not None:
        tolerance = weight * kit.tolerance / 100
    else:
        tolerance = Decimal(repr(round(sqrt(float(sum((one.tolerance_g**2 for one in every), ZERO))), 3)))
    unweighed = tuple(dict.fromkeys(one.item for one in every if one.weight_g is None))
    tolerance = max(CENT * 50, tolerance).quantize(Decimal("0.1"), ROUND_CEILING)
    unnoticed = tuple(dict.fromkeys(one.item for one in every if one.weight_g is not None and one.weight_g <= tolerance))
    return Packed(colourway, kits, weight, tolerance, unweighed, unnoticed)
