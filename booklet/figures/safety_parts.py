"""The crocheted parts of a pattern with their sizes in, which of them may come off or are separate, and every cord, out.

A part is taken as sewn on if a sentence or the words of the assembly name it. Ages and markets are judged in safety.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from booklet.figures.cylinder import verdict
from booklet.figures.figures import Component, Cord, GaugeUsed, PartFigures, Size
from booklet.figures.steps import Told, bare
from booklet.graph.graph import FOREIGN, Graph, PartGraph
from booklet.pattern.model import Pattern
from booklet.tables.language import fold
from booklet.tables.safety import notion_kind

FIXING = ("sew", "sew.stitches", "crochet_in", "joint")
CORDS = ("noose", "free", "loop")
SLENDER = 5.0  # a piece so many times longer than wide is a cord; a house rule: the standard says "much longer than wide"
FEWEST_CHAINS = 12  # a shorter run of chains is a picot or a bridge, no loop; a guess


class Made(NamedTuple):
    """What was computed about the crocheted parts."""

    parts: tuple[PartFigures, ...] = ()
    size: Size = Size(None, None, None, ())
    gauge: GaugeUsed | None = None


def crocheted(pattern: Pattern, graph: Graph, told: tuple[Told, ...], made: Made) -> tuple[Component, ...]:
    """Every crocheted part that is separate or was sewn on, and the piece as a whole; its body alone cannot come off."""
    sized = [index for index, part in enumerate(made.parts) if index < len(graph.parts) and _measures(part) is not None]
    if not sized:
        return ()
    groups, fixed = _joined(pattern, graph, told)
    base = max(sized, key=lambda index: made.parts[index].volume_cm3 or made.parts[index].area_cm2 or 0.0)
    single = len(graph.parts) == 1
    found = []
    grown = _grown(graph, base)
    for index in sized:
        if index in grown:
            continue
        # Where the pattern tells how no part at all is fixed, nothing says that this one is separate.
        separate = bool(fixed) and groups[index] != groups[base]
        basis = "computed size" if fixed else "computed size; how it is fixed is not told"
        found.append(_part(made.parts[index], "loose" if separate else "sewn", basis))
    whole = _whole(pattern, made, [index for index in sized if not fixed or groups[index] == groups[base]], base, single)
    return (whole, *found)


def _grown(graph: Graph, base: int) -> set[int]:
    """The body and what is worked together with it: legs that it grows out of cannot come off."""
    below: dict[int, set[int]] = {}
    for index, part in enumerate(graph.parts):
        for other in {place.part for place in part.foreign}:
            below.setdefault(index, set()).add(other)
            below.setdefault(other, set()).add(index)
    found, waiting = {base}, [base]
    while waiting:
        more = below.get(waiting.pop(), set()) - found
        found |= more
        waiting += more
    return found


def _part(part: PartFigures, attached: str, basis: str) -> Component:
    shape, sizes = _measures(part) or ("unknown", ())
    found = verdict(shape, tuple(sizes.values()), soft=True)
    basis += ", from printed totals" if part.uncertain else ""
    measures = tuple(sizes.items())
    return Component(part.name, "part", part.make, found != "clear", found, measures, attached, basis, shape, "crochet", "soft")


def _whole(pattern: Pattern, made: Made, members: list[int], base: int, single: bool) -> Component:
    """The piece itself: it is large if any of its parts is. Parts sewn to its sides are not in its size."""
    verdicts = [_part(made.parts[index], "sewn", "") for index in members]
    size = made.size
    name = made.parts[base].name if single else pattern.title or made.parts[base].name
    body = _part(made.parts[base], "loose", "computed size")
    if len(members) > 1 and size.height_mm and size.width_mm:
        sizes = {"width": size.width_mm, "depth": size.width_mm, "length": size.height_mm}
        found = verdict("ellipsoid", tuple(sizes.values()), soft=True)
        body = body._replace(dimensions_mm=tuple(sizes.items()), shape="ellipsoid", verdict=found)
        if found == "small" and len(size.basis) < len(members):
            body = body._replace(verdict="limit", basis="computed size, without the parts at its sides")
    if any(part.verdict == "clear" for part in verdicts):
        body = body._replace(verdict="clear")
    return body._replace(name=name, kind="piece", made="piece", count=None, small_part=body.verdict != "clear")


def _measures(part: PartFigures) -> tuple[str, dict[str, float]] | None:
    """A body that is not larger than the part: an ellipsoid in what is stuffed or open, the very shape of what is flat."""
    width, height, length = part.width_mm, part.height_mm, part.length_mm
    if not width or not height:
        return None
    if part.shape == "flat":
        return "disc", {"diameter": width, "height": height}
    if part.shape in ("rows", "oval flat"):
        return "box", {"width": width, "height": height, "length": length or width}
    if length:
        return "ellipsoid", {"width": width, "depth": height, "length": length}
    return "ellipsoid", {"width": width, "depth": width, "length": height}


def _joined(pattern: Pattern, graph: Graph, told: tuple[Told, ...]) -> tuple[list[int], set[int]]:
    """For each part the group that it is put together with, and the parts that something is said about."""
    group = list(range(len(graph.parts)))
    fixed: set[int] = set()

    def unite(one: int, other: int) -> None:
        a, b = _root(group, one), _root(group, other)
        group[max(a, b)] = min(a, b)
        fixed.update((one, other))

    for index, part in enumerate(graph.parts):
        for other in {place.part for place in part.foreign}:
            unite(index, other)
    for one in told:
        if one.what is not None and one.host is not None and one.what != one.host:
            if one.step.name in FIXING or one.step.name.startswith("place."):
                unite(one.what, one.host)
        elif one.what is not None and one.step.name in FIXING:
            fixed.add(one.what)
    # Sewing that was told in the designer's own words: everything that the assembly names belongs to the piece.
    words = _assembly_words(pattern)
    named = [index for index, part in enumerate(graph.parts) if words and set(bare(part.name).split()) <= words]
    anchor = next(iter(sorted(fixed)), named[0] if named else 0)
    for index in named:
        unite(index, anchor)
    return [_root(group, index) for index in range(len(group))], fixed


def _root(group: list[int], index: int) -> int:
    while group[index] != index:
        group[index] = group[group[index]]
        index = group[index]
    return index


def _assembly_words(pattern: Pattern) -> set[str]:
    words: set[str] = set()
    for section in pattern.sections:
        if section.role in ("assembly", "notes", "other"):
            for step in section.steps:
                if step.kind in ("prose", "sentence"):
                    for word in fold(step.text).replace(",", " ").replace(".", " ").split():
                        words.update((word, bare(word)))
    return words


def told_components(told: tuple[Told, ...], listed: tuple[Component, ...]) -> Iterator[Component]:
    """Pompons and joints that sentences tell of and the notions do not list."""
    kinds = {part.kind for part in listed}
    for one in told:
        size = one.step.value("size_mm")
        if one.step.name == "pompon" and isinstance(size, int | float) and size > 0 and "pompom" not in kinds:
            found = verdict("sphere", (float(size),), soft=True)
            measures = (("diameter", float(size)),)
            yield Component(
                "pompon", "pompom", 1, found != "clear", found, measures, "sewn", "stated measures", "sphere", "", "soft", "pompom"
            )
        if one.step.name == "joint" and "joint" not in kinds:
            kinds |= {"joint"}
            yield Component("joint", "joint", 1, True, "unknown", (), "enclosed", "no size given", "disc")


def cords(graph: Graph, told: tuple[Told, ...], made: Made, listed: tuple[Component, ...]) -> tuple[Cord, ...]:
    """Every cord, tail and loop: among the notions, by the names and shapes of the parts, by chains, by knotted strands."""
    return (*_of_notions(listed), *_of_parts(graph, told, made), *_of_strands(told))


def _of_notions(listed: tuple[Component, ...]) -> Iterator[Cord]:
    for part in listed:
        sizes = dict(part.dimensions_mm)
        if part.hazard not in CORDS or part.basis.startswith("usual size"):
            continue
        length = sizes.get("length") or (sizes.get("diameter", 0.0) * 3.1416 if part.hazard == "loop" else 0.0)
        length = length or sizes.get("width", 0.0)
        if length:
            thick = None if "ribbon" in fold(part.name) else sizes.get("diameter") or sizes.get("depth") or sizes.get("height")
            yield Cord(part.name, part.hazard, length, thick if part.hazard != "loop" else None, part.basis)


def _of_parts(graph: Graph, told: tuple[Told, ...], made: Made) -> Iterator[Cord]:
    stuffed = {
        one.about for one in told if one.step.name == "stuff" and one.step.value("amount", "normal") != "none"
    }
    stitch = made.gauge.stitch_mm if made.gauge is not None else 0.0
    for index, part in enumerate(made.parts[: len(graph.parts)]):
        kind = notion_kind(part.name)
        way = kind.hazard if kind is not None and kind.hazard in CORDS else ""
        chains = _only_chains(graph.parts[index])
        if chains and stitch:
            yield Cord(part.name, way or "noose", chains * stitch, None, "chains")
            continue
        sizes = sorted(size for size in (part.width_mm, part.height_mm, part.length_mm) if size)
        if len(sizes) > 1 and (way or (index not in stuffed and sizes[-1] >= SLENDER * sizes[-2])):
            yield Cord(part.name, way or "noose", sizes[-1], None, "computed size")
        run, loop = _longest_chain(graph.parts[index])
        if run >= FEWEST_CHAINS and stitch:
            yield Cord(part.name, "loop" if loop else "noose", run * stitch, None, "chains")


def _of_strands(told: tuple[Told, ...]) -> Iterator[Cord]:
    for one in told:
        length = one.step.value("length_mm")
        if one.step.name == "strands" and isinstance(length, int | float) and length > 0:
            yield Cord("strands", "free", float(length) / 2, None, "stated measures")  # knotted in their middle


def _only_chains(part: PartGraph) -> int:
    """Chains of a part that consists of nothing else."""
    kinds = {part.kinds[kind] for kind in set(part.kind)}
    return len(part.kind) if kinds == {"chain"} else 0


def _longest_chain(part: PartGraph) -> tuple[int, bool]:
    """The longest run of chains in a worked round that nothing is worked into later, and whether it is a loop.

    A run that is worked back along is a tie; what a later round is worked into is fabric.
    """
    if "chain" not in part.kinds or part.rounds < 1:
        return 0, False
    chain, best = part.kinds.index("chain"), (0, False)
    used = {entry for entry in part.parents if not entry & FOREIGN}
    for r in range(1, part.rounds + 1):
        first, last = part.round_start[r], part.round_start[r + 1]
        here = set(part.parents[part.parent_start[first] : part.parent_start[last]])
        at = first
        while at < last:
            end = at
            while end < last and part.kind[end] == chain:
                end += 1
            if end - at > best[0] and end - at >= FEWEST_CHAINS:
                back = any(entry in here for entry in range(at, end))
                if back or not any(entry in used for entry in range(at, end)):
                    best = (end - at, not back)
            at = max(end, at + 1)
    return best
