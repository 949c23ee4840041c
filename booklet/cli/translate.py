"""`booklet translate`: a pattern in, the catalogue for its translator out beside it; what is a message is decided in `catalogues`."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from booklet.catalogues.message import Entry
    from booklet.translation import Updated


@click.command()
@click.argument("file")
@click.option("--language", metavar="TAG", required=True, help="Language of the translation: de, fr, pt-BR …")
@click.option("--as", "form", type=click.Choice(["po", "xliff", "xliff2", "xlsx"]), default="po", help="Write this form too.")
@click.option("--from", "sent", metavar="FILE", help="Take in what the translator sent back: PO, XLIFF or XLSX.")
@click.option("--house", metavar="FILE", help="House file; house.yaml beside the pattern if not given.")
@click.option("--json", "as_json", is_flag=True, help="Print what was done on stdout as an object, for programs.")
@click.pass_context
def translate(ctx: click.Context, file: str, language: str, form: str, sent: str | None, house: str | None, as_json: bool) -> None:
    """Write or update the catalogue that a translator works in.

    It is locale/PATTERN.TAG.po beside the pattern. Nothing that was translated is ever lost. Prints the path of each file
    that was written, one a line. Exit status: 0 nothing wrong, 1 the pattern has errors, 2 it could not be done.
    """
    from booklet import pipeline, translation
    from booklet.catalogues.message import CatalogueFault
    from booklet.cli.choose import one_of
    from booklet.cli.files import Refused, house_file, output_folder, read_input, write_whole
    from booklet.cli.terminal import json_on_stdout, on_stderr, on_stdout
    from booklet.diagnostics.codes import severity
    from booklet.tables.language import tags

    if file == "-":
        raise Refused("translate needs a file: the catalogue is written beside it.")
    tag = one_of("language", language, tags())
    understood = pipeline.understand(read_input(file), file, house=house_file(file, house))
    if {found.code for found in understood.problems} & {"not-text", "file-too-large", "empty-file"}:
        raise Refused(f"{file} cannot be read as a pattern; no catalogue was touched. See `booklet check`.")
    if tag == understood.language.tag:
        raise Refused(f"The pattern is written in {tag} already.")
    folder, stem = Path(os.path.dirname(file) or "."), Path(file).stem  # noqa: PTH120
    incoming = _sent(sent, tag) if sent else ()
    try:
        made = translation.update(understood, tag, folder, stem, translation.moment(), incoming)
    except CatalogueFault as fault:
        where = folder / "locale" / f"{stem}.{tag}.po"
        raise Refused(f"{where} was not touched: {fault.reason}.") from fault
    output_folder(str(made.path.parent))
    written = []
    if not made.path.is_file() or made.path.read_bytes() != made.data:
        write_whole(made.path, made.data)
        written.append(str(made.path))
    if form != "po":
        other = made.path.with_suffix({"xliff": ".xlf", "xliff2": ".xliff", "xlsx": ".xlsx"}[form])
        write_whole(other, _other(made, form, understood.language.tag, tag, Path(file).name))
        written.append(str(other))
    if as_json:
        json_on_stdout(_object(made, file, tag, written))
    else:
        on_stderr(_told(made))
        on_stdout("".join(f"{path}\n" for path in written))
    ctx.exit(1 if any(severity(found) == "error" for found in understood.problems) else 0)


def _sent(path: str, tag: str) -> tuple[Entry, ...]:
    """What a translator sent back, in any of the three forms."""
    from booklet.catalogues.message import CatalogueFault
    from booklet.catalogues.sent import read
    from booklet.cli.files import Refused, read_input

    try:
        catalogue = read(read_input(path))
    except CatalogueFault as fault:
        raise Refused(f"{path} cannot be taken in: {fault.reason}.") from fault
    told = catalogue.language
    if told and told.split("-")[0].casefold() != tag.split("-")[0].casefold():
        raise Refused(f"{path} is a translation into {told}, not into {tag}.")
    return catalogue.entries


def _other(made: Updated, form: str, source: str, tag: str, name: str) -> bytes:
    from booklet.catalogues import sheet, xliff
    from booklet.translation import moment

    if form == "xlsx":
        return sheet.write(made.merged.catalogue, moment())
    return xliff.write(made.merged.catalogue, source, tag, name, "2.0" if form == "xliff2" else "1.2")


def _object(made: Updated, file: str, tag: str, written: list[str]) -> dict[str, object]:
    merged = made.merged
    counts = {"translated": merged.kept, "fuzzy": merged.fuzzy, "missing": merged.missing, "obsolete": merged.obsolete}
    found = {"file": file, "language": tag, "catalogue": str(made.path), "messages": len(made.messages), **counts, "outputs": written}
    return {**found, "found_as": str(made.renamed) if made.renamed else None}


def _told(made: Updated) -> str:
    merged = made.merged
    counts = f"{merged.kept} translated, {merged.fuzzy} to be looked at, {merged.missing} missing"
    lines = [f"{counts}, {merged.obsolete} kept that the pattern has no more"]
    if made.renamed:
        lines.append(f"the translations were found in {made.renamed}, which stays as it is: has the pattern a new name?")
    if made.merged.moved:
        lines.append(f"{merged.moved} found under another heading")
    return "\n".join(lines) + "\n"
