"""`booklet figures`: a pattern in, its sizes, yarn and cautions out. They are computed in the room figures."""

from __future__ import annotations

import click


@click.command()
@click.argument("file")
@click.option("--size", metavar="NAME", default="", help="One of the pattern's sizes.")
@click.option("--choose", metavar="KEY=VALUE", multiple=True, help="Take one of the pattern's alternatives.")
@click.option("--house", metavar="FILE", help="House file; house.yaml beside the pattern if not given.")
@click.option("--json", "as_json", is_flag=True, help="Print the figures on stdout as an object, for programs.")
@click.pass_context
def figures(
    ctx: click.Context, file: str, size: str, choose: tuple[str, ...], house: str | None, as_json: bool
) -> None:
    """Compute size, yarn, stuffing and cautions of a pattern.

    FILE is a pattern; - reads standard input. Exit status: 0 nothing wrong, 1 the pattern has errors, 2 not done.
    """
    from booklet import pipeline
    from booklet.cli.choose import choices
    from booklet.cli.files import house_file, read_input
    from booklet.cli.terminal import json_on_stdout, on_stderr
    from booklet.diagnostics.codes import severity
    from booklet.reports.figures import figures_json, figures_table
    from booklet.reports.frame import summary

    understood = pipeline.understand(read_input(file), file, house=house_file(file, house), size=size, choices=choices(choose))
    if as_json:
        json_on_stdout(figures_json(understood))
    else:
        on_stderr(figures_table(understood))
        if any(severity(found) == "error" for found in understood.problems):
            on_stderr(f"{summary(understood.problems, file)}: see `booklet check`; these figures rest on it\n")
    ctx.exit(1 if any(severity(found) == "error" for found in understood.problems) else 0)
