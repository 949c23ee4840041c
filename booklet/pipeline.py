"""A pattern file in, what it means out, then one booklet an edition; the stages are called here, in order, and nowhere else."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice, product

from booklet.diagnostics.diagnostic import Diagnostic
from booklet.figures import checks as figure_checks
from booklet.figures.compute import compute
from booklet.figures.figures import Figures
from booklet.graph import checks as graph_checks
from booklet.graph.build import build as build_graph
from booklet.graph.graph import Graph
from booklet.graph.settle import settle
from booklet.notation.read import read_pattern
from booklet.notation.tree import Candidates
from booklet.pattern.model import Choice, Pattern
from booklet.pattern.resolve import resolve
from booklet.source.read import read as read_source
from booklet.source.tree import Source
from booklet.tables.language import Language, load, tags
from booklet.tables.limits import limits


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
    source, problems = read_source(data, file)
    found = list(problems)
    house_source = None
    if house is not None:
        house_source, house_problems = read_source(house, house_file)
        found += house_problems
    pattern, resolved = resolve(source, house_source)
    found += resolved
    language = load(pattern.language if pattern.language in tags() else "en-US", pattern.terms)
    candidates = read_pattern(pattern, language)
    graphs, figures = [], []
    for size, choices in _variants(pattern):
        built = build_graph(pattern, settle(pattern, candidates, size, choices), size, choices)
        measured = compute(pattern, built.graph)
        subject = graph_checks.Subject(source, pattern, language, candidates, built.graph)
        found += [*built.problems, *graph_checks.run(subject)]
        found += figure_checks.run(figure_checks.FigureSubject(pattern, language, built.graph, measured))
        graphs.append(built.graph)
        figures.append(measured)
    unique = tuple(dict.fromkeys(found))
    return Understood(source, pattern, language, candidates, graphs[0], figures[0], unique, tuple(graphs[1:]), tuple(figures[1:]))


def _variants(pattern: Pattern) -> list[tuple[int, tuple[Choice, ...]]]:
    """Sizes times choices, the first of each first; never more than shared/limits.toml allows."""
    sizes = range(max(1, len(pattern.sizes)))
    named = [[(key, value) for value in values] for key, values in pattern.choices]
    most = limits()["choices_part"] * len(sizes)
    return [(size, tuple(choice)) for size, choice in islice(product(sizes, product(*named)), most)]
