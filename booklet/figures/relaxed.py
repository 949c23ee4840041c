"""Figures and the graph they come from in, the same figures with every part at rest in space out; only made when asked for."""

from __future__ import annotations

from dataclasses import replace

from booklet.figures.figures import Figures, GaugeUsed, PartFigures, Relaxed
from booklet.figures.heights import height_of
from booklet.figures.mesh import mesh
from booklet.figures.parts import FEW, THICKNESS, joined_on, joined_width, ring_of, straight_of
from booklet.figures.profile import inflated
from booklet.figures.relax import Outline, Shape3, embeds, relax
from booklet.graph.graph import Graph, PartGraph

LARGEST = 20_000  # stitches of a part that is relaxed: it takes about 2 s for 10,000


def relaxed(figures: Figures, graph: Graph) -> Figures:
    """Every part worked in rounds, with the pieces it grows out of, on its springs. Rows and larger parts stay without.

    Takes about 0.2 s for 2,000 stitches, and the time to load numpy and scipy.
    """
    gauges = tuple(part.gauge or figures.gauge for part in figures.parts)
    outlines = {at: _outline(one, figures.parts[at], gauges[at]) for at, one in enumerate(graph.parts) if _round(one)}
    parts = []
    for at, (part, found) in enumerate(zip(graph.parts, figures.parts, strict=True)):
        # What a part grows out of has to be round as well.
        below = {one for one, _ in joined_on(part)}
        fits = at in outlines and below <= set(outlines) and 6 <= found.stitches <= LARGEST
        parts.append(replace(found, relaxed=_part(graph, at, found, gauges, outlines)) if fits else found)
    return replace(figures, parts=tuple(parts))


def _round(part: PartGraph) -> bool:
    totals = [part.total(r) for r in range(1, part.rounds + 1)]
    return bool(totals) and all(n > 0 for n in totals) and not any(way.startswith("row") for way in part.round_way)


def _outline(part: PartGraph, found: PartFigures, gauge: GaugeUsed) -> Outline:
    totals = [part.total(r) for r in range(1, part.rounds + 1)]
    heights = [gauge.round_mm * height_of(part, r) for r in range(1, part.rounds + 1)]
    between = straight_of(part, totals)
    narrow = [max(int(total - 2 * between), 1) for total in totals]
    profile = inflated(narrow, heights, gauge.stitch_mm, shut=_shut(found), ring=ring_of(part, totals))
    return Outline(profile.radius, profile.height, between * gauge.stitch_mm, joined_width(part, totals, gauge))


def _shut(found: PartFigures) -> bool:
    return found.shape.endswith("closed") and found.rounds[-1].total <= FEW


def _part(
    graph: Graph, at: int, found: PartFigures, gauges: tuple[GaugeUsed, ...], outlines: dict[int, Outline]
) -> Relaxed:
    gauge = gauges[at]
    net = mesh(graph.parts, at, gauges, shut=_shut(found))
    shape = relax(net, outlines, gauge.stitch_mm)
    thick = THICKNESS * gauge.stitch_mm
    own = [ring.knots for ring in net.rings if ring.part == at]
    spans = [_across(shape, knots) for knots in own]
    inside = [knot for knots in own for knot in knots]
    tall = shape.points[inside, 2]
    return Relaxed(
        max(width for width, _ in spans) + thick,
        max(depth for _, depth in spans) + thick,
        float(tall.max() - tall.min()) + thick,
        shape.strain,
        shape.strain_most,
        embeds(shape, gauge.stitch_mm),
        tuple(width + thick for width, _ in spans),
    )


def _across(shape: Shape3, knots: tuple[int, ...]) -> tuple[float, float]:
    points = shape.points[list(knots)]
    spans = points.max(axis=0) - points.min(axis=0)
    width, depth = float(spans[0]), float(spans[1])
    return max(width, depth), min(width, depth)
