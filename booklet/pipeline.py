"""A pattern file in, what it means out, then one booklet an edition; the stages are called here, in order, and nowhere else."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice, product
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from booklet.diagnostics.diagnostic import Diagnostic
from booklet.diagnostics.span import START
from booklet.figures import checks as figure_checks
from booklet.figures.compute import compute
from booklet.figures.figures import Figures
from booklet.graph import checks as graph_checks
from booklet.graph.build import build as build_graph
from booklet.graph.graph import Graph, Settled
from booklet.graph.same import Line, changed_elsewhere, differing
from booklet.graph.settle import settle
from booklet.illustration import Shared, drawings, inks, placings
from booklet.notation.read import read_pattern
from booklet.notation.tree import Candidates
from booklet.pattern.model import Choice, Pattern
from booklet.pattern.resolve import resolve
from booklet.source.read import read as read_source
from booklet.source.read import read_house
from booklet.source.tree import Source
from booklet.tables.language import Language, load, page_words, spoken, tags
from booklet.tables.limits import limits

if TYPE_CHECKING:
    from booklet.drawings.drawing import Drawing
    from booklet.editions.discover import Layout
    from booklet.editions.edition import Edition
    from booklet.kits.kit import Answer, Kit
    from booklet.outputs.pictures import Prepared
    from booklet.pages.book import Book
    from booklet.pages.guide import Teach
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


def rescaled(understood: Understood, hook_mm: float | None, yarn: str) -> tuple[Figures, tuple[Figures, ...]]:
    """The figures with another hook and another yarn (`DK (3), 230 m / 100 g`): those of the first variant, and the others.

    Raises ValueError for a yarn of which nothing was understood.
    """
    from booklet.figures.scale import scaled
    from booklet.pattern.yarns import yarns
    from booklet.source.tree import Value

    other = None
    if yarn:
        line = Value("text", f"-, {yarn}", START)
        (other,) = yarns(Value("map", "", START, pairs=((Value("text", "X", START), line),)), [])
        if other.weight is None and not (other.ball_m and other.ball_g):
            raise ValueError(yarn)
    pattern = scaled(understood.pattern, hook_mm, other)
    return compute(pattern, understood.graph), tuple(compute(pattern, graph) for graph in understood.variants)


def relaxed(understood: Understood, figures: Figures, variant: int = 0) -> Figures:
    """The same figures with every part at rest in space; `variant` 0 is the first way to make the pattern."""
    from booklet.figures.relaxed import relaxed as relax

    return relax(figures, (understood.graph, *understood.variants)[variant])


class Made(NamedTuple):
    """A wished form in words, proven by the reader."""

    kind: str
    wished_mm: tuple[float, float]  # width, and height or length (0: not asked for)
    found_mm: tuple[float, float]  # of the lines as they were read again
    totals: tuple[int, ...]
    lines: tuple[str, ...]
    text: str  # a part, ready to paste
    estimated: bool  # there was a hook only


def wished(kind: str, width: float, other: float, gauge: str, hook: str, name: str, tag: str, terms: str) -> Made:
    """The rounds of a form; lengths in mm. Raises ValueError: "small", "large", "low", "gauge" or "hook"."""
    from json import dumps

    from booklet.figures.gauge import gauge_used
    from booklet.figures.wished import Wish, counts, lines
    from booklet.notation.write import write

    entries = {"language": tag, "terms": terms, "hook": hook, "gauge": gauge}
    if any(ord(character) < 32 for character in gauge + hook + name):
        raise ValueError("gauge")
    head = "".join(["---\n", *(f"{key}: {dumps(value, ensure_ascii=False)}\n" for key, value in entries.items() if value), "---\n"])
    pattern, _ = resolve(read_source(head.encode(), "shape.md")[0])
    if gauge and pattern.gauge is None and not pattern.gauges:
        raise ValueError("gauge")
    if not gauge and pattern.hook_mm is None:
        raise ValueError("hook")
    found = counts(Wish(kind, width, other), gauge_used(pattern))
    language = load(tag, terms)
    made = lines(found)
    written = tuple(write(line, language) for line in made)
    text = _pasted(name, kind, found.closed, found.totals, [line.numbers for line in made], written, language)
    read = understand((head + text).encode(), "shape.md")
    (part,) = read.figures.parts
    sizes = part.width_mm or 0.0, (part.length_mm if kind == "oval" else 0.0 if kind == "disc" else part.height_mm) or 0.0
    return Made(kind, (width, other), sizes, found.totals, written, text, not gauge)


ROOM = 12  # stitches that a hand still reaches through to stuff a piece (editors' checklist)


def _pasted(
    name: str,
    kind: str,
    closed: bool,
    totals: tuple[int, ...],
    numbers: list[tuple[int, ...]],
    written: tuple[str, ...],
    language: Language,
) -> str:
    """A part with its sentences: stuffed before the opening is too small, closed or left open at its end."""
    stop = page_words(language.tag)["stop"]

    def said(id: str, **fixed: str) -> str:
        fits = (one.text for one in language.sentences if one.id == id and dict(one.fixed) == fixed and not set("{[(|") & set(one.text))
        return next(fits, "") + stop

    peak = max(totals)
    wide = max(k for k, n in enumerate(totals, 1) if n >= min(peak, ROOM))
    body = [f"## {name}", "", said("worked", how="spiral"), ""]
    stuffed = not closed
    for line, rounds in zip(written, numbers, strict=True):
        if not stuffed and rounds and rounds[0] > wide:
            body += ["", said("stuff", amount="firm"), ""]
            stuffed = True
        body.append(line)
    ends = [] if stuffed else [said("stuff", amount="firm")]
    ends.append(said("fasten_off"))
    ends += [said("close")] if closed else [said("leave_open")] if kind in ("cone", "tube") else []
    return "\n".join([*body, "", " ".join(ends), ""])


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


def read_kit(data: bytes, file: str, kits: int | None) -> tuple[Kit, str, tuple[Diagnostic, ...]]:
    """What a kit file says, its text, and what was found in it; `kits` takes the place of its own number."""
    from booklet.kits.read import read

    source, problems = read_house(data, file)
    made, more = read(source.head, kits)
    return made, source.text, (*problems, *more)


def kit_answer(kit: Kit, pieces: Sequence[tuple[Understood, str, tuple[Choice, ...]]]) -> tuple[Answer, tuple[Diagnostic, ...]]:
    """What to order and to pack; `pieces` are the patterns of the kit in its order, each with its size and choices."""
    from booklet.kits.contents import Piece, contents
    from booklet.kits.order import order

    made = []
    for understood, size, choices in pieces:
        graph, figures, _ = _way(understood, size, choices)
        made.append(Piece(understood.pattern, figures, graph.choices))
    held, problems = contents(kit, tuple(made))
    return order(kit, held), problems


def kit_labels(kit: Kit, pieces: Sequence[tuple[Understood, str, tuple[Choice, ...]]], answer: Answer, sheet: str) -> bytes:
    """Labels for the bags, on a sheet of shared/kits/sheets.tsv. Raises ValueError with what is wrong."""
    from booklet.editions.edition import Edition
    from booklet.outputs.labels import labels
    from booklet.outputs.pdf_fonts import MissingGlyphs
    from booklet.pages.label import labels as label_words
    from booklet.pages.wording import words
    from booklet.tables.kits import sheets

    first = pieces[0][0]
    language = load(kit.languages[0], "") if kit.languages and kit.languages[0] in tags() else first.language
    language = spoken(language)
    speech = words(Edition((language.tag,), ""), language, page_words(language.tag), first.pattern.language)
    made = [
        (_way(one, *rest)[1].safety, tuple(yarn.fibre for yarn in one.pattern.yarns if yarn.fibre))
        for one, *rest in pieces
    ]
    try:
        return labels(label_words(kit, answer, made, speech), sheets()[sheet], kit.title)
    except MissingGlyphs as fault:
        raise ValueError(str(fault)) from fault


def kit_workbook(answer: Answer) -> bytes:
    """The spreadsheet of a kit."""
    from booklet.outputs.workbook import workbook

    return workbook(answer)


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
    from booklet.editions.paper import paper
    from booklet.fitting import laid_out

    say = progress or (lambda _: None)
    layout = paper(edition)
    say(f"setting {edition.layout}")
    book, pictures, problems = _gathered(understood, edition, layout, folder, shared or Shared())
    say(f"laying out {edition.layout}")
    rendered, told = laid_out(book, layout, pictures)
    say(f"writing {edition.layout}")
    written = rendered.write()
    if layout.sheet is None:
        return Built(written.data, written.page_count, (*problems, *told))
    from booklet.press.leaflet import on_sheets

    return Built(*on_sheets(written.data, layout.sheet), (*problems, *told))


def set_pages(
    understood: Understood, edition: Edition, layout: Layout, folder: Path, shared: Shared
) -> tuple[str, dict[str, bytes], tuple[Diagnostic, ...]]:
    """The finished HTML of one edition and the files that it names, before any layout."""
    from booklet.outputs.html import html

    book, pictures, problems = _gathered(understood, edition, layout, folder, shared)
    return *html(book, layout, pictures), problems


def _gathered(
    understood: Understood, edition: Edition, layout: Layout, folder: Path, shared: Shared
) -> tuple[Book, dict[tuple[str, str], Prepared], tuple[Diagnostic, ...]]:
    """The page model of one edition and its prepared pictures."""
    from booklet.outputs.pictures import gather

    book, told = _in_all_languages(understood, edition, layout, folder, shared)
    pictures, problems = gather(book, layout, folder, shared.pictures)
    return book, pictures, (*told, *problems)


def _in_all_languages(
    understood: Understood, edition: Edition, layout: Layout, folder: Path, shared: Shared
) -> tuple[Book, tuple[Diagnostic, ...]]:
    """The page model of an edition; of a card, with what it says in its further languages."""
    book, told = book_of(understood, edition, layout, folder, shared, every_line=layout.screen)
    if not layout.card_sides or len(edition.languages) == 1:
        return book, told
    from booklet.editions.tongues import further
    from booklet.pages.tongues import joined

    others = [book_of(understood, one, layout, folder, shared) for one in further(edition)]
    found = dict.fromkeys(problem for _, problems in ((book, told), *others) for problem in problems)
    return joined(book, [one for one, _ in others], edition.rounds_in == "all"), tuple(found)


def book_of(
    understood: Understood, edition: Edition, layout: Layout, folder: Path, shared: Shared, *, every_line: bool = False
) -> tuple[Book, tuple[Diagnostic, ...]]:
    """The page model of one edition as its market may have it and its catalogue says it; with `every_line` in plain words too."""
    from booklet.translation import localised

    edition, allowed = for_market(understood, edition)
    told = localised(understood, edition, folder)
    book = compose_book(told.understood, edition, layout, shared, told.words, every_line=every_line)
    return book, (*allowed, *told.problems)


def for_market(understood: Understood, edition: Edition) -> tuple[Edition, tuple[Diagnostic, ...]]:
    """The edition with the alternatives that its market lets through, and notes of what was taken."""
    from booklet.pages.market import allowed

    return allowed(edition, [(graph.choices, figures.safety) for graph, figures in _ways(understood)], understood.pattern.choices)


def compose_book(
    understood: Understood, edition: Edition, layout: Layout, shared: Shared, own: Mapping[str, str] | None = None,
    *, every_line: bool = False,
) -> Book:
    """The page model of one edition. `own` are page words that only this pattern has."""
    from booklet.pages.compose import compose

    graph, figures, others = _way(understood, edition.size, edition.choices)
    language = load(edition.languages[0], edition.terms)
    drawn = drawings(understood.pattern, graph, figures, layout, edition, shared)
    return compose(
        understood.pattern,
        graph,
        figures,
        edition,
        language,
        {**page_words(edition.languages[0]), **(own or {})},
        variants=others,
        charts=drawn.charts,
        outlines=drawn.outlines,
        samples=drawn.samples,
        overview=drawn.overview,
        placements=drawn.placements,
        progress=drawn.progress,
        check_bar=drawn.check_bar,
        cover=drawn.cover,
        findings=understood.problems,
        teach=_teach(understood, graph, language, edition)._replace(every_line=every_line)
        if every_line or edition.reader == "first-timer"
        else None,
        card=bool(layout.card_sides),
    )


def _teach(understood: Understood, graph: Graph, language: Language, edition: Edition) -> Teach:
    """What the lessons of a first-timer's booklet are made with."""
    from functools import partial

    from booklet.drawings.technique import panels
    from booklet.notation.plain import plain_words
    from booklet.pages.guide import Teach
    from booklet.tables.techniques import drawing

    def draw(name: str) -> tuple[tuple[int, Drawing], ...]:
        return panels(name, drawing(name), edition.left_handed)

    return Teach(partial(plain_words, language=language), draw, placings(understood.pattern, graph))


def _ways(understood: Understood) -> list[tuple[Graph, Figures]]:
    """Every way to make the pattern: its sizes and choices, the usual one first."""
    return [(understood.graph, understood.figures), *zip(understood.variants, understood.variant_figures, strict=True)]


def _way(
    understood: Understood, size: str, choices: Collection[Choice]
) -> tuple[Graph, Figures, tuple[tuple[Graph, Figures], ...]]:
    """The graph and figures of one size and some choices, the first way where none has them; and all other ways."""
    ways = _ways(understood)
    fits = ((not size or graph.size == size) and set(choices) <= set(graph.choices) for graph, _ in ways)
    graph, figures = ways.pop(next((at for at, fit in enumerate(fits) if fit), 0))
    return graph, figures, tuple(ways)


class NotDrawn(Exception):
    """A picture that cannot be made, and why."""


class Chart(NamedTuple):
    """One drawing of `booklet chart`: what is drawn, and the words for those who hear it."""

    drawing: Drawing
    title: str
    description: str


def charts(understood: Understood, edition: Edition, parts: Sequence[int], width_mm: float | None = None) -> tuple[Chart, ...]:
    """The charts of some parts (indices), in order. With a width, every drawing is exactly so wide, all of a part at one scale."""
    from booklet.drawings.fit import Style, fit, widened
    from booklet.graph.settle import known_stitches
    from booklet.pages import chart_text
    from booklet.pages.wording import words
    from booklet.tables.language import page_words
    from booklet.tables.symbols import symbols

    graph, _, _ = _way(understood, edition.size, edition.choices)
    language = load(edition.languages[0], edition.terms)
    speech = words(edition, language, page_words(language.tag), understood.pattern.language)
    known, signs = known_stitches(understood.pattern), symbols(edition.symbols)
    free = Style(_WIDE, _WIDE, inks=inks(understood.pattern), left_handed=edition.left_handed)
    placed = Shared().panels(understood.pattern, graph, edition.symbols)
    found: list[Chart] = []
    for index in parts:
        panels, name = placed[index], graph.parts[index].name
        style = free if width_mm is None else widened(free, panels, width_mm)
        for panel in panels:
            drawing = fit(panel, style, known, signs)
            found.append(Chart(drawing, chart_text.title(drawing, name, speech), chart_text.alternative(drawing, name, speech)))
    return tuple(found)


def charts_as_object(made: Sequence[Chart]) -> dict[str, Any]:
    """What is drawn, for programs."""
    from booklet.drawings.as_json import charts_as_json

    return charts_as_json(tuple(one.drawing for one in made))


def chart_svg(chart: Chart, name: str) -> str:
    """The text of an SVG file; `name` begins its ids."""
    from booklet.outputs.svg import FONT, svg

    return svg(chart.drawing, chart.title, chart.description, name, font=FONT)


def chart_png(chart: Chart) -> bytes:
    """The bytes of a PNG file. Raises NotDrawn where the picture would be too large."""
    from booklet.outputs.pdf import OutputFault
    from booklet.outputs.pdf_picture import png
    from booklet.outputs.svg import FONT, svg

    try:
        return png(svg(chart.drawing, "", "", font=FONT), chart.title, chart.description)
    except OutputFault as fault:
        raise NotDrawn(str(fault)) from fault


_WIDE = 1e6  # mm: room without end
