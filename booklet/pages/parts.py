"""Comes in: a part, its graph, figures and drawings. Goes out: the part as it is printed; rounds and prose come from flow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from booklet.drawings.drawing import Drawing
from booklet.figures.figures import PartFigures
from booklet.graph.graph import PartGraph
from booklet.pages import chart_text, measures
from booklet.pages.book import Block, Chart, Colour, Part, Plate
from booklet.pages.legend import legend
from booklet.pages.wording import Words
from booklet.pattern.model import Section

# A chart that shows at most this many rounds more than one is small. Chosen by eye.
FEW = 3


def part(
    number: int,
    section: Section,
    blocks: tuple[Block, ...],
    graph: PartGraph,
    figures: PartFigures | None,
    colours: Mapping[str, Colour],
    outline: Drawing | None,
    words: Words,
    progress: Drawing | None = None,
) -> Part:
    """One part; `number` counts from 1, `blocks` hold its charts too."""
    used = [colours[code] for code in graph.yarns if code in colours]
    return Part(
        anchor=f"part-{number}",
        number=number,
        title=section.title,
        make=words.text("make", n=section.make) if section.make > 1 else "",
        differs=tuple(section.differs) if words.same else (),
        size=_size(figures, words),
        stitches=words.plural("stitches_of", figures.stitches) if figures and figures.stitches else "",
        colours=tuple(used),
        outline=_outline(number, section, outline, words),
        blocks=blocks,
        progress=_progress(number, section, progress, words),
    )


def _size(figures: PartFigures | None, words: Words) -> str:
    """Width by height, or by length for what lies flat; an oval with an edge has all three."""
    if figures is None:
        return ""
    flat = figures.shape in ("flat", "rows", "oval flat")
    sides = (figures.width_mm, figures.length_mm) if flat else (figures.width_mm, figures.height_mm)
    if figures.shape.startswith("oval") and not flat:
        sides = (figures.length_mm, *sides)
    lengths = tuple(mm for mm in sides if mm)
    if not lengths:
        return ""
    if flat and len(lengths) == 1 and figures.shape == "flat":
        return words.text("about", what=words.text("size.across", size=measures.length(lengths[0], words.style)))
    return words.text("about", what=measures.across(lengths, words.style))


def _outline(number: int, section: Section, drawing: Drawing | None, words: Words) -> Chart | None:
    if drawing is None:
        return None
    alt = words.text("outline_alt", part=section.title)
    return Chart(f"outline-{number}", drawing, drawing.width_mm, drawing.height_mm, alt, "")


def _progress(number: int, section: Section, drawing: Drawing | None, words: Words) -> Chart | None:
    if drawing is None:
        return None
    alt = chart_text.progress(drawing, section.title, words)
    return Chart(f"progress-{number}", drawing, drawing.width_mm, drawing.height_mm, alt, "")


def _chart(name: str, section: Section, drawing: Drawing, count: int, words: Words) -> Chart:
    """The caption names the rounds by their printed numbers, which need not begin at 1."""
    whole = words.text("chart", part=section.title)
    caption = words.join("comma", (chart_text.stretch(drawing, words) if count > 1 else whole, chart_text.tile(drawing, words)))
    alt = chart_text.alternative(drawing, section.title, words)
    table = chart_text.table(drawing, words) if _last_sheet(drawing) else ()  # one table for all sheets
    return Chart(name, drawing, drawing.width_mm, drawing.height_mm, alt, caption, table)


def _last_sheet(drawing: Drawing) -> bool:
    """True for a whole chart too."""
    tile = drawing.tile
    return tile is None or (tile.column, tile.row) == (tile.columns, tile.rows)


def _plate(charts: Sequence[tuple[Chart, Drawing]], samples: Mapping[str, Drawing], words: Words) -> Plate:
    drawings = [drawing for _, drawing in charts]
    # One sentence for each form that occurs.
    forms = dict.fromkeys(drawing.form for drawing in drawings)
    reading = " ".join(filter(None, (chart_text.reading(form, words) for form in forms)))
    return Plate(tuple(chart for chart, _ in charts), reading, legend(drawings, samples, words))


def plates(
    number: int,
    section: Section,
    steps: Mapping[int, int],
    charts: Sequence[Drawing],
    samples: Mapping[str, Drawing],
    words: Words,
) -> tuple[dict[int, Plate], Plate | None]:
    """Where the charts of a part stand: after the step of their last round, the last one at the end of the part.

    `steps` leads from a round to its step. A chart of a few rounds stands beside the next one.
    """
    made = [
        (_chart(f"chart-{number}-{place}", section, drawing, len(charts), words), drawing)
        for place, drawing in enumerate(charts, 1)
    ]
    after: dict[int, Plate] = {}
    held: list[tuple[Chart, Drawing]] = []
    for place, (chart, drawing) in enumerate(made, 1):
        held.append((chart, drawing))
        first, last = drawing.rounds
        step = steps.get(last)
        # The sheets of one chart stay together.
        if _last_sheet(drawing) and place < len(made) and last - first >= FEW and step is not None and step not in after:
            after[step] = _plate(held, samples, words)
            held = []
    return after, _plate(held, samples, words) if held else None
