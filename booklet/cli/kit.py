"""`booklet kit`: a kit file or a pattern in, what to order and to pack out. It is worked out in the room kits."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from booklet.diagnostics.diagnostic import Diagnostic
    from booklet.kits.kit import Answer, Kit, PatternOf
    from booklet.pipeline import Understood


@click.command()
@click.argument("file")
@click.option("--kits", metavar="N", type=click.IntRange(1, 1_000_000), help="How many kits; the file's own number if not given.")
@click.option("--size", metavar="NAME", default="", help="Of a pattern FILE: one of its sizes.")
@click.option("--choose", metavar="KEY=VALUE", multiple=True, help="Of a pattern FILE: one of its alternatives.")
@click.option("-o", "--output", metavar="DIR", help="Write the order and the packing list as CSV and XLSX files as well.")
@click.option("--labels", "sheet", metavar="SHEET", help="Labels for the bags as well, on a sheet of shared/kits/sheets.tsv; goes with -o.")
@click.option("--json", "as_json", is_flag=True, help="Print everything on stdout as an object, for programs.")
@click.pass_context
def kit(
    ctx: click.Context,
    file: str,
    kits: int | None,
    size: str,
    choose: tuple[str, ...],
    output: str | None,
    sheet: str | None,
    as_json: bool,
) -> None:
    """Work out what to order, wind and pack for N kits.

    FILE is a kit file (.yaml) or a pattern. Every kit holds the yarn that was weighed, else the high end of the estimate, with some to
    spare. Exit status: 0 nothing wrong, 1 the kit file or a pattern has errors, 2 it could not be done.
    """
    from booklet import pipeline
    from booklet.cli.files import Refused
    from booklet.cli.terminal import Progress, json_on_stdout, on_stderr
    from booklet.reports.json import problems_json
    from booklet.reports.kit import kit_json, kit_table

    if file == "-":
        raise Refused("kit needs a file: patterns are looked for beside it.")
    sheet = _sheet(sheet, output) if sheet is not None else ""
    with Progress() as progress:
        progress(f"reading {file}")
        listed = file.casefold().endswith((".yaml", ".yml"))
        if listed and (size or choose):
            raise Refused("A kit file says sizes and choices itself: write `size` and `choose` below its pattern.")
        told = _Told(file, *_listed(file, kits)) if listed else _Told(file, _short(file, kits, size, choose), "", ())
        pieces = []
        for one in told.kit.patterns:
            progress(f"reading {one.file}")
            pieces.append(told.piece(one, listed))
        answer, more = pipeline.kit_answer(told.kit, pieces) if pieces and None not in pieces else (None, ())
        told.problems += more
        printed = b""
        if answer is not None and sheet and not told.wrong():
            progress("setting the labels")
            printed = _labels(told.kit, pieces, answer, sheet)
    paths = _write(answer, Path(file).stem, output, printed) if answer is not None and output else []
    if as_json:
        found = kit_json(answer) if answer is not None else {}
        json_on_stdout({"file": file, "problems": problems_json(tuple(told.problems)), **found, "outputs": paths})
    else:
        told.report()
        if answer is not None:
            on_stderr(kit_table(answer))
        _paths(paths)
    if printed:
        on_stderr("labels: compare them with the law of your market before you print; an authority or a qualified laboratory knows it\n")
    ctx.exit(1 if told.wrong() else 0)


class _Told:
    """A kit on its way, with what was found."""

    def __init__(self, file: str, kit: Kit, text: str, problems: tuple[Diagnostic, ...]) -> None:
        self.file, self.kit, self.text, self.problems = file, kit, text, list(problems)

    def piece(self, one: PatternOf, listed: bool) -> tuple[Understood, str, tuple[tuple[str, str], ...]] | None:
        """One pattern, read and measured; None where it is not there, or offers no such size or choice."""
        from booklet import pipeline
        from booklet.cli.files import Refused, house_file, read_input
        from booklet.diagnostics.codes import severity
        from booklet.diagnostics.diagnostic import diagnostic

        path = one.file
        if listed:
            beside = os.path.dirname(self.file) or "."  # noqa: PTH120
            path = os.path.join(beside, one.file)  # noqa: PTH118
            # Nothing outside the folder of the kit file is read, not through a link either.
            if os.path.isabs(one.file) or not Path(path).resolve().is_relative_to(Path(beside).resolve()):  # noqa: PTH117
                self.problems.append(diagnostic("kit-pattern-outside", one.span, file=None, pattern=one.file[:80]))
                return None
        try:
            understood = pipeline.understand(read_input(path), path, house=house_file(path, None))
        except Refused as refused:
            if not listed:
                raise
            self.problems.append(diagnostic("kit-pattern-missing", one.span, pattern=one.file[:80], why=refused.message))
            return None
        errors = sum(severity(found) == "error" for found in understood.problems)
        if errors:
            self.problems.append(diagnostic("kit-pattern-wrong", one.span, pattern=one.file[:80], errors=errors))
        return (understood, *self._offered(one, understood))

    def _offered(self, one: PatternOf, understood: Understood) -> tuple[str, tuple[tuple[str, str], ...]]:
        """Size and choices, those that the pattern does not offer reported and left out."""
        from booklet.diagnostics.diagnostic import diagnostic

        pattern = understood.pattern
        offered = dict(pattern.choices)
        for key, value in one.choices:
            if value not in offered.get(key, ()):
                known = ", ".join(f"{name} {way}" for name, ways in offered.items() for way in ways) or "none"
                self.problems.append(diagnostic("kit-choice-unknown", one.span, text=f"{key} {value}"[:60], known=known))
        if one.size and one.size not in pattern.sizes:
            known = ", ".join(pattern.sizes) or "none"
            self.problems.append(diagnostic("kit-choice-unknown", one.span, text=one.size[:60], known=known))
        return one.size, tuple(choice for choice in one.choices if choice[1] in offered.get(choice[0], ()))

    def wrong(self) -> bool:
        """Is there an error?"""
        from booklet.diagnostics.codes import severity

        return any(severity(found) == "error" for found in self.problems)

    def report(self) -> None:
        """Print what was found on stderr."""
        import sys

        from booklet.cli.terminal import colour, on_stderr
        from booklet.reports.frame import report
        from booklet.tables.limits import limits

        if self.problems:
            on_stderr(report(self.problems, self.text, self.file, most=limits()["problems"], colour=colour(sys.stderr)))


def _listed(file: str, kits: int | None) -> tuple[Kit, str, tuple[Diagnostic, ...]]:
    from booklet import pipeline
    from booklet.cli.files import read_input

    return pipeline.read_kit(read_input(file), file, kits)


def _short(file: str, kits: int | None, size: str, choose: tuple[str, ...]) -> Kit:
    """The kit of a pattern alone. Its choices are proven when it is read; here they are taken apart only."""
    from booklet.cli.files import Refused
    from booklet.diagnostics.span import START
    from booklet.kits.kit import Colourway, Kit, PatternOf

    if kits is None:
        raise Refused("Say how many kits: --kits 40.")
    choices = []
    for text in choose:
        key, equals, value = (word.strip() for word in text.partition("="))
        if not equals or not key or not value:
            raise Refused(f"--choose takes KEY=VALUE, such as eyes=embroidered, not {text!r}.")
        choices.append((key, value))
    return Kit(Path(file).stem, kits, (PatternOf(file, START, tuple(choices), size),), (Colourway("", kits),))


def _sheet(name: str, output: str | None) -> str:
    from booklet.cli.choose import one_of
    from booklet.cli.files import Refused
    from booklet.tables.kits import sheets

    if not output:
        raise Refused("--labels goes with -o DIR: labels are a file.")
    return one_of("sheet of labels", name, sheets())


def _labels(kit: Kit, pieces: list[tuple[Understood, str, tuple[tuple[str, str], ...]] | None], answer: Answer, sheet: str) -> bytes:
    from booklet import pipeline
    from booklet.cli.files import Refused

    try:
        return pipeline.kit_labels(kit, [piece for piece in pieces if piece is not None], answer, sheet)
    except ValueError as fault:
        raise Refused(f"No labels were made: {fault}.") from fault


def _write(answer: Answer, stem: str, output: str, printed: bytes) -> list[str]:
    """The order and the packing list as files; their paths."""
    import csv
    import io

    from booklet import pipeline
    from booklet.cli.files import output_folder, write_whole
    from booklet.reports.kit import content_rows, order_rows

    folder = output_folder(output)
    made: list[tuple[str, bytes]] = []
    for name, rows in (("order", order_rows(answer)), ("packing", content_rows(answer))):
        text = io.StringIO()
        csv.writer(text).writerows(rows)
        made.append((f"{stem}.{name}.csv", b"\xef\xbb\xbf" + text.getvalue().encode("utf-8")))  # the mark makes spreadsheets read UTF-8
    made.append((f"{stem}.kit.xlsx", pipeline.kit_workbook(answer)))
    if printed:
        made.append((f"{stem}.labels.pdf", printed))
    for name, data in made:
        write_whole(folder / name, data)
    return [str(folder / name) for name, _ in made]


def _paths(paths: list[str]) -> None:
    from booklet.cli.terminal import on_stdout

    on_stdout("".join(f"{path}\n" for path in paths))
