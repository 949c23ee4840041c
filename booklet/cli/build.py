"""`booklet build`: pattern files in, one booklet an edition out as files. Pages and print are made by the pipeline."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from booklet.diagnostics.diagnostic import Diagnostic
    from booklet.editions.edition import Edition
    from booklet.pipeline import Understood

USES = ("home", "screen", "press", "archive")


@click.command()
@click.argument("files", metavar="FILE...", nargs=-1, required=True)
@click.option("-o", "--output", metavar="DIR", default="", help="Folder for the booklets; the current one if not given.")
@click.option("--layout", "layouts", metavar="NAME", multiple=True, help="a5, a4, letter …: see `booklet list layouts`. Repeatable.")
@click.option("--language", "languages", metavar="TAG[+TAG]...", multiple=True, help="The pattern's own if not given. Repeatable.")
@click.option("--terms", type=click.Choice(["US", "UK"]), help="Term system of English editions.")
@click.option("--units", type=click.Choice(["metric", "imperial", "both"]), help="Units; the language's own if not given.")
@click.option("--market", type=click.Choice(["US", "EU", "UK", "CA", "AU", "NZ"]), help="Whose cautions are printed.")
@click.option("--format", "forms", type=click.Choice(["pdf", "html"]), multiple=True, help="pdf if not given. Repeatable.")
@click.option("--print", "printing", type=click.Choice(USES), default="home", help="What it is for.")
@click.option("--size", metavar="NAME", default="", help="One of the pattern's sizes.")
@click.option("--choose", metavar="KEY=VALUE", multiple=True, help="Print one of the pattern's alternatives only.")
@click.option("--reader", type=click.Choice(["first-timer", "some", "none"]), default="some", help="How much the reader is told.")
@click.option("--symbols", metavar="NAME", default="us", help="Symbol set of the charts: us or jis; us if not given.")
@click.option("--left-handed", is_flag=True, help="Mirror the charts.")
@click.option("--house", metavar="FILE", help="House file; house.yaml beside the pattern if not given.")
@click.option("--message-numbers", is_flag=True, help="Print the numbers of a translator's messages beside the words.")
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

    names = _layouts(layouts or ("a5",))
    tags = _languages(languages)
    kinds = tuple(dict.fromkeys(forms or ("pdf",)))
    objects, wrong = [], False
    with Progress() as progress:
        for file in files:
            job = _Job(file, house, bool(settings["proof"]), as_json, progress)
            if job.may_build():
                folder = output_folder(output or ".")
                for edition in _editions(job.understood, names, tags, settings):
                    for kind in kinds:
                        job.make(edition, kind, folder)
            wrong = wrong or job.wrong
            objects.append(job.as_object())
    if as_json:
        json_on_stdout(objects)
    ctx.exit(1 if wrong else 0)


class _Job:
    """One pattern on its way to its booklets; tells what it finds as it goes, or keeps it for --json."""

    def __init__(self, file: str, house: str | None, proof: bool, quiet: bool, progress: Callable[[str], None]) -> None:
        from booklet import pipeline
        from booklet.cli.files import Refused, house_file, read_input

        if file == "-":
            raise Refused("build needs a file: its photos are looked for beside it.")
        self.file, self.proof, self.quiet, self.progress = file, proof, quiet, progress
        data = read_input(file)
        progress(f"reading {file}")
        self.understood = pipeline.understand(data, file, house=house_file(file, house))
        self.shared = pipeline.Shared()
        self.problems: dict[Diagnostic, None] = {}
        self.paths: list[str] = []
        self.wrong = False
        self._found(self.understood.problems)

    def may_build(self) -> bool:
        """A pattern with errors is built as a proof only."""
        return self.proof or not self.wrong

    def make(self, edition: Edition, kind: str, folder: Path) -> None:
        """Build one edition and put it into its place, unless its pictures have errors."""
        from booklet import pipeline
        from booklet.cli.files import free_for_writing, write_whole
        from booklet.cli.terminal import on_stdout

        path = folder / _name(self.understood, edition, kind, self.file)
        free_for_writing(path)  # asked before the work, not after it
        beside = Path(os.path.dirname(self.file) or ".")  # noqa: PTH120
        if kind == "html":
            from booklet.editions.discover import layout

            page, parts, problems = pipeline.set_pages(self.understood, edition, layout(edition.layout), beside, self.shared)
            data = _one_file(page, parts)
        else:
            data, _, problems = pipeline.build(self.understood, edition, beside, self.progress, self.shared)
            data = _finished(data, edition.printing, path.name, self.progress)
        self._found(problems)
        self._told(problems)
        if not self.may_build():
            return
        write_whole(path, data)
        self.paths.append(str(path))
        if not self.quiet:
            on_stdout(f"{path}\n")

    def _told(self, problems: Iterable[Diagnostic]) -> None:
        """Say what a card leaves out: a note, yet nobody finds it in the pattern."""
        from booklet.cli.terminal import on_stderr
        from booklet.diagnostics.codes import message

        for problem in problems:
            if problem.code.startswith("card-") and not self.quiet:
                on_stderr(f"note: {message(problem)}\n")

    def as_object(self) -> dict[str, object]:
        """What --json prints for this pattern."""
        from booklet.reports.json import problems_json

        return {"file": self.file, "problems": problems_json(tuple(self.problems)), "outputs": self.paths}

    def _found(self, problems: Iterable[Diagnostic]) -> None:
        """Keep what is new, and print the errors and warnings of it."""
        from booklet.diagnostics.codes import severity

        new = [problem for problem in dict.fromkeys(problems) if problem not in self.problems]
        self.problems.update(dict.fromkeys(new))
        self.wrong = self.wrong or any(severity(problem) == "error" for problem in new)
        graver = [problem for problem in new if severity(problem) != "note"]
        if graver and not self.quiet:
            import sys

            from booklet.cli.terminal import colour, on_stderr
            from booklet.reports.frame import report
            from booklet.tables.limits import limits

            text, most = self.understood.source.text, limits()["problems"]
            on_stderr(report(graver, text, self.file, most=most, colour=colour(sys.stderr)))


def _finished(data: bytes, printing: str, name: str, progress: Callable[[str], None]) -> bytes:
    """The file for its way of printing; what keeps a press file from claiming to be PDF/X-4 is told."""
    if printing == "home":
        return data
    from booklet.cli.files import Refused
    from booklet.cli.terminal import on_stderr
    from booklet.press.finish import NotConvertible, finish

    progress(f"finishing for {printing}")
    try:
        made = finish(data, printing)
    except NotConvertible as fault:
        raise Refused(f"{name} cannot be brought to inks: {fault} cannot be converted.") from fault
    for one in made.against:
        on_stderr(f"note: {name} makes no claim to be PDF/X-4: {one.message}\n")
    return made.data


def _layouts(typed: tuple[str, ...]) -> tuple[str, ...]:
    from booklet.cli.choose import one_of
    from booklet.editions.discover import layouts

    return tuple(dict.fromkeys(one_of("layout", name, layouts()) for name in typed))


def _languages(typed: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """`de+fr` is one edition in two languages, two options are two editions."""
    from booklet.cli.choose import one_of
    from booklet.tables.language import printable

    return tuple(dict.fromkeys(tuple(one_of("language", tag, printable()) for tag in text.split("+")) for text in typed))


def _own_language(understood: Understood) -> str:
    """The pattern's own language, where booklets can be set in it."""
    from booklet.cli.files import Refused
    from booklet.tables.language import printable

    tag = understood.language.tag
    if tag not in printable():
        raise Refused(f"Rounds in {tag} are read, but a booklet cannot be set in it yet. --language takes {', '.join(printable())}.")
    return tag


def _editions(
    understood: Understood, layouts: tuple[str, ...], tags: tuple[tuple[str, ...], ...], settings: dict[str, object]
) -> list[Edition]:
    """One edition for each language and layout."""
    from dataclasses import replace

    from booklet.cli.choose import choices, one_of
    from booklet.editions.edition import Edition
    from booklet.tables.language import load
    from booklet.tables.symbols import symbol_sets

    pattern = understood.pattern
    size = str(settings["size"] or "")
    size = one_of("size", size, pattern.sizes) if size else ""
    chosen = choices(settings["choose"], pattern.choices)  # type: ignore[arg-type]
    made = []
    for languages in tags or ((_own_language(understood),),):
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
            left_handed=bool(settings["left_handed"]),
            symbols=one_of("symbol set", str(settings["symbols"]), symbol_sets()),
            proof=bool(settings["proof"]),
            message_numbers=bool(settings["message_numbers"]),
            printing=str(settings["printing"]),
        )
        made += [replace(common, layout=layout) for layout in layouts]
    return made


def _name(understood: Understood, edition: Edition, kind: str, file: str) -> str:
    """The name of the output file."""
    from booklet.cli.names import output_name
    from booklet.tables.language import load

    main = load(edition.languages[0])
    terms = understood.language.terms if main.tag == understood.language.tag else main.terms
    return output_name(Path(file).stem or "pattern", edition, kind, terms=terms, units=main.settings.get("units", "metric"))


def _one_file(page: str, parts: dict[str, bytes]) -> bytes:
    """The page with its pictures and drawings inside, so that it can be moved and sent."""
    import base64
    import mimetypes
    import re

    def inside(found: re.Match[str]) -> str:
        data = parts.get(found[1])
        if data is None:
            return found[0]
        kind = mimetypes.guess_type(found[1])[0] or "application/octet-stream"
        return f'src="data:{kind};base64,{base64.b64encode(data).decode("ascii")}"'

    return re.sub(r'src="([^"<>]{1,200})"', inside, page).encode("utf-8")
