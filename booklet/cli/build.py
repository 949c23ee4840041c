"""`booklet build`: pattern files in, one booklet an edition out as files. Pages and print are made by the pipeline."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Callable

    from booklet.editions.edition import Edition
    from booklet.pipeline import Understood


@click.command()
@click.argument("files", metavar="FILE...", nargs=-1, required=True)
@click.option("-o", "--output", metavar="DIR", default="", help="Folder for the booklets; the current one if not given.")
@click.option("--layout", "layouts", metavar="NAME", multiple=True, help="a5, a4, letter …: see `booklet list layouts`. Repeatable.")
@click.option("--language", "languages", metavar="TAG[+TAG]...", multiple=True, help="The pattern's own if not given. Repeatable.")
@click.option("--terms", type=click.Choice(["US", "UK"]), help="Term system of English editions.")
@click.option("--units", type=click.Choice(["metric", "imperial", "both"]), help="Units; the language's own if not given.")
@click.option("--market", type=click.Choice(["US", "EU", "UK", "CA", "AU", "NZ"]), help="Whose cautions are printed.")
@click.option("--format", "forms", type=click.Choice(["pdf", "html"]), multiple=True, help="pdf if not given. Repeatable.")
@click.option("--size", metavar="NAME", default="", help="One of the pattern's sizes.")
@click.option("--choose", metavar="KEY=VALUE", multiple=True, help="Print one of the pattern's alternatives only.")
@click.option("--reader", type=click.Choice(["first-timer", "some", "none"]), default="some", help="How much the reader is told.")
@click.option("--house", metavar="FILE", help="House file; house.yaml beside the pattern if not given.")
@click.option("--proof", is_flag=True, help="Build in spite of errors, marked as a proof.")
@click.option("--json", "as_json", is_flag=True, help="Print findings and paths on stdout as objects, for programs.")
@click.pass_context
def build(
    ctx: click.Context,
    files: tuple[str, ...],
    output: str,
    layouts: tuple[str, ...],
    languages: tuple[str, ...],
    forms: tuple[str, ...],
    house: str | None,
    as_json: bool,
    **settings: object,
) -> None:
    """Make booklets that are ready to print.

    Prints the path of each file that was written, one a line. An existing file is replaced whole. A pattern with errors
    is built with --proof only. Exit status: 0 nothing wrong, 1 the pattern has errors, 2 it could not be done.
    """
    from booklet.cli.files import output_folder
    from booklet.cli.terminal import Progress, json_on_stdout

    layouts = _layouts(layouts or ("a5",))
    tags = _languages(languages)
    done, wrong = [], False
    with Progress() as progress:
        for file in files:
            understood, errors = _understand(file, house, as_json, progress)
            made: list[str] = []
            if not errors or settings["proof"]:
                folder = output_folder(output or ".")
                for edition in _editions(understood, layouts, tags, settings):
                    for form in dict.fromkeys(forms or ("pdf",)):
                        path = _write(understood, edition, form, file, folder, progress, as_json)
                        made.append(path)
            wrong = wrong or errors
            done.append((understood, made))
    if as_json:
        from booklet.reports.json import problems_json

        json_on_stdout([{"file": u.pattern.file, "problems": problems_json(u.problems), "outputs": made} for u, made in done])
    ctx.exit(1 if wrong else 0)


def _layouts(typed: tuple[str, ...]) -> tuple[str, ...]:
    from booklet.cli.choose import one_of
    from booklet.editions.discover import layouts

    return tuple(dict.fromkeys(one_of("layout", name, layouts()) for name in typed))


def _languages(typed: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """`de+fr` is one edition in two languages, two options are two editions."""
    from booklet.cli.choose import one_of
    from booklet.tables.language import tags

    return tuple(dict.fromkeys(tuple(one_of("language", tag, tags()) for tag in text.split("+")) for text in typed))


def _understand(file: str, house: str | None, quiet: bool, progress: Callable[[str], None]) -> tuple[Understood, bool]:
    """Read and prove the pattern; findings are printed where there are errors or warnings."""
    import sys

    from booklet import pipeline
    from booklet.cli.files import Refused, house_file, read_input
    from booklet.cli.terminal import colour, on_stderr
    from booklet.diagnostics.codes import severity
    from booklet.reports.frame import report
    from booklet.tables.limits import limits

    if file == "-":
        raise Refused("build needs a file: its photos are looked for beside it.")
    data = read_input(file)
    progress(f"reading {file}")
    understood = pipeline.understand(data, file, house=house_file(file, house))
    graver = [found for found in understood.problems if severity(found) != "note"]
    if graver and not quiet:
        on_stderr(report(graver, understood.source.text, file, most=limits()["problems"], colour=colour(sys.stderr)))
    return understood, any(severity(found) == "error" for found in graver)


def _editions(
    understood: Understood, layouts: tuple[str, ...], tags: tuple[tuple[str, ...], ...], settings: dict[str, object]
) -> list[Edition]:
    """One edition for each language and layout."""
    from dataclasses import replace

    from booklet.cli.choose import choices, one_of
    from booklet.editions.edition import Edition
    from booklet.tables.language import load

    pattern = understood.pattern
    size = str(settings["size"] or "")
    size = one_of("size", size, pattern.sizes) if size else ""
    chosen = choices(settings["choose"], pattern.choices)  # type: ignore[arg-type]
    made = []
    for languages in tags or ((understood.language.tag,),):
        main = load(languages[0])
        # An edition in the pattern's own language keeps the pattern's terms; another one takes its language's.
        terms = str(settings["terms"] or (understood.language.terms if main.tag == understood.language.tag else main.terms))
        units = str(settings["units"] or main.settings.get("units", "metric"))
        common = Edition(
            languages,
            terms if main.terms else "",
            units,
            str(settings["market"] or ""),
            str(settings["reader"]),
            chosen,
            size,
            proof=bool(settings["proof"]),
        )
        made += [replace(common, layout=layout) for layout in layouts]
    return made


def _write(
    understood: Understood, edition: Edition, form: str, file: str, folder: Path, progress: Callable[[str], None], quiet: bool
) -> str:
    """Build one edition and put it into its place; its path."""
    from booklet import pipeline
    from booklet.cli.files import write_whole
    from booklet.cli.names import output_name
    from booklet.cli.terminal import on_stdout
    from booklet.tables.language import load

    main = load(edition.languages[0])
    stem = Path(file).name.removesuffix(Path(file).suffix) or "pattern"
    terms = understood.language.terms if main.tag == understood.language.tag else main.terms
    name = output_name(stem, edition, form, terms=terms, units=main.settings.get("units", "metric"))
    built = pipeline.build(understood, edition, Path(os.path.dirname(file) or "."), progress)  # noqa: PTH120
    path = folder / name
    write_whole(path, built.data)
    if not quiet:
        on_stdout(f"{path}\n")
    return str(path)
