"""Sentences that put something on a part in, angles and rounds out: where it sits. Nothing is drawn and no word is read here."""

from __future__ import annotations

from collections.abc import Iterable

from booklet.drawings.drawing import Put, Said
from booklet.figures.figures import Figures, PartFigures
from booklet.graph.graph import Graph, PartGraph

FRONT = {"centre-front": 0.0, "centre-back": 180.0}


def puts(said: Iterable[Said], graph: Graph, figures: Figures, left_handed: bool = False) -> dict[int, tuple[Put, ...]]:
    """What sits on each part, in the order of the file. Sentences that name no round of their host are left out."""
    said = tuple(said)
    turned = upside_down(said, figures)
    found: dict[int, list[Put]] = {}
    for one in said:
        put = _put(one, graph, figures, (one.host in turned) != left_handed)
        if put is not None:
            found.setdefault(one.host, []).append(put)
    return {host: tuple(ones) for host, ones in found.items()}


def upside_down(said: Iterable[Said], figures: Figures) -> frozenset[int]:
    """Parts whose open end is sewn to another's: a head that begins at the crown is worn the other way up."""
    found = set()
    for one in said:
        slots = dict(one.values)
        opening = one.name == "sew" and one.what is not None and "a" not in slots and "round" not in slots and "at" not in slots
        if opening and figures.parts[one.what].shape == "open" and figures.parts[one.host].shape == "open":
            found.add(one.what)
    return frozenset(found)


def angle_of(stitch: float, total: int, turned: bool) -> float:
    """The angle of the middle of a stitch of a round that begins at the centre back.

    Seen from outside, work runs from right to left: from the centre back to the piece's own left, unless the piece is worn
    the other way up or worked with the left hand.
    """
    way = 180.0 - 360.0 * (stitch - 0.5) / max(total, 1)
    return -way if turned else way


def _put(one: Said, graph: Graph, figures: Figures, turned: bool) -> Put | None:
    slots = dict(one.values)
    host = graph.parts[one.host]
    known = {label: number for number, label in enumerate(host.round_label) if number}
    ends = [known.get(str(slots[key])) for key in ("round", "a", "b") if key in slots]
    if not ends or None in ends:
        return None
    first, last = min(ends), max(ends)  # type: ignore[type-var]
    between = one.name.endswith(".between") or slots.get("how") == "between"
    kind = "part" if one.what is not None else "line" if one.name.startswith("embroider") else "eye"
    sewn = figures.parts[one.what] if one.what is not None else None
    wide = _width(sewn, between) if sewn else one.size_mm
    count = _count(one, slots, graph, host)
    total = host.total(first) or 1
    line = _line(slots, host, ends, turned) if kind == "line" else ()
    if kind == "line" and one.name == "embroider.between" and count > 1:
        kind = "eye"
    angles = _angles(slots, count, total, turned, kind)
    if "p" in slots and "q" in slots and sewn is not None and one.name == "sew.stitches":
        stitches = abs(int(slots["q"]) - int(slots["p"])) + 1
        wide = stitches * figures.gauge.stitch_mm
    apart = int(slots["apart"]) if "apart" in slots else None
    words = str(slots.get("what_words") or slots.get("what") or "")
    return Put(words, one.number, first, last, between, angles, wide, kind, line, apart)


def _count(one: Said, slots: dict[str, str | int | float], graph: Graph, host: PartGraph) -> int:
    """How many pieces sit on one host: two paws on two arms are one each."""
    if one.what is not None:
        many = int(slots.get("count", graph.parts[one.what].make))
        return max(1, many // max(host.make, 1)) if many >= host.make else 1
    # Something that is put with a distance between is a pair, whatever the list of notions says.
    return max(one.count, 2 if "apart" in slots else 1)


def _angles(slots: dict[str, str | int | float], count: int, total: int, turned: bool, kind: str) -> tuple[float, ...]:
    """Round the centre that the sentence tells; () where it tells none."""
    if "p" in slots and "q" in slots:
        return (angle_of((float(slots["p"]) + float(slots["q"])) / 2, total, turned),)
    if "side" in slots and "n" in slots:
        away = 360.0 * float(slots["n"]) / total
        return (away if slots["side"] == "left" else -away,)
    middle = FRONT.get(str(slots.get("at", "centre-front")), 0.0)
    if "apart" in slots and count >= 2:
        # n stitches between two things: their middles are n + 1 stitches apart.
        half = 180.0 * (float(slots["apart"]) + 1) / total
        return (middle - half, middle + half)
    if "at" in slots or "under" in slots or kind == "eye":
        return (middle,)
    return ()


def _line(
    slots: dict[str, str | int | float], host: PartGraph, ends: list[int | None], turned: bool
) -> tuple[tuple[float, float], ...]:
    """Points of a line of embroidery: stitch p of Rnd a to stitch q of Rnd b."""
    if "p" not in slots or "q" not in slots:
        return ()
    first, last = ends[0], ends[-1]
    if first is None or last is None:
        return ()
    points = ((first, slots["p"]), (last, slots["q"]))
    return tuple((float(place), angle_of(float(stitch), host.total(place), turned)) for place, stitch in points)


def _width(part: PartFigures, between: bool) -> float:
    """How wide a part is where it touches its host: the longer way of an oval, else the width of its open end."""
    if part.length_mm and part.shape.startswith("oval"):
        return part.length_mm
    end = part.rounds[-1].radius_mm if part.rounds else None
    if part.shape == "open" and end is not None:
        return 2 * end
    return part.width_mm or 0.0
