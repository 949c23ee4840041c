"""A pattern and its graph (one size, one set of choices) in, all figures out; the verbs of this room are only called here."""

from __future__ import annotations

from booklet.figures.figures import Figures, GaugeUsed, PartFigures
from booklet.figures.gauge import gauges
from booklet.figures.growth import stacked
from booklet.figures.parts import Shape, shape_of
from booklet.figures.placements import placements
from booklet.figures.safety import assess
from booklet.figures.safety_parts import Made
from booklet.figures.shopping import strands, totals
from booklet.figures.size import frames, whole
from booklet.figures.steps import Told, by_part, by_sewn, sentences
from booklet.figures.stuffing import stuffing_g
from booklet.figures.tails import advised, stated_tail
from booklet.figures.yarn import part_yarn
from booklet.graph.graph import Graph, PartGraph
from booklet.pattern.model import Pattern

STACKED = 4  # rounds of increases on one another before corners show (editors' checklist)


def compute(pattern: Pattern, graph: Graph) -> Figures:
    """Everything that a piece measures, weighs and asks for. Never fails; what cannot be told is None.

    Time grows with the number of stitches and rounds: about 10 ms for a toy of 3,000 stitches.
    """
    told = sentences(pattern, graph)
    about = by_part(told)
    gauge, own = gauges(pattern, graph, about)
    only = pattern.yarns[0].code if len(pattern.yarns) == 1 else ""
    sewn = by_sewn(told)
    shapes, parts = [], []
    for index, part in enumerate(graph.parts):
        mine = about.get(index, ())
        used = own[index]
        shape = shape_of(part, mine, used)
        shapes.append(shape)
        parts.append(_figures(part, shape, mine, sewn.get(index, ()), used, only))
    loose = tuple(one for one in told if one.about is None or one.about >= len(graph.parts))
    beside = tuple(strands(loose, gauge, only).items())
    yarn = totals(pattern, graph, tuple(part.yarn_m for part in parts), beside, gauge.path_range)
    hanging = frozenset(part for part, frame in frames(graph, tuple(shapes), told)[1].items() if frame.up < 0)
    filling = [(part.stuffing_g or 0.0) * part.make for part in parts if part.stuffing_g is not None]
    size = whole(graph, tuple(shapes), told)
    return Figures(
        gauge,
        tuple(parts),
        yarn,
        size,
        assess(pattern, graph, told, Made(tuple(parts), size, gauge)),
        sum(filling) if filling else None,
        graph.choices,
        placements(graph, tuple(parts), told, hanging, pattern),
    )


def _figures(
    part: PartGraph, shape: Shape, mine: tuple[Told, ...], sewn: tuple[Told, ...], used: GaugeUsed, only: str
) -> PartFigures:
    profile = shape.profile
    solid = profile is not None and not shape.shape.endswith("flat")
    stuffing = stuffing_g(profile.volume, profile.area, shape.thickness_mm, mine) if profile is not None and solid else 0.0
    if not shape.shape:
        stuffing = None
    area = profile.area if profile is not None else (shape.width_mm or 0.0) * (shape.length_mm or 0.0)
    tail = advised(part, sewn, mine, used)
    yarn = dict(part_yarn(part, mine, used, only, tail))
    for code, length in strands(mine, used, only).items():
        yarn[code] = yarn.get(code, 0.0) + length
    return PartFigures(
        part.name,
        part.make,
        part.stitches(),
        shape.shape,
        shape.width_mm,
        shape.height_mm,
        shape.length_mm,
        shape.rounds,
        profile.volume / 1000 if profile is not None and solid else None,
        area / 100 if shape.shape else None,
        stuffing,
        tuple(yarn.items()),
        part.believed,
        used,
        shape.growth,
        None if part.worked.startswith("oval") else stacked(part, STACKED),  # the ends of an oval are rays by nature
        shape.key_sizes,
        tail,
        stated_tail(mine),
    )
