"""`booklet build`: pattern files in, one booklet an edition out as files. Pages and print are made by the pipeline."""

from __future__ import annotations

import click

from booklet.cli.build_options import options


@click.command()
@options
@click.pass_context
def build(ctx: click.Context, as_json: bool, **settings: object) -> None:
    """Make booklets that are ready to print: one for each FILE, language, terms, layout and format.

    Prints the path of each file that was written, one a line. An existing file is replaced whole. A pattern with errors
    is built with --proof only. Exit status: 0 nothing wrong, 1 the pattern has errors, 2 it could not be done.
    """
    from booklet.cli.build_plan import plan
    from booklet.cli.build_run import run
    from booklet.cli.build_told import Told
    from booklet.cli.files import output_folder
    from booklet.cli.terminal import Progress, json_on_stdout

    with Progress() as progress:
        told = Told(quiet=as_json, proof=bool(settings["proof"]), strict=bool(settings["strict"]))
        jobs, patterns = plan(settings, told, progress)
    if jobs:
        output_folder(str(settings["output"] or "."))
    for outcome in run(jobs, patterns, settings["jobs"]):  # type: ignore[arg-type]
        told.made(outcome)
    told.table()
    if as_json:
        json_on_stdout(told.as_object())
    ctx.exit(told.status)
