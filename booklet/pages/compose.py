"""Comes in: an understood pattern, its figures and drawings, and an edition. Goes out: the Book; no HTML is made here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from booklet.diagnostics.diagnostic import Diagnostic
from booklet.drawings.drawing import Drawing, Put
from booklet.editions.edition import Edition
from booklet.figures.figures import Figures, PartFigures
from booklet.graph.graph import Graph, PartGraph, Settled
from booklet.pages import chart_text, films
from booklet.pages.abbreviations import abbreviations
from booklet.pages.assembly import sections
from booklet.pages.book import Block, Book, Chart, Colour, Cover, Entry, Part, Picture, Ring, Section
from booklet.pages.care import care
from booklet.pages.colophon import colophon
from booklet.pages.colour import accent, main_yarn
from booklet.pages.flow import Context, flow
from booklet.pages.glance import glance, level, size
from booklet.pages.guide import Teach, guide
from booklet.pages.materials import colours, materials
from booklet.pages.measures import length
from booklet.pages.parts import part, plates
from booklet.pages.proof import proof
from booklet.pages.safety import safety
from booklet.pages.trial import trial
from booklet.pages.wording import Words, quotes, words
from booklet.pattern.model import Choice, Pattern
from booklet.pattern.model import Section as Written
from booklet.tables.language import Language, load, tags

# More dots than this are a grey carpet, no ornament.
MOST_DOTS = 4_000
WIDEST_GAP = 4.0  # between two dots, in rounds: farther apart they are no ring any more
FEWEST_RINGS = 4  # fewer fill no cover


def compose(
    pattern: Pattern,
    graph: Graph,
    figures: Figures,
    edition: Edition,
    language: Language,
    page_words: Mapping[str, str],
    *,
    variants: Sequence[tuple[Graph, Figures]] = (),
    charts: Mapping[int, Sequence[Drawing]] | None = None,
    outlines: Mapping[int, Drawing] | None = None,
    samples: Mapping[str, Drawing] | None = None,
    overview: Drawing | None = None,
    placements: Mapping[int, tuple[Drawing, tuple[Put, ...]]] | None = None,
    progress: Mapping[int, Drawing] | None = None,
    check_bar: Drawing | None = None,
    cover: Drawing | None = None,
    findings: Iterable[Diagnostic] = (),
    teach: Teach | None = None,
    card: bool = False,  # it has fields for its maker
) -> Book:
    """Put a booklet together.

    `graph` and `figures` are those of the edition's size and choices, `variants` those of all others; lines, amounts and
    cautions of alternatives that the booklet leaves open are taken from them. Drawings are by part index; `samples` by
    pages.legend.sample_key. Findings are printed in a proof only. KeyError where the page words lack a text.
    """
    speech = words(edition, language, dict(page_words), pattern.language)
    chosen = dict(edition.choices)
    open_ways = ((graph, figures), *(way for way in variants if _open(way[0], graph, chosen)))
    lines = _lines(way[0] for way in open_ways)
    shown = colours(pattern)
    told = guide(pattern, graph, figures, lines, chosen, edition.reader, teach, speech)
    film = films.whole(pattern, speech)
    at = {id(section): number for number, section in enumerate(pattern.sections)}

    def print_steps(section: Written, index: int = -1) -> tuple[Block, ...]:
        beside = told.of(at[id(section)])
        if index < 0:
            return flow(section.steps, Context(speech, {}, chosen, proof=edition.proof, film=pattern.field("video"), **beside))
        one = graph.parts[index]
        drawn = (charts or {}).get(index, ())
        after, last = plates(index + 1, section, _steps(graph, one), drawn, samples or {}, speech)
        fills = _fills(graph, index, shown)
        sizes = _sizes(_steps(graph, one), figures.parts[index] if index < len(figures.parts) else None, speech)
        drawn_to = {"fills": fills, "after": after, "sizes": sizes, **beside}
        context = Context(
            speech, lines.get(index, {}), chosen, proof=edition.proof, short=card, film=pattern.field("video"), **drawn_to
        )  # fmt: skip
        return flow(section.steps, context) + ((last,) if last is not None else ())

    notes, between, finishing = sections(pattern, print_steps, speech)
    parts = tuple(
        part(
            index + 1,
            section,
            print_steps(section, index) + between.get(index, ()),
            graph.parts[index],
            figures.parts[index] if index < len(figures.parts) else None,
            shown,
            (outlines or {}).get(index),
            speech,
            (progress or {}).get(index),
        )
        for index, section in enumerate(pattern.parts)
    )
    needed = materials(pattern, [way[1] for way in open_ways], speech, chosen)
    metres = {line.code: line.length_m for line in figures.yarn}
    every = tuple(block for stretch in (*notes, *parts, *finishing) for block in stretch.blocks)
    return Book(
        language=language.tag,
        title=pattern.title or speech.text("untitled"),
        subtitle=pattern.field("subtitle"),
        designer=pattern.field("designer"),
        keywords=tuple(speech.text("keywords").split(", ")),
        date=pattern.field("date"),
        words=dict(page_words),
        accent=accent([(yarn.drawn, metres.get(yarn.code, 0.0)) for yarn in pattern.yarns]),
        cover=_cover(pattern, graph, figures, speech, cover),
        contents=_contents(parts, finishing, bool(needed.yarns or needed.items), speech),
        glance=glance(pattern, figures, speech),
        materials=needed,
        abbreviations=abbreviations(every, speech),
        notes=notes,
        overview=_overview(overview, speech),
        parts=parts,
        finishing=finishing,
        safety=safety([(_left(way[0], chosen), way[1].safety) for way in open_ways], edition, speech, care(pattern, speech, chosen), card),
        colophon=colophon(pattern, speech),
        proof=proof(findings, speech) if edition.proof else None,
        placements=_placements(placements or {}, pattern, graph, speech),
        check_bar=_check_bar(check_bar, speech),
        direction=language.settings.get("direction", "ltr"),
        reader=edition.reader,
        lessons=told.entries(),
        lessons_note=told.note,
        video=film.address if film else "",
        source=speech.source,
        quotes=quotes(load(pattern.language) if speech.source and pattern.language in tags() else language),
        film=film,
        trial=trial(edition.tester, pattern, figures, needed.yarns, parts, speech) if edition.tester else None,
    )


def _check_bar(drawing: Drawing | None, speech: Words) -> Chart | None:
    if drawing is None:
        return None
    return Chart("check-bar", drawing, drawing.width_mm, drawing.height_mm, speech.text("check_bar"), "")


def _placements(
    drawn: Mapping[int, tuple[Drawing, tuple[Put, ...]]], pattern: Pattern, graph: Graph, speech: Words
) -> tuple[Chart, ...]:
    found = []
    # Drawings of one view are narrow: last, so that they stand beside one another.
    for index, (drawing, put) in sorted(drawn.items(), key=lambda item: (not _two_views(item[1][0]), item[0])):
        title = pattern.parts[index].title
        alt = chart_text.placement(title, graph.parts[index].round_label, put, speech)
        caption = speech.text("placement", part=title)
        found.append(Chart(f"placement-{index + 1}", drawing, drawing.width_mm, drawing.height_mm, alt, caption))
    return tuple(found)


def _two_views(drawing: Drawing) -> bool:
    return any(label.role == "view" for label in drawing.labels)


def _open(variant: Graph, graph: Graph, chosen: Mapping[str, str]) -> bool:
    """Is this another way to make the same size, with the choices that the edition has made?"""
    return variant.size == graph.size and all(chosen.get(key, value) == value for key, value in variant.choices)


def _left(variant: Graph, chosen: Mapping[str, str]) -> tuple[Choice, ...]:
    """The choices of a way that the booklet leaves open."""
    return tuple(choice for choice in variant.choices if choice[0] not in chosen)


def _lines(graphs: Iterable[Graph]) -> dict[int, dict[int, Settled]]:
    """Settled lines by part and step; the first graph that has a line wins."""
    found: dict[int, dict[int, Settled]] = {}
    for graph in graphs:
        for line in graph.settled:
            found.setdefault(line.part, {}).setdefault(line.step, line)
    return found


def _steps(graph: Graph, one: PartGraph) -> dict[int, int]:
    """The step of each round of a part."""
    return {number: graph.settled[line].step for number, line in enumerate(one.round_line) if line >= 0}


HALF_CM = 5.0  # makers measure a soft piece to half a centimetre; common practice, no source


def _sizes(steps: Mapping[int, int], figures: PartFigures | None, speech: Words) -> dict[int, str]:
    """Step index -> how large the piece is when that line is done, for the key rounds that end a line."""
    found: dict[int, str] = {}
    for key in figures.key_sizes if figures is not None else ():
        step = steps.get(key.n)
        if step is None or steps.get(key.n + 1) == step:
            continue
        wide, high = (length(HALF_CM * round(mm / HALF_CM), speech.style) if mm and mm >= 2 * HALF_CM else "" for mm in key[1:])
        texts = [speech.optional("now.wide", size=wide) if wide else "", speech.optional("now.high", size=high) if high else ""]
        if any(texts):
            found[step] = speech.join("comma", texts)
    return found


def _fills(graph: Graph, index: int, shown: Mapping[str, Colour]) -> dict[int, str]:
    """Step index -> colour of the yarn of its last round; empty for a part of one yarn."""
    one = graph.parts[index]
    found: dict[int, str] = {}
    codes: set[str] = set()
    for number in range(one.rounds + 1):
        if one.round_line[number] < 0 or one.round_start[number] == one.round_start[number + 1]:
            continue
        code = main_yarn(one, number)
        codes.add(code)
        if code in shown:
            found[graph.settled[one.round_line[number]].step] = shown[code].fill
    if len(codes) < 2:
        return {}
    # A chain to begin with is made with the yarn of the round that follows it.
    for line in reversed(graph.settled):
        if line.part == index and line.step not in found:
            found[line.step] = next((found[step] for step in sorted(found) if step > line.step), "")
    return found


def _overview(drawing: Drawing | None, speech: Words) -> Chart | None:
    if drawing is None:
        return None
    caption = speech.text("overview")
    return Chart("overview", drawing, drawing.width_mm, drawing.height_mm, caption, caption)


def _cover(pattern: Pattern, graph: Graph, figures: Figures, speech: Words, drawn: Drawing | None) -> Cover:
    path = pattern.field("cover")
    picture = None
    if path:
        alt = speech.text("cover_alt", title=pattern.title)
        picture = Picture(path, alt, span=pattern.fields["cover"].span)
    facts = (level(pattern, speech).value, size(pattern, figures, speech), speech.optional(f"terms_name.{speech.language.terms}"))
    plate = Chart("cover", drawn, drawn.width_mm, drawn.height_mm, speech.text("overview"), "") if drawn is not None else None
    return Cover(picture, _rings(pattern, graph), tuple(fact for fact in facts if fact), plate)


def _rings(pattern: Pattern, graph: Graph) -> tuple[Ring, ...]:
    """The rounds of one part, each in the yarn that most of its stitches have: of the most colourful part, then the largest."""
    round_parts = [one for one in graph.parts if one.worked in ("spiral", "joined") and one.rounds > 1]
    if not round_parts:
        return ()
    largest = max(round_parts, key=lambda one: (len(one.yarns), one.stitches()))
    fills = {code: colour.fill for code, colour in colours(pattern).items()}
    rings: list[Ring] = []
    radius = dots = 0.0
    for number in range(1, largest.rounds + 1):
        total = largest.total(number)
        dots += total
        if not total or dots > MOST_DOTS:
            break
        # A flat round of n stitches, one apart, has this radius; a round that does not grow lies one row further out.
        radius = max(radius + 1, total / 6.2832)
        if 6.2832 * radius / total > WIDEST_GAP:
            break
        rings.append(Ring(fills.get(main_yarn(largest, number), "#8a8580"), round(radius, 3), total))
    return tuple(rings) if len(rings) >= FEWEST_RINGS else ()


def _contents(parts: tuple[Part, ...], finishing: tuple[Section, ...], needed: bool, speech: Words) -> tuple[Entry, ...]:
    entries = [Entry("materials", speech.text("materials"))] if needed else []
    entries.append(Entry("abbreviations", speech.text("abbreviations")))
    entries += [Entry(one.anchor, one.title, one.make, speech.source) for one in parts]
    entries += [Entry(one.anchor, one.title, language=one.language) for one in finishing if one.title]
    return (*entries, Entry("safety", speech.text("safety")))
