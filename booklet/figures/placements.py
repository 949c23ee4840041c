"""Sentences that place something, and the parts they name, in, stitch numbers, millimetres and degrees out; nothing is drawn.

Stitches count from 1 at the start of the round. Things "with n stitches between them" sit in the gaps on either side of these n
stitches, so that their middles are n stitch widths apart. The centre front lies opposite the start of the rounds, unless told.
"""

from __future__ import annotations

from math import pi, radians, sin

from booklet.figures.figures import PartFigures, Placement
from booklet.figures.steps import Told, number, places
from booklet.graph.graph import Graph, PartGraph
from booklet.pattern.model import Notion, Pattern

PAIRS = ("place.between", "place.over", "place.on", "embroider.between", "sew")
BESIDE = "place.beside"
NAMED = "sew.stitches"
EYE_SHARE = 0.6  # of the arc between two eyes that their diameter may take (technical editors' check)
# Stitches that a spiral round leans to the working side: .15 to .25 (lessons on working in the round; size from memory).
LEAN = 0.2
FRONT = {"centre-back": 0.5, "centre-front": 0.0, "side": 0.25}  # in rounds, from the start of the round
PART_SHARE = 1.15  # a seam that is so much longer than its place does not fit; fabric gives a little


def placements(
    graph: Graph, parts: tuple[PartFigures, ...], told: tuple[Told, ...], hanging: frozenset[int], pattern: Pattern
) -> tuple[Placement, ...]:
    """Every placing whose round is there. `hanging`: parts that stand upside down, whose left is where others have their right."""
    starts = [one for one in told if one.step.name == "start.at" and one.part is not None]
    front = {one.part: FRONT.get(str(one.step.value("where", "")), 0.5) for one in starts}
    rounds: dict[int, dict[str, int]] = {}
    found = []
    for one in told:
        host = one.host
        if host is None or host >= len(parts) or one.step.name not in (*PAIRS, BESIDE, NAMED):
            continue
        if host not in rounds:
            rounds[host] = places(graph.parts[host])
        label = next((value for slot in ("a", "round") if (value := one.step.value(slot)) is not None), None)
        n = rounds[host].get(str(label)) if label is not None else None
        if n is not None and graph.parts[host].total(n) > 0:
            last = rounds[host].get(str(one.step.value("b"))) or n
            found.append(_placed(graph, parts, one, host, n, last, front.get(host, 0.5), host in hanging, pattern))
    return tuple(found)


def _placed(
    graph: Graph,
    parts: tuple[PartFigures, ...],
    one: Told,
    host: int,
    n: int,
    last: int,
    front: float,
    hanging: bool,
    pattern: Pattern,
) -> Placement:
    part, figures = graph.parts[host], parts[host]
    total = part.total(n)
    gauge = figures.gauge
    width = gauge.stitch_mm if gauge is not None else 0.0
    apart = number(one.step.value("apart"))
    gaps, centred = _gaps(one, total, apart, front * total, hanging)
    after = tuple(gap or total for gap in gaps)  # before the first stitch is after the last one
    arc = apart * width if apart is not None else None
    turn = 360 * apart / total if apart is not None else None
    straight = total * width / pi * sin(radians(min(turn, 360.0) / 2)) if turn is not None else None
    height = figures.rounds[n - 1].height_mm if n <= len(figures.rounds) else None
    fits = _fits(graph, parts, one, host, n, last, total, apart, arc, pattern)
    what = str(one.step.value("what", "") or one.step.value("motif", "") or "")
    lean = LEAN * (n - 1) if part.round_way[n] == "spiral" else 0.0
    return Placement(
        what, host, one.step.span.line, n, total, apart, after, centred, arc, straight, turn, height, fits, lean
    )


def _gaps(one: Told, total: int, apart: int | None, middle: float, hanging: bool) -> tuple[tuple[int, ...], bool]:
    """The stitches after which things sit. A middle between two stitches is a whole number."""
    if one.step.name == NAMED:
        first, last = number(one.step.value("p")), number(one.step.value("q"))
        return ((first - 1, last), True) if first is not None and last is not None else ((), True)
    if one.step.name == BESIDE:
        away = number(one.step.value("n")) or 0
        # Right-handed rounds run from the piece's own left to its right across the front; upside down it is the other way.
        sign = (-1 if one.step.value("side") == "left" else 1) * (-1 if hanging else 1)
        at = middle + sign * away
        return (int(at // 1) % total,), at == int(at)
    if one.step.value("at") == "centre-back":
        middle += total / 2
    if apart is None:
        return (int(middle) % total,), middle == int(middle)
    first = middle - apart / 2
    low = int(first // 1)
    return (low % total, (low + apart) % total), first == low


def _fits(
    graph: Graph,
    parts: tuple[PartFigures, ...],
    one: Told,
    host: int,
    n: int,
    last: int,
    total: int,
    apart: int | None,
    arc: float | None,
    pattern: Pattern,
) -> str:
    """See Placement.fits."""
    stop = number(one.step.value("q"))
    if (apart is not None and apart + 2 > total) or (stop is not None and stop > total):
        return "round"
    if one.what is not None and one.step.name == "sew" and one.step.value("b") is not None:
        return "part" if not _part_fits(graph.parts[one.what], parts[one.what], parts[host], n, last, apart) else ""
    eye = _eye(pattern, str(one.step.value("what", "") or ""))
    return "eye" if eye and arc is not None and eye > EYE_SHARE * arc else ""


def _eye(pattern: Pattern, what: str) -> float:
    """Diameter of the eyes of that name, mm."""
    from booklet.figures.components import listed_keys, said_keys

    keys = set(said_keys(what))
    notion: Notion | None = next((one for one in pattern.notions if keys & set(listed_keys(one))), None)
    if notion is None:
        return 0.0
    return notion.size_mm or dict(notion.dimensions).get("diameter", 0.0)


def _part_fits(part: PartGraph, sewn: PartFigures, host: PartFigures, n: int, last: int, apart: int | None) -> bool:
    """An opening that is sewn over some rounds is an oval: as high as these rounds, as wide as its edge leaves.

    It does not fit where the rounds alone are longer than half of its edge, or where pieces and the room between them go more
    than round.
    """
    if sewn.gauge is None or host.gauge is None or sewn.shape in ("rows", "flattened", "") or sewn.shape.endswith(("closed", "flat")):
        return True
    edge = part.total(part.rounds) * sewn.gauge.stitch_mm if part.rounds else 0.0
    low, high = min(n, last), max(n, last)
    tall = (high - low) * host.gauge.round_mm
    if edge <= 0 or tall <= 0:
        return True
    if 2 * tall > PART_SHARE * edge:
        return False
    round_the_host = max(host.rounds[at - 1].total for at in range(low, high + 1)) * host.gauge.stitch_mm
    beside = max(0.0, edge / 2 - tall) * (2 if apart is not None else 1) + (apart or 0) * host.gauge.stitch_mm
    # A part that is sewn round another one (a cap, a neck) goes round it whole.
    whole = edge >= 0.7 * round_the_host
    return whole or beside <= PART_SHARE * round_the_host
