"""A pattern file in, what it means out, then one booklet an edition; the stages are called here, in order, and nowhere else."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from itertools import islice, product
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic
from booklet.figures import checks as figure_checks
from booklet.figures.compute import compute
from booklet.figures.figures import Figures, PartFigures
from booklet.graph import checks as graph_checks
from booklet.graph.build import build as build_graph
from booklet.graph.graph import Graph, Settled
from booklet.graph.same import Line, changed_elsewhere, differing
from booklet.graph.settle import settle
from booklet.notation.read import read_pattern
from booklet.notation.tree import Candidates
from booklet.pattern.model import Choice, Pattern
from booklet.pattern.resolve import resolve
from booklet.source.read import read as read_source
from booklet.source.read import read_house
from booklet.source.tree import Source
from booklet.tables.language import Language, load, tags
from booklet.tables.limits import limits

if TYPE_CHECKING:
    from booklet.drawings.drawing import Drawing, Placed
    from booklet.editions.discover import Layout
    from booklet.editions.edition import Edition
    from booklet.pages.book import Book
    from booklet.reports.mending import Mend


@dataclass(frozen=True, slots=True)
class Understood:
    """What a file means, for its first size and the first of each choice; `variants` hold the others."""

    source: Source
    pattern: Pattern
    language: Language  # of the source
    candidates: dict[tuple[int, int], Candidates]
    graph: Graph
    figures: Figures
    problems: tuple[Diagnostic, ...]
    variants: tuple[Graph, ...] = ()
    variant_figures: tuple[Figures, ...] = ()  # one for each of `variants`


def understand(data: bytes, file: str, *, house: bytes | None = None, house_file: str = "house.yaml") -> Understood:
    """Read, settle, prove and measure a pattern. Never fails on a pattern's account: what is wrong is in `problems`."""
    source, pattern, language, candidates, found = _read(data, file, house, house_file)
    graphs: list[Graph] = []
    figures: list[Figures] = []
    vary = _choices_vary_lines(pattern)
    for size, choices in _variants(pattern):
        same = None if vary else next((graph for graph in graphs if graph.size == _size(pattern, size)), None)
        if same is None:
            built = build_graph(pattern, settle(pattern, candidates, size, choices), size, choices)
            # Where no line depends on a choice, one look with no choice made sees the steps of all alternatives.
            looked = built.graph if vary else replace(built.graph, choices=())
            subject = graph_checks.Subject(source, pattern, language, candidates, looked)
            found += [*built.problems, *graph_checks.run(subject)]
            graphs.append(built.graph)
        else:
            graphs.append(replace(same, choices=choices))
        measured = compute(pattern, graphs[-1])
        found += figure_checks.run(figure_checks.FigureSubject(pattern, language, graphs[-1], measured))
        figures.append(measured)
    unique = tuple(dict.fromkeys(found))
    return Understood(source, pattern, language, candidates, graphs[0], figures[0], unique, tuple(graphs[1:]), tuple(figures[1:]))


def _read(
    data: bytes, file: str, house: bytes | None, house_file: str
) -> tuple[Source, Pattern, Language, dict[tuple[int, int], Candidates], list[Diagnostic]]:
    """Everything that is understood before a stitch is counted, and what was found on the way."""
    source, problems = read_source(data, file)
    found = list(problems)
    house_source = None
    if house is not None:
        house_source, house_problems = read_house(house, house_file)
        found += house_problems
    pattern, resolved = resolve(source, house_source)
    found += resolved
    language = load(pattern.language if pattern.language in tags() else "en-US", pattern.terms)
    return source, pattern, language, read_pattern(pattern, language), found


# Sentences that change how the lines after them are worked.
_WORKING = frozenset(("yarn.with", "yarn.change", "worked", "as_part", "stripes"))


def _choices_vary_lines(pattern: Pattern) -> bool:
    """Does any round depend on a choice? Mostly only eyes and mouths do, and the rounds are the same for all."""
    steps = (step for part in pattern.parts for step in part.steps if step.choices)
    return any(step.kind == "line" or step.name in _WORKING for step in steps)


def _size(pattern: Pattern, size: int) -> str:
    return pattern.sizes[size] if pattern.sizes else ""


def _variants(pattern: Pattern) -> list[tuple[int, tuple[Choice, ...]]]:
    """Sizes times choices, the first of each first; never more than shared/limits.toml allows."""
    sizes = range(max(1, len(pattern.sizes)))
    named = [[(key, value) for value in values] for key, values in pattern.choices]
    most = limits()["choices_part"] * len(sizes)
    return [(size, tuple(choice)) for size, choice in islice(product(sizes, product(*named)), most)]


class Mended(NamedTuple):
    """A pattern with mends in it, read again."""

    data: bytes  # the whole new file; without meaning where nothing was done
    understood: Understood  # of the new file; what was handed in where nothing was done
    done: tuple[Mend, ...]  # the places are those of the text in which they were found
    left: tuple[Mend, ...]  # asked for, or certain, but not made: another mend has touched the same words


class ReadBackFault(Exception):
    """A mended text does not say what it should: our fault, and nothing may be written."""


_NOT_A_TEXT = frozenset(("not-text", "file-too-large", "empty-file"))
_ROUNDS_OF_MENDS = 4  # mends that wait for others on the same words; each round costs a reading


def mend(understood: Understood, codes: Collection[str] = (), *, house: bytes | None = None, house_file: str = "house.yaml") -> Mended:
    """Make the mends that are certain (no line changes its tree or its numbers), or all those of some codes, and read the text again.

    Certain is a mend of style or spelling after which every line was read and settled as before. Raises ReadBackFault.
    """
    from booklet.diagnostics.codes import page
    from booklet.reports import mending

    source = understood.source
    if any(found.code in _NOT_A_TEXT for found in understood.problems):
        return Mended(b"", understood, (), ())

    def encoded(text: str) -> bytes:
        return (b"\xef\xbb\xbf" if source.byte_order_mark else b"") + text.encode()

    def again(text: str) -> Understood:
        return understand(encoded(text), source.file, house=house, house_file=house_file)

    if codes:
        asked = mending.mends(understood.problems, lambda found: found.code in codes)
        applied = mending.apply(source.text, asked, source.line_end)
        if not applied.done:
            return Mended(b"", understood, (), applied.left)
        after = again(applied.text)
        touched = {edit.span.line for one in applied.done for edit in one.edits}
        fault = changed_elsewhere(_lines(understood), _lines(after), touched)
        if fault:
            raise ReadBackFault(fault)
        return Mended(encoded(applied.text), after, applied.done, applied.left)

    before = _all_settled(understood)

    def agrees(chosen: Sequence[Mend], text: str) -> bool:
        data = encoded(mending.apply(text, chosen, source.line_end).text)
        settled = _settled_only(data, source.file, house, house_file)
        return len(settled) == len(before) and not any(differing(old, new) for old, new in zip(before, settled, strict=True))

    now, done, left = understood, (), ()
    for _ in range(_ROUNDS_OF_MENDS):
        text = now.source.text
        asked = mending.mends(now.problems, lambda found: page(found.code).certain)
        applied = mending.apply(text, mending.certain(asked, lambda chosen, text=text: agrees(chosen, text)), source.line_end)
        left = applied.left
        if not applied.done or applied.text == text:
            break
        now, done = again(applied.text), (*done, *applied.done)
    read_back = _all_settled(now)
    if len(read_back) != len(before) or any(differing(old, new) for old, new in zip(before, read_back, strict=True)):
        raise ReadBackFault("after the mends a line is read otherwise than before")
    return Mended(encoded(now.source.text), now, done, left)


def _all_settled(understood: Understood) -> tuple[tuple[Settled, ...], ...]:
    return tuple(graph.settled for graph in (understood.graph, *understood.variants))


def _settled_only(data: bytes, file: str, house: bytes | None, house_file: str) -> list[tuple[Settled, ...]]:
    """The settled lines of every size and choice; no stitch is placed and nothing is measured."""
    _, pattern, _, candidates, _ = _read(data, file, house, house_file)
    vary = _choices_vary_lines(pattern)
    by_size: dict[object, tuple[Settled, ...]] = {}
    found = []
    for size, choices in _variants(pattern):
        key = (size, choices) if vary else size
        if key not in by_size:
            by_size[key] = settle(pattern, candidates, size, choices)
        found.append(by_size[key])
    return found


def _lines(understood: Understood) -> tuple[Line, ...]:
    """Every instruction with its place, its readings, and what it settled as for each size and choice."""
    parts = understood.pattern.parts
    settled: dict[tuple[int, int], list[Settled]] = {}
    for line in (line for lines in _all_settled(understood) for line in lines):
        settled.setdefault((line.part, line.step), []).append(line)
    return tuple(
        Line(parts[part].steps[step].span, found.readings, tuple(settled.get((part, step), ())))
        for (part, step), found in sorted(understood.candidates.items())
    )


class Built(NamedTuple):
    """One finished booklet."""

    data: bytes
    pages: int
    problems: tuple[Diagnostic, ...]  # what only a layout can find: pictures that are missing or too coarse


def build(
    understood: Understood, edition: Edition, folder: Path, progress: Callable[[str], None] | None = None, shared: Shared | None = None
) -> Built:
    """Make one edition. `folder` is where the pattern's pictures are; `shared` keeps what several editions have in common.

    Raises outputs.pdf_fonts.MissingGlyphs and outputs.pdf.OutputFault: nothing is written then.
    """
    from booklet.editions.discover import layout as read_layout
    from booklet.outputs.pdf import render

    say = progress or (lambda _: None)
    layout = read_layout(edition.layout)
    say(f"setting {edition.layout}")
    page, files, problems = set_pages(understood, edition, layout, folder, shared or Shared())
    say(f"laying out {edition.layout}")
    rendered = render(page, files).fill_up(layout.multiple)
    say(f"writing {edition.layout}")
    written = rendered.write()
    return Built(written.data, written.page_count, problems)


def set_pages(
    understood: Understood, edition: Edition, layout: Layout, folder: Path, shared: Shared
) -> tuple[str, dict[str, bytes], tuple[Diagnostic, ...]]:
    """The finished HTML of one edition and the files that it names, before any layout."""
    from booklet.outputs.html import html
    from booklet.outputs.pictures import gather

    book = compose_book(understood, edition, layout, shared)
    pictures, problems = gather(book, layout, folder)
    page, files = html(book, layout, pictures)
    return page, files, problems


def compose_book(understood: Understood, edition: Edition, layout: Layout, shared: Shared) -> Book:
    """The page model of one edition."""
    from booklet.pages.compose import compose
    from booklet.tables.language import page_words

    graph, figures, others = _way(understood, edition)
    language = load(edition.languages[0], edition.terms)
    charts, outlines, samples, overview = _drawings(understood, graph, figures, layout, edition, shared)
    return compose(
        understood.pattern,
        graph,
        figures,
        edition,
        language,
        page_words(edition.languages[0]),
        variants=others,
        charts=charts,
        outlines=outlines,
        samples=samples,
        overview=overview,
        findings=understood.problems,
    )


def _way(understood: Understood, edition: Edition) -> tuple[Graph, Figures, tuple[tuple[Graph, Figures], ...]]:
    """The graph and figures of an edition's size and choices, and those of all other ways to make the pattern."""
    ways = [(understood.graph, understood.figures), *zip(understood.variants, understood.variant_figures, strict=True)]
    chosen = dict(edition.choices)

    def fits(graph: Graph) -> bool:
        made = dict(graph.choices)
        return (not edition.size or graph.size == edition.size) and all(made.get(key) == value for key, value in chosen.items())

    at = next((i for i, (graph, _) in enumerate(ways) if fits(graph)), 0)
    graph, figures = ways.pop(at)
    return graph, figures, tuple(ways)


class Shared:
    """What the editions of one pattern have in common, made once: the placing of every chart."""

    def __init__(self) -> None:
        self.placed: dict[tuple[str, tuple[Choice, ...]], tuple[tuple[Placed, ...], ...]] = {}

    def panels(self, understood: Understood, graph: Graph) -> tuple[tuple[Placed, ...], ...]:
        """The panels of each part's chart, in symbol widths."""
        from booklet.drawings.place import place
        from booklet.graph.settle import known_stitches
        from booklet.tables.symbols import symbols

        key = (graph.size, graph.choices)
        if key not in self.placed:
            known = known_stitches(understood.pattern)
            self.placed[key] = tuple(place(part, known, symbols()) for part in graph.parts)
        return self.placed[key]


def _drawings(
    understood: Understood, graph: Graph, figures: Figures, layout: Layout, edition: Edition, shared: Shared
) -> tuple[dict[int, tuple[Drawing, ...]], dict[int, Drawing], dict[str, Drawing], Drawing | None]:
    """Charts and outlines by part, samples of symbols for the legends, and all parts at one scale."""
    from booklet.drawings.fit import Style, fit
    from booklet.drawings.outline import OutlineStyle, outline, overview
    from booklet.drawings.sample import sample
    from booklet.graph.settle import known_stitches
    from booklet.pages.legend import sample_key
    from booklet.pages.materials import colours
    from booklet.tables.symbols import symbols

    known, signs = known_stitches(understood.pattern), symbols()
    inks = tuple((code, colour.fill) for code, colour in colours(understood.pattern).items())
    style = Style(*layout.chart_mm, most_mm=layout.symbol_mm, inks=inks, left_handed=edition.left_handed)
    charts = {
        index: tuple(fit(panel, style, known, signs) for panel in panels)
        for index, panels in enumerate(shared.panels(understood, graph))
    }
    samples: dict[str, Drawing] = {}
    for drawing in (drawing for panels in charts.values() for drawing in panels):
        for entry in drawing.legend:
            samples.setdefault(sample_key(entry), sample(entry, style, known, signs))
    small = OutlineStyle(*layout.outline_mm)
    profiles = {index: _profile(part) for index, part in enumerate(figures.parts)}
    outlines = {
        index: outline(profile, small, closed=figures.parts[index].shape.endswith("closed"))
        for index, profile in profiles.items()
        if profile
    }
    shown = [(profile, figures.parts[i].shape.endswith("closed"), figures.parts[i].make) for i, profile in profiles.items() if profile]
    everything = overview(shown, OutlineStyle(*layout.chart_mm)) if len(shown) > 1 else None
    return charts, outlines, samples, everything


def _profile(part: PartFigures) -> list[tuple[float, float]]:
    """Radius and height of every round, for parts that are round and not flat."""
    rounds = [(one.radius_mm, one.height_mm) for one in part.rounds]
    if part.shape.startswith("oval") or part.shape in ("flat", "rows", "") or any(None in pair for pair in rounds):
        return []
    return [(radius or 0.0, height or 0.0) for radius, height in rounds]
