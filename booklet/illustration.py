"""A pattern with its graph and figures and an edition in, every drawing of its booklet out; drawings are made in order here, none is drawn.

What the pipeline does for pages, this does for pictures: it calls the verbs of `drawings`, and hands them values of other rooms.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from booklet.drawings.drawing import Drawing, Placed, Put, Said
    from booklet.drawings.outline import OutlineStyle, Shape
    from booklet.editions.discover import Layout
    from booklet.editions.edition import Edition
    from booklet.figures.figures import Figures, PartFigures
    from booklet.graph.graph import Graph
    from booklet.pattern.model import Choice, Pattern


def inks(pattern: Pattern) -> tuple[tuple[str, str], ...]:
    """The ink of every yarn, as its dot in the list of materials is drawn."""
    from booklet.pages.materials import colours

    return tuple((code, colour.fill) for code, colour in colours(pattern).items())


class Shared:
    """What the editions of one pattern have in common, made once: the placing of every chart, the pictures of a layout."""

    def __init__(self) -> None:
        self.pictures: dict[object, object] = {}  # kept by outputs.pictures
        self.placed: dict[tuple[str, tuple[Choice, ...], str], tuple[tuple[Placed, ...], ...]] = {}

    def panels(self, pattern: Pattern, graph: Graph, signs: str = "us") -> tuple[tuple[Placed, ...], ...]:
        """The panels of each part's chart, in symbol widths."""
        from booklet.drawings.place import place
        from booklet.graph.settle import known_stitches
        from booklet.tables.symbols import symbols

        key = (graph.size, graph.choices, signs)
        if key not in self.placed:
            known = known_stitches(pattern)
            self.placed[key] = tuple(place(part, known, symbols(signs)) for part in graph.parts)
        return self.placed[key]


class Drawn(NamedTuple):
    """Every drawing of a booklet; charts, outlines, placements and progress by the index of their part."""

    charts: dict[int, tuple[Drawing, ...]]
    samples: dict[str, Drawing]  # for the legends
    overview: Drawing | None
    placements: dict[int, tuple[Drawing, tuple[Put, ...]]]
    progress: dict[int, Drawing]
    outlines: dict[int, Drawing]  # of parts without progress
    check_bar: Drawing  # printed below pictures at actual size
    cover: Drawing | None  # the parts in their yarns; None where one part is all


def drawings(
    pattern: Pattern, graph: Graph, figures: Figures, layout: Layout, edition: Edition, shared: Shared
) -> Drawn:
    """Draw everything for one edition on one layout."""
    from booklet.drawings.fit import Style
    from booklet.drawings.outline import overview
    from booklet.drawings.sample import sample
    from booklet.drawings.square import cornered
    from booklet.drawings.tiles import sheets
    from booklet.graph.settle import known_stitches
    from booklet.pages.legend import sample_key
    from booklet.tables.symbols import symbols

    known, signs = known_stitches(pattern), symbols(edition.symbols)
    own = () if layout.black else inks(pattern)
    style = Style(*layout.chart_mm, most_mm=layout.symbol_mm, inks=own, left_handed=edition.left_handed)
    if layout.black:
        style = style._replace(ink="#000000", quiet="#000000")
    if not layout.tints:
        style = style._replace(tint="#ffffff")
    charts = {
        index: tuple(sheet for panel in panels for sheet in sheets(panel, style, layout.text_mm, known, signs))
        for index, panels in enumerate(shared.panels(pattern, graph, edition.symbols))
    }
    samples: dict[str, Drawing] = {}
    for drawing in (drawing for panels in charts.values() for drawing in panels):
        for entry in drawing.legend:
            samples.setdefault(sample_key(entry), sample(entry, style, known, signs))
    shapes = [_shape(*one) for one in zip(figures.parts, map(cornered, shared.panels(pattern, graph, edition.symbols)), strict=True)]
    shown = [shape for shape in shapes if shape is not None]
    room = _outlines(layout, layout.chart_mm[0], 0.7 * layout.chart_mm[1])._replace(most=1.0)
    everything = overview(shown, room) if len(shown) > 1 else None
    front = _cover(pattern, graph, figures, layout, shapes) if len(shown) > 1 else None
    return Drawn(charts, samples, everything, *_told(pattern, graph, figures, layout, edition, shapes), front)


def _cover(pattern: Pattern, graph: Graph, figures: Figures, layout: Layout, shapes: Sequence[Shape | None]) -> Drawing:
    """Every part in the colours in which its rounds are worked, with white around them."""
    from booklet.drawings.outline import OutlineStyle
    from booklet.drawings.plate import Worked, plate
    from booklet.pages.colour import main_yarn

    fills = dict(inks(pattern))
    parts = []
    for one, made, shape in zip(figures.parts, graph.parts, shapes, strict=True):
        if shape is not None:
            rounds = [line.n for line in one.rounds] or range(1, made.rounds + 1)
            along = (one.length_mm or 0.0) >= (one.width_mm or 0.0)
            parts.append(Worked(shape, tuple(fills.get(main_yarn(made, number), PLAIN) for number in rounds), along))
    wide, high = layout.cover_mm
    return plate(parts, OutlineStyle(0.8 * wide, 0.74 * high, line_mm=0.35), 0.06 * wide)


PLAIN = "#c9c4bc"  # of a part without a yarn


def _outlines(layout: Layout, width_mm: float, height_mm: float, least: float = 2.6) -> OutlineStyle:
    """How a layout draws outlines."""
    from booklet.drawings.outline import OutlineStyle

    style = OutlineStyle(width_mm, height_mm, type_mm=max(least, layout.lettering_mm))
    # Without grounds the rounds that are being worked keep a trace of grey: nothing else tells them from the rest.
    return style if layout.tints else style._replace(body="#ffffff", shade="#ececec")


def _told(
    pattern: Pattern, graph: Graph, figures: Figures, layout: Layout, edition: Edition, shapes: Sequence[Shape | None]
) -> tuple[dict[int, tuple[Drawing, tuple[Put, ...]]], dict[int, Drawing], dict[int, Drawing], Drawing]:
    """Placement drawings, outlines and the check bar: the drawings that bear words or measures of the edition."""
    from booklet.drawings.outline import OutlineStyle
    from booklet.drawings.placement import check_bar, placement
    from booklet.drawings.progress import abreast, measured, progress, stages
    from booklet.drawings.puts import puts, upside_down
    from booklet.pages import chart_text
    from booklet.pages.wording import words
    from booklet.tables.language import load, page_words

    speech = words(edition, load(edition.languages[0], edition.terms), page_words(edition.languages[0]), pattern.language)
    placed = placings(pattern, graph)
    turned = upside_down(placed, figures)
    placements: dict[int, tuple[Drawing, tuple[Put, ...]]] = {}
    style = _outlines(layout, layout.chart_mm[0], 0.85 * layout.chart_mm[1])
    profiles = {index: _profile(part) for index, part in enumerate(figures.parts)}
    for host, put in puts(placed, graph, figures, edition.left_handed).items():
        if profile := profiles[host]:
            part, closed = graph.parts[host], figures.parts[host].shape.endswith("closed")
            labels, views = part.round_label[1:], chart_text.views(speech)
            placements[host] = placement(part.name, profile, labels, put, style, closed, host in turned, views), put
    grown: dict[int, Drawing] = {}
    whole: dict[int, Drawing] = {}
    plain = _outlines(layout, *layout.outline_mm, least=2.4)._replace(most=_SMALLER)
    small = _outlines(layout, *layout.progress_mm, least=2.4)._replace(most=1.0)
    most = abreast(layout.progress_mm[0], layout.lettering_mm)
    for index, profile in profiles.items():
        steps = stages([one.total for one in figures.parts[index].rounds], most) if profile and all(layout.progress_mm) else ()
        told = [chart_text.stage(graph.parts[index].round_label, step, 2 * profile[step[1] - 1][0], speech) for step in steps]
        closed = figures.parts[index].shape.endswith("closed")
        if drawing := progress(graph.parts[index].name, profile, steps, told, small, closed):
            grown[index] = drawing
        elif (shape := shapes[index]) and (
            drawing := measured(graph.parts[index].name, shape, chart_text.width(_longest(shape), speech), plain)
        ):
            whole[index] = drawing
    return placements, grown, whole, check_bar(speech.text("check_bar"), OutlineStyle(60, 10))


def placings(pattern: Pattern, graph: Graph) -> tuple[Said, ...]:
    """The sentences that put something on a part."""
    from booklet.drawings.drawing import Said
    from booklet.figures.steps import bare, sentences

    notions = {bare(notion.name): notion for notion in pattern.notions}
    found = []
    for told in sentences(pattern, graph):
        step = told.step
        if told.host is None or step.name.split(".")[0] not in _PUT:
            continue
        notion = notions.get(bare(str(step.value("what", ""))))
        number = step.marker.rstrip(".)") if told.section.role == "assembly" else ""
        size, count = (notion.size_mm or 0.0, notion.count or 1) if notion else (0.0, 1)
        found.append(Said(step.name, step.values, told.what, told.host, number, size, count))
    return tuple(found)


_PUT = frozenset(("place", "sew", "embroider", "crochet_in", "joint"))
_SMALLER = 0.7  # mm on paper for a mm of fabric: the outline of a small part does not push its rounds down the page


def _longest(shape: Shape) -> float:
    """How wide a shape is as it is drawn, in mm."""
    return shape.flat_mm[0] if shape.flat_mm else 2 * max(radius for radius, _ in shape.profile)


def _shape(part: PartFigures, square: bool) -> Shape | None:
    """What the overview draws of a part; None where nothing tells its size. What lies flat is round if it is not `square`."""
    from booklet.drawings.outline import Shape

    profile, closed = _profile(part), part.shape.endswith("closed")
    if profile:
        return Shape(profile, closed, part.make, name=part.name)
    sides = (part.length_mm or part.width_mm, part.width_mm)
    if not sides[0] or not sides[1]:
        return None
    flat = (max(sides[0], sides[1]), min(sides[0], sides[1]))
    return Shape((), closed, part.make, flat, part.shape.startswith("oval") or (part.shape == "flat" and not square), part.name)


def _profile(part: PartFigures) -> list[tuple[float, float]]:
    """Radius and height of every round, for parts that are round and not flat."""
    rounds = [(one.radius_mm, one.height_mm) for one in part.rounds]
    if part.shape.startswith("oval") or part.shape in ("flat", "rows", "") or any(None in pair for pair in rounds):
        return []
    return [(radius or 0.0, height or 0.0) for radius, height in rounds]
