"""A pattern's gauges, hooks or yarns in, the size of one stitch out; whether that is a likely one is asked by checks/gauge."""

from __future__ import annotations

from itertools import pairwise
from math import pi
from typing import NamedTuple

from booklet.figures.figures import GaugeUsed
from booklet.figures.heights import height_of
from booklet.figures.steps import Told, bare
from booklet.graph.graph import Graph, PartGraph
from booklet.pattern.model import Gauge, Pattern
from booklet.tables.language import fold, load
from booklet.tables.sizes import weights
from booklet.tables.stitches import stitches

# Means of 14 published gauges of dense single crochet, hooks of 2.5 to 6 mm: width 1.39 hooks (± 0.13); a round is 0.96
# of a stitch high (spiral rounds 0.94 to 1.00), a turned row 0.88. Sources: shared/sizes/README.md.
WIDTH_PER_HOOK = 1.4
ROUND_PER_WIDTH = 0.96
ROW_PER_ROUND = 0.92
DEFAULT_HOOK_MM = 3.0  # a guess, for a pattern that states neither gauge nor hook nor yarn
DISC = 6  # stitches that each round of a flat disc of single crochet grows by
FLAT = (0.8, 1.3)  # growth of a piece that may be a disc or a motif of the gauge, in parts of six stitches a round
PATH_RANGE = 0.07  # of the yarn of a stitch that the maker measured (5 to 7 %)


class Gauges(NamedTuple):
    """The stitch of a whole piece, and of those parts that have another one."""

    used: GaugeUsed
    parts: tuple[GaugeUsed, ...]  # in the order of Graph.parts


def gauges(pattern: Pattern, graph: Graph, about: dict[int, tuple[Told, ...]]) -> Gauges:
    """The gauge of the graph's size, and that of each part: its own, else by its own hook, else the piece's."""
    used = gauge_used(pattern, graph)
    hook = _hook(pattern, graph.size)
    own, tools = dict(pattern.gauges), dict(pattern.hooks)
    parts = []
    for index, part in enumerate(graph.parts):
        name = next((key for key in (fold(part.name), bare(part.name)) if key in own), None)
        if name is not None and (found := _stated(own[name], pattern, graph)) is not None:
            parts.append(_with_path(found, pattern, used))
            continue
        told = next((one.step.value("hook_mm") for one in about.get(index, ()) if one.step.name == "hook"), None)
        other = next((tools[key] for key in (fold(part.name), bare(part.name)) if key in tools), told)
        if isinstance(other, int | float) and hook and other > 0 and hook > 0:
            parts.append(hook_scaled(used, other / hook))
        else:
            parts.append(used)
    return Gauges(used, tuple(parts))


def gauge_used(pattern: Pattern, graph: Graph | None = None) -> GaugeUsed:
    """The stitch to compute with: the stated gauge, else the hook (± 20 %), else the yarn's usual toy hook.

    `graph` tells the size, and the rounds that a gauge by rounds needs; without it a disc grows by six.
    """
    size = graph.size if graph is not None else ""
    own = dict(pattern.gauges)
    named = own.get(fold(size)) if size else None
    stated = named or own.get("after blocking") or _first(pattern)
    found = _stated(stated, pattern, graph) if stated is not None else None
    if found is not None:
        before = own.get("before blocking") or (None if named else _first(pattern))
        found = _with_path(found, pattern, (_stated(before, pattern, graph) if before is not None else None) or found)
        hook = _hook(pattern, size)
        if named is None and hook and pattern.hook_mm and hook != pattern.hook_mm:
            return hook_scaled(found, hook / pattern.hook_mm)  # a size that only changes the hook
        return found
    hook, basis = _hook(pattern, size), "hook"
    if not hook or hook <= 0:
        weight = next((yarn.weight for yarn in pattern.yarns if yarn.weight in weights()), None)
        hook, basis = (DEFAULT_HOOK_MM if weight is None else weights()[weight].toy_hook_mm), "default"
    width = WIDTH_PER_HOOK * hook
    height = ROUND_PER_WIDTH * width
    used = GaugeUsed(width, height, ROW_PER_ROUND * height, basis)
    return _with_path(used, pattern, used)


def hook_scaled(used: GaugeUsed, factor: float) -> GaugeUsed:
    """The same gauge with another hook: stitch, round and yarn grow alike (`factor` = new hook by old hook)."""
    return used._replace(
        stitch_mm=used.stitch_mm * factor,
        round_mm=used.round_mm * factor,
        row_mm=used.row_mm * factor,
        path_mm=used.path_mm * factor,
    )


def _first(pattern: Pattern) -> Gauge | None:
    return pattern.gauge or dict(pattern.gauges).get("by rounds")


def _hook(pattern: Pattern, size: str) -> float | None:
    return dict(pattern.hooks).get(fold(size), pattern.hook_mm) if size else pattern.hook_mm


def _with_path(used: GaugeUsed, pattern: Pattern, worked: GaugeUsed) -> GaugeUsed:
    """The yarn of a stitch: measured, else that of the fabric as it was worked (blocking adds none)."""
    if pattern.unravelled_mm:
        return used._replace(path_mm=pattern.unravelled_mm, path_range=PATH_RANGE)
    if worked.stitch_mm != used.stitch_mm or worked.round_mm != used.round_mm:
        return used._replace(path_mm=worked.path)
    return used


def _stated(stated: Gauge, pattern: Pattern, graph: Graph | None) -> GaugeUsed | None:
    if stated.form in ("disc", "square"):
        return _by_rounds(stated, graph)
    if stated.stitches <= 0 or stated.width_mm <= 0:
        return None
    width = stated.width_mm / stated.stitches * (2 if stated.form == "tube" else 1)
    stitch = stitches().get(stated.stitch)
    tall = stitch.height if stitch is not None and stitch.height > 0 else 1.0
    if not stated.rounds or stated.rounds <= 0 or stated.height_mm <= 0:
        height = ROUND_PER_WIDTH * width
        return GaugeUsed(width, height, ROW_PER_ROUND * height, "gauge", form=stated.form)
    height = stated.height_mm / stated.rounds / tall
    if stated.form != "tube" and _in_rows(stated.text, pattern.language):
        return GaugeUsed(width, height / ROW_PER_ROUND, height, "gauge", form="rows")
    return GaugeUsed(width, height, ROW_PER_ROUND * height, "gauge", form=stated.form)


def _by_rounds(stated: Gauge, graph: Graph | None) -> GaugeUsed | None:
    """Rounds 1 to N that lie flat and are so far across: their heights make the radius, their last round makes the edge.

    A flat piece cannot tell the two apart for single crochet: it makes a round .955 of a stitch high.
    """
    if stated.width_mm <= 0 or stated.last < stated.first:
        return None
    way = float(stated.last - stated.first + 1)
    edge = float(DISC * stated.last)
    part = next((one for one in graph.parts if one.rounds >= stated.last and _flat_start(one, stated)), None) if graph else None
    if part is not None:
        way = sum(height_of(part, r) for r in range(stated.first, stated.last + 1))
        edge = float(part.total(stated.last) + (_chains(part, stated.last) if stated.form == "square" else 0))
    around = (4.0 if stated.form == "square" else pi) * stated.width_mm
    if way <= 0 or edge <= 0:
        return None
    height = stated.width_mm / 2 / way
    return GaugeUsed(around / edge, height, ROW_PER_ROUND * height, "gauge", form=stated.form)


def _flat_start(part: PartGraph, stated: Gauge) -> bool:
    """Is it a piece that grows in every one of these rounds, from the middle out?"""
    totals = [part.total(r) + _chains(part, r) for r in range(1, stated.last + 1)]
    grows = all(a < b for a, b in pairwise(totals))
    way = sum(height_of(part, r) for r in range(1, stated.last + 1))
    flat = FLAT[0] <= totals[-1] / (DISC * way) <= FLAT[1] if way else False
    return grows and flat and not part.worked.startswith(("rows", "oval")) and not part.foreign


def _chains(part: PartGraph, r: int) -> int:
    """Chains of a round that are no stitches: corners and spaces of a motif are as wide as a stitch each."""
    first, last = part.round_start[r], part.round_start[r + 1]
    # The first ones only raise the hook.
    at = next((i for i in range(first, last) if part.kinds[part.kind[i]] != "chain"), last)
    return sum(1 for i in range(at, last) if part.kinds[part.kind[i]] == "chain" and not part.counts[i])


def _in_rows(text: str, tag: str) -> bool:
    """Was the swatch turned? Told by the language's own words for rows and rounds; rounds win where both stand there."""
    try:
        words = load(tag).words
    except (KeyError, OSError):
        return False
    kinds = {words[word][1] for word in text.casefold().replace(".", " ").split() if words.get(word, ("", ""))[0] == "header"}
    return "row" in kinds and "round" not in kinds
