"""A piece, its parts and a market in, the facts that the rules ask for out (shared/safety/README.md lists them); no rule is known here."""

from __future__ import annotations

from typing import NamedTuple

from booklet.figures.cylinder import MEASURES, pressed, reduced, verdict
from booklet.figures.figures import Component, Cord
from booklet.tables.markets import Limit, Market

TOYS = ("toy", "cuddly toy")
ADULT = 14  # years; a kit for these is no toy (16 CFR 1200.2; Directive 2009/48/EC art. 2)
# The larger of the American and the European template, for all: a house rule.
SMALL_BALL = 44.5
Facts = frozenset[str]


class Piece(NamedTuple):
    """What the rules need to know about a piece, apart from its parts."""

    made_as: str
    toy_age: int | None  # months
    maker_age: int | None  # years
    stuffed: bool
    listed: bool  # does the pattern list any notions?
    ball: bool  # is the piece itself a ball to play with?
    special: bool  # is it a rattle, a teether …?
    asked: tuple[str, ...]  # notions that nothing is known about


def counts_as_under(piece: Piece, market: Market | None) -> bool:
    """Does the market take the piece for one for under-threes, whatever age is stated?"""
    if market is None or piece.made_as != "cuddly toy" or "soft-counts" not in market.traits:
        return False
    return not _below(market, piece.toy_age)


def months_of(piece: Piece, market: Market | None) -> int:
    """The age that limits are taken for: 0 where the market does not believe the stated one, or none is stated."""
    return 0 if counts_as_under(piece, market) else piece.toy_age or 0


def piece_facts(piece: Piece, market: Market | None, parts: tuple[Component, ...]) -> Facts:
    """Facts about the piece in one market; without a market those that are the same in all."""
    found = set(market.traits) if market is not None else set()
    age, counts = piece.toy_age, counts_as_under(piece, market)
    below = _below(market, age)
    found |= {"toy"} if piece.made_as in TOYS else set()
    found |= {"cuddly"} if piece.made_as == "cuddly toy" else set()
    found |= {"declared" if age is not None else "undeclared", "declared-under" if below else "over"}
    found |= {name for name, true in (("stuffed", piece.stuffed), ("listed", piece.listed), ("is-ball", piece.ball)) if true}
    found |= {"special-piece"} if piece.special else set()
    found |= {"asked"} if piece.asked else set()
    found |= {"counts"} if counts else set()
    found |= {"under"} if counts or below else set()
    limit = market.limit("under-three") if market is not None else None
    if age is not None and limit is not None and not below and limit.kept(age):
        found.add("at-three")
    labelled = market.limit("labelled") if market is not None else None
    if labelled is not None and (age is None or labelled.kept(age)):
        found.add("labelled")
    found |= _kit_facts(piece, market)
    mine = [(part, part_facts(part, market)) for part in parts]
    if any(part.small_part and not part.made for part, _ in mine):
        found.add("small-listed")
    if any("small" in facts and ("hard" in facts or "crochet-loose" in facts) for _, facts in mine):
        found.add("coming-off")
    return frozenset(found)


def _below(market: Market | None, months: int | None) -> bool:
    limit = market.limit("under-three") if market is not None else None
    return months is not None and months < (limit.value if limit is not None else 36)


def _kit_facts(piece: Piece, market: Market | None) -> set[str]:
    if piece.maker_age is None:
        return set()
    if piece.maker_age >= ADULT:
        return {"kit", "adult-kit"}
    months = piece.maker_age * 12
    found = {"kit", "child-kit"}
    if market is None:
        return found
    names = {"kit-under": "under-three", "kit-labelled": "labelled", "needle-never": "needle.never", "needle-labelled": "needle.labelled"}
    for fact, name in names.items():
        limit = market.limit(name)
        if limit is not None and limit.kept(months):
            found.add(fact)
    return found


def part_facts(part: Component, market: Market | None) -> Facts:
    """Facts about one thing that may come off, or lies in a kit's bag."""
    found = {"loose" if part.attached == "loose" else "fixed", "in-kit"}
    found |= {part.hazard} if part.hazard else set()
    if part.made:
        found |= {"crochet", "crochet-loose" if part.attached == "loose" else "crochet-sewn"}
    elif part.material == "textile":
        found.add("textile")
    else:
        found.add("hard")
    if part.small_part or (market is not None and "pressed" in market.traits and fits_pressed(part)):
        found.add("small")
    if small_ball(part):
        found.add("small-ball")
    if part.verdict == "unknown" and not part.kind:
        found.add("unnamed")
    if part.attached == "enclosed" and part.basis == "stated measures":
        found.add("stated-enclosed")
    return frozenset(found)


def fits_pressed(part: Component) -> bool:
    """Is a soft part small where it may be pressed with a finger's force (Canada, 4.45 N)?"""
    sizes = _sizes(part)
    return part.material == "soft" and sizes is not None and verdict(part.shape, pressed(part.shape, sizes), soft=True) != "clear"


def small_ball(part: Component) -> bool:
    """Does a ball pass the template, doubt of measuring included? An egg passes by its middle width."""
    if part.hazard != "ball":
        return False
    sizes = _sizes(part)
    if sizes is None:
        return True
    across = sorted(reduced(sizes, soft=part.material != "hard"))
    return across[len(across) // 2] <= SMALL_BALL


def _sizes(part: Component) -> tuple[float, ...] | None:
    known = dict(part.dimensions_mm)
    wanted = MEASURES.get(part.shape, ())
    if part.verdict == "unknown" or not wanted or any(name not in known for name in wanted):
        return None
    return tuple(known[name] for name in wanted)


def cord_facts(cord: Cord, piece: Piece, market: Market) -> tuple[Facts, Limit | None]:
    """Facts about a cord, with the limit that decided."""
    months, found = months_of(piece, market), {cord.way}
    name = "loop" if cord.way == "loop" else f"cord.{cord.way}"
    over = market.limit(name, months)
    decided = over
    if over is not None and not over.kept(cord.length_mm):
        found.add("over-loop" if cord.way == "loop" else "over-limit")
    else:
        for fact, suffix in (("warned-limit", "-warned"), ("told-limit", "-told")):
            limit = market.limit(name + suffix, months)
            if limit is not None and not limit.kept(cord.length_mm):
                found.add(fact)
                decided = limit
    thick = market.limit("cord.thick", months)
    if thick is not None and cord.thick_mm is not None and not thick.kept(cord.thick_mm):
        found.add("thin")
        decided = decided if found & {"over-limit", "over-loop"} else thick
    if decided is not None and decided.status in ("ok", "seen"):
        found.add("limit-known")
    return frozenset(found), decided


def bag_facts(part: Component, market: Market | None) -> Facts:
    """Facts about a plastic bag: flat, its opening is twice its width round."""
    sizes = dict(part.dimensions_mm)
    width = sizes.get("width", sizes.get("diameter", 0.0))
    found = {"plastic"}
    if market is None:
        return frozenset(found)
    told = market.limit("bag.told-perimeter")
    if told is not None and (not width or told.kept(2 * width)):
        found.add("told-bag")
    film, exempt, opening = (market.limit(name) for name in ("bag.film", "bag.exempt-side", "bag.exempt-perimeter"))
    sides = [side for side in (width, sizes.get("height") or sizes.get("length") or 0.0) if side]
    free = bool(sides) and exempt is not None and exempt.kept(min(sides))
    free = free or (bool(width) and opening is not None and opening.kept(2 * width))
    if film is not None and not free:
        found.add("film-bag")
    return frozenset(found)
