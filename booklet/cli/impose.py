"""`booklet impose`: a finished PDF in, its pages on printing sheets out. Planning and placing are done in press."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from booklet.press.sheets import Plan


@click.command()
@click.argument("file", metavar="PDF")
@click.option("-o", "--output", metavar="SHEETS.pdf", default="", help="The file to write; <name>.sheets.pdf if not given.")
@click.option("--way", type=click.Choice(["saddle", "cards", "repeat"]), default="saddle", help="Booklet, cards, one card repeated.")
@click.option("--sheet", "paper", metavar="NAME", default="", help="A4, A3, Letter, Tabloid, SRA3 …; what fits a spread if not given.")
@click.option("--flip", type=click.Choice(["long", "short"]), help="Edge the printer turns about: short for booklets, long for cards.")
@click.option("--creep", metavar="MM", type=click.FloatRange(0, 20), default=0.0, help="How far the innermost sheet moves to the fold.")
@click.option("--json", "as_json", is_flag=True, help="Print the plan on stdout as an object, for programs.")
def impose(file: str, output: str, way: str, paper: str, flip: str | None, creep: float, as_json: bool) -> None:
    """Lay finished pages on printing sheets.

    Prints the path of the file, and on stderr which page lies where. Print the sheets at 100 % and on both sides.
    Exit status: 0, or 2 if it could not be done.
    """
    import sys
    from pathlib import Path

    from booklet.cli.files import Refused, free_for_writing, write_whole
    from booklet.cli.preflight import read_pdf
    from booklet.cli.terminal import json_on_stdout, on_stderr, on_stdout
    from booklet.press.impose import NotImposable, source_of
    from booklet.press.impose import impose as laid
    from booklet.press.sheets import DoesNotFit, cards, saddle

    path = Path(output) if output else Path(f"{Path(file).stem}.sheets.pdf")
    free_for_writing(path)
    if path.exists() and Path(file).exists() and path.samefile(file):
        raise Refused("The sheets would be written over the pages; give another name with -o.")
    data = read_pdf(file)
    try:
        source = source_of(data)
        size = _sheet(paper, source.trim, way)
        if way == "saddle":
            plan = saddle(source.pages, source.trim, size, creep, flip or "short")
        else:
            plan = cards(source.pages, source.trim, size, source.bleed, flip or "long", way == "repeat")
        written = laid(data, plan, source.bleed)
    except (NotImposable, DoesNotFit) as fault:
        raise Refused(f"{file} cannot be laid on sheets: {fault}.") from fault
    write_whole(path, written)
    if as_json:
        json_on_stdout(_as_object(file, str(path), plan))
        return
    on_stdout(f"{path}\n")
    if sys.stderr is not None:
        on_stderr(_table(plan))


def _sheet(name: str, trim: tuple[float, float], way: str) -> tuple[float, float]:
    """The size of a sheet by its name; without one the smallest usual sheet that holds a spread, or A4 for cards."""
    from booklet.cli.choose import one_of
    from booklet.press.rules import papers

    known = papers()
    if name:
        exact = {one.casefold(): one for one in known}
        return known[exact.get(name.casefold()) or one_of("sheet", name, tuple(known))]
    if way != "saddle":
        return known["A4"]
    for usual in ("A4", "Letter", "A3", "Tabloid", "SRA3"):
        wide, high = max(known[usual]), min(known[usual])
        if 2 * trim[0] <= wide + 0.01 and trim[1] <= high + 0.01:
            return known[usual]
    return known["SRA3"]


def _table(plan: Plan) -> str:
    lines = [f"{len(plan.sides)} sides of {plan.paper[0]:g} x {plan.paper[1]:g} mm, turned about the {plan.flip} edge"]
    if plan.blank:
        lines[0] += f", {plan.blank} empty page{'s' if plan.blank > 1 else ''} added"
    for side in plan.sides:
        pages = "  ".join(f"{'-' if slot.page is None else slot.page + 1:>3}" for slot in side.slots)
        lines.append(f"sheet {side.sheet:>3} {'back ' if side.back else 'front'}  {pages}")
    return "".join(f"{line}\n" for line in lines)


def _as_object(file: str, path: str, plan: Plan) -> dict[str, object]:
    return {
        "file": file,
        "output": path,
        "way": plan.way,
        "sheet_mm": list(plan.paper),
        "page_mm": [round(one, 2) for one in plan.trim],
        "flip": plan.flip,
        "empty_pages": plan.blank,
        "sides": [
            {
                "sheet": side.sheet,
                "back": side.back,
                "pages": [
                    {
                        "page": None if slot.page is None else slot.page + 1,
                        "x": round(slot.x, 3),
                        "y": round(slot.y, 3),
                        "turned": slot.turned,
                    }
                    for slot in side.slots
                ],
            }
            for side in plan.sides
        ],
    }
