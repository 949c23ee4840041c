"""`booklet check`: pattern files in, findings out. The proving itself is not done here."""

from __future__ import annotations

import click


@click.command()
@click.argument("files", metavar="FILE...", nargs=-1, required=True)
@click.option("--strict", is_flag=True, help="Count warnings as errors in the exit status.")
@click.option("--house", metavar="FILE", help="House file; house.yaml beside the pattern if not given.")
@click.option("--json", "as_json", is_flag=True, help="Print what was understood on stdout, for programs.")
@click.pass_context
def check(ctx: click.Context, files: tuple[str, ...], strict: bool, house: str | None, as_json: bool) -> None:
    """Prove every round of a pattern, and say what is wrong, where, and how to mend it.

    FILE is a pattern; - reads standard input. Exit status: 0 nothing wrong, 1 errors, 2 not done.
    """
    from booklet import pipeline
    from booklet.cli.files import house_file, read_input
    from booklet.cli.terminal import json_on_stdout
    from booklet.diagnostics.codes import severity

    objects, grave = [], False
    for file in files:
        data = read_input(file)
        understood = pipeline.understand(data, file, house=house_file(file, house))
        severities = {severity(found) for found in understood.problems}
        grave = grave or "error" in severities or (strict and "warning" in severities)
        if as_json:
            from booklet.reports.json import check_json

            objects.append(check_json(understood))
        else:
            _print(understood.problems, understood.source.text, file)
    if as_json:
        json_on_stdout(objects)
    ctx.exit(1 if grave else 0)


def _print(problems: tuple, text: str, file: str) -> None:
    import sys

    from booklet.cli.terminal import colour, on_stderr
    from booklet.reports.frame import report
    from booklet.tables.limits import limits

    on_stderr(report(problems, text, file, most=limits()["problems"], colour=colour(sys.stderr)))
