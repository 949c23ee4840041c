"""`booklet stamp`: a finished PDF and a list of buyers in, one copy a buyer out. The stamping is done in press."""

from __future__ import annotations

import click


@click.command()
@click.argument("file", metavar="PDF")
@click.option("--buyers", metavar="FILE.csv", required=True, help="The list: columns name and order, and any others that the line names.")
@click.option("-o", "--output", metavar="DIR", default="copies", help="Folder for the copies; copies if not given.")
@click.option("--kind", type=click.Choice(["buyers", "testers", "wholesale"]), default="buyers", help="Which wording the line has.")
@click.option("--line", metavar="TEXT", default="", help='Your own wording, such as "For {name}, order {order}".')
@click.option("--json", "as_json", is_flag=True, help="Print paths and orders on stdout as objects, for programs.")
def stamp(file: str, buyers: str, output: str, kind: str, line: str, as_json: bool) -> None:
    """Write a licence line on every page of a PDF, one copy for each buyer of a list.

    Copies that are there already and bear the same line stay as they are, so an interrupted run goes on where it stopped.
    Prints one path a line. Exit status: 0, or 2 if it could not be done; then no copy is half written.
    """
    from pathlib import Path

    from booklet.cli.files import Refused, output_folder, read_pdf, write_whole
    from booklet.cli.terminal import Progress, json_on_stdout, on_stderr, on_stdout
    from booklet.press.buyers import WrongList, file_part, filled, read_buyers
    from booklet.press.stamp import NotStampable, Stamper, lines, missing

    data = read_pdf(file)
    try:
        listed = read_buyers(_list_of(buyers))
        wording = line or _wording(data, kind, lines())
        texts = [filled(wording, buyer) for buyer in listed]
        for buyer, text in zip(listed, texts, strict=True):
            if lacking := missing(text):
                raise WrongList(f"line {buyer.line}: there is no letter for {' '.join(lacking)}; write the name in other letters")
    except WrongList as fault:
        raise Refused(f"{buyers}: {fault}. Nothing was written.") from fault
    try:
        stamper = Stamper(data, texts)
    except NotStampable as fault:
        raise Refused(f"{file} cannot be stamped: {fault}.") from fault
    folder, stem = output_folder(output), Path(file).stem
    made, kept, objects = 0, 0, []
    with Progress() as progress:
        for number, (buyer, text) in enumerate(zip(listed, texts, strict=True), 1):
            path = folder / f"{stem}.{file_part(buyer.order)}.pdf"
            progress(f"{number} of {len(listed)}")
            copy = stamper.copy(text, buyer.order)
            there = path.is_file() and path.stat().st_size == len(copy) and path.read_bytes() == copy
            if there:
                kept += 1
            else:
                write_whole(path, copy)
                made += 1
            objects.append({"order": buyer.order, "line": text, "output": str(path), "written": not there})
            if not as_json:
                on_stdout(f"{path}\n")
    if as_json:
        json_on_stdout(objects)
    else:
        on_stderr(f"{made} copies written, {kept} were there already\n")


def _list_of(file: str) -> bytes:
    """The bytes of the list; refused where it is larger than the limits."""
    from booklet.cli.files import Refused, read_input
    from booklet.tables.limits import limits

    data = read_input(file)
    if len(data) > limits()["file_bytes"]:
        raise Refused(f"{file} is larger than {limits()['file_bytes'] // 1_000_000} MB; divide it.")
    return data


def _wording(data: bytes, kind: str, known: dict[str, dict[str, str]]) -> str:
    """The line in the language of the file, in English where the file's is not known."""
    from booklet.press.stamp import language_of

    tag = language_of(data)
    return known.get(tag, known["en"])[kind]
