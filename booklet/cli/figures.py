"""`booklet figures`: a pattern in, its sizes, yarn and cautions out. They are computed in the room figures."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from booklet.figures.figures import Figures
    from booklet.pipeline import Understood


@click.command()
@click.argument("file")
@click.option("--size", metavar="NAME", default="", help="One of the pattern's sizes.")
@click.option("--choose", metavar="KEY=VALUE", multiple=True, help="Take one of the pattern's alternatives.")
@click.option("--house", metavar="FILE", help="House file; house.yaml beside the pattern if not given.")
@click.option("--json", "as_json", is_flag=True, help="Print the figures on stdout as an object, for programs.")
@click.pass_context
def figures(ctx: click.Context, file: str, size: str, choose: tuple[str, ...], house: str | None, as_json: bool) -> None:
    """Compute size, yarn, stuffing and cautions of a pattern.

    FILE is a pattern; - reads standard input. Exit status: 0 nothing wrong, 1 the pattern has errors, 2 not done.
    """
    from booklet import pipeline
    from booklet.cli.files import house_file, read_input
    from booklet.cli.terminal import json_on_stdout, on_stderr
    from booklet.diagnostics.codes import severity
    from booklet.reports.figures import figures_json, figures_table
    from booklet.reports.frame import summary

    understood = pipeline.understand(read_input(file), file, house=house_file(file, house))
    chosen = _chosen(understood, size, choose)
    wrong = any(severity(found) == "error" for found in understood.problems)
    if as_json:
        asked = bool(size or choose)
        json_on_stdout(figures_json(chosen, () if asked else tuple(_variants(understood))))
    else:
        on_stderr(figures_table(chosen))
        if wrong:
            on_stderr(f"{summary(understood.problems, file)}: see `booklet check`; these figures rest on it\n")
    ctx.exit(1 if wrong else 0)


def _variants(understood: Understood) -> list[tuple[str, tuple[tuple[str, str], ...], Figures]]:
    graphs = zip(understood.variants, understood.variant_figures, strict=True)
    return [(graph.size, graph.choices, figures) for graph, figures in graphs]


def _chosen(understood: Understood, size: str, choose: tuple[str, ...]) -> Figures:
    """The figures of the first size and choices that agree with what was asked for."""
    from booklet.cli.choose import choices, one_of

    size = one_of("size", size, understood.pattern.sizes) if size else ""
    wanted = dict(choices(choose, understood.pattern.choices))
    first = (understood.graph.size, understood.graph.choices, understood.figures)
    for name, made, figures in (first, *_variants(understood)):
        if (not size or name == size) and all(dict(made).get(key, value) == value for key, value in wanted.items()):
            return figures
    return understood.figures
