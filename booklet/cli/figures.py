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
@click.option("--hook", metavar="MM", default="", help="Compute everything for another hook: 4 mm.")
@click.option("--yarn", metavar="WORDS", default="", help="Compute everything for another yarn: 'DK (3), 230 m / 100 g'.")
@click.option("--relax", is_flag=True, help="Let every part come to rest in space as well: hips, ovals, one-sided shaping. Slower.")
@click.option("--units", type=click.Choice(["metric", "imperial", "both"]), help="Units of the table; the language's own if not given.")
@click.option("--house", metavar="FILE", help="House file; house.yaml beside the pattern if not given.")
@click.option("--json", "as_json", is_flag=True, help="Print the figures on stdout as an object, for programs.")
@click.pass_context
def figures(
    ctx: click.Context,
    file: str,
    size: str,
    choose: tuple[str, ...],
    hook: str,
    yarn: str,
    relax: bool,
    units: str | None,
    house: str | None,
    as_json: bool,
) -> None:
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
    first, others = _scaled(understood, hook, yarn)
    at = _chosen(understood, size, choose)
    chosen = (first, *others)[at]
    if relax:
        chosen = pipeline.relaxed(understood, chosen, at)
    wrong = any(severity(found) == "error" for found in understood.problems)
    if as_json:
        rest = () if size or choose else zip(understood.variants, others, strict=True)
        json_on_stdout(figures_json(chosen, tuple((graph.size, graph.choices, found) for graph, found in rest)))
    else:
        on_stderr(figures_table(chosen, units or understood.language.settings.get("units", "metric")))
        if wrong:
            on_stderr(f"{summary(understood.problems, file)}: see `booklet check`; these figures rest on it\n")
    ctx.exit(1 if wrong else 0)


def _scaled(understood: Understood, hook: str, yarn: str) -> tuple[Figures, tuple[Figures, ...]]:
    """All figures, for the pattern's own hook and yarn or for those that were asked for."""
    if not hook and not yarn:
        return understood.figures, understood.variant_figures
    from booklet import pipeline
    from booklet.cli.files import Refused
    from booklet.cli.lengths import length

    size = length("--hook", hook, 0.4, 40.0) if hook else None
    try:
        return pipeline.rescaled(understood, size, yarn)
    except ValueError as fault:
        raise Refused(f"--yarn {yarn!r}: give a weight, or metres and grams of a ball, such as 'DK (3), 230 m / 100 g'.") from fault


def _chosen(understood: Understood, size: str, choose: tuple[str, ...]) -> int:
    """Which way to make the pattern agrees with what was asked for, the first one is 0."""
    from booklet.cli.choose import choices, one_of

    size = one_of("size", size, understood.pattern.sizes) if size else ""
    wanted = dict(choices(choose, understood.pattern.choices))
    for at, graph in enumerate((understood.graph, *understood.variants)):
        if (not size or graph.size == size) and all(dict(graph.choices).get(key, value) == value for key, value in wanted.items()):
            return at
    return 0
