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
@click.option(
    "--paper-thickness", "thickness", metavar="MM", type=click.FloatRange(0.02, 1), help="Of a sheet: the creep is worked out from it."
)
@click.option("--up", metavar="NxM", default="", help="How many cards across and down; as many as the sheet holds if not given.")
@click.option("--json", "as_json", is_flag=True, help="Print the plan on stdout as an object, for programs.")
def impose(
    file: str, output: str, way: str, paper: str, flip: str | None, creep: float, thickness: float | None, up: str, as_json: bool
) -> None:
    """Lay finished pages on printing sheets.

    Prints the path of the file, and on stderr which page lies where. Print the sheets at 100 % and on both sides.
    Exit status: 0, or 2 if it could not be done.
    """
    import sys
    from pathlib import Path

    from booklet.cli.files import Refused, free_for_writing, read_pdf, write_whole
    from booklet.cli.terminal import json_on_stdout, on_stderr, on_stdout
    from booklet.press.impose import NotImposable, source_of
    from booklet.press.impose import impose as laid
    from booklet.press.sheets import DoesNotFit, cards, creep_of, saddle

    path = Path(output) if output else Path(f"{Path(file).stem}.sheets.pdf")
    free_for_writing(path)
    if path.exists() and Path(file).exists() and path.samefile(file):
        raise Refused("The sheets would be written over the pages; give another name with -o.")
    _fitting(way, creep, thickness, up)
    across_down = _up(up)
    data = read_pdf(file)
    try:
        source = source_of(data)
        size = _sheet(paper, source.trim, way)
        if way == "saddle":
            moved = creep if thickness is None else creep_of(source.pages, thickness)
            plan = saddle(source.pages, source.trim, size, moved, flip or "short")
        else:
            plan = cards(source.pages, source.trim, size, source.bleed, flip or "long", way == "repeat", up=across_down)
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


def _fitting(way: str, creep: float, thickness: float | None, up: str) -> None:
    """Refuse options that say nothing to the way of laying pages, or say the same thing twice."""
    from booklet.cli.files import Refused

    if way == "saddle" and up:
        raise Refused("--up is for cards; a booklet has two pages on a side.")
    if way != "saddle" and (creep or thickness is not None):
        raise Refused("Cards are not folded: --creep and --paper-thickness are for booklets.")
    if creep and thickness is not None:
        raise Refused("--creep and --paper-thickness say the same; give one of them.")


def _up(text: str) -> tuple[int, int] | None:
    """Two numbers parted by an x."""
    import re

    from booklet.cli.files import Refused
    from booklet.press.sheets import MOST_ACROSS

    if not text:
        return None
    found = re.fullmatch(r"([0-9]{1,2})\s*[x×]\s*([0-9]{1,2})", text.strip().casefold())
    if not found or not all(1 <= int(one) <= MOST_ACROSS for one in found.groups()):
        raise Refused(f"--up {text} is not how many across and down; write it as 3x2, up to {MOST_ACROSS}x{MOST_ACROSS}.")
    return int(found[1]), int(found[2])


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
    if _creep(plan):
        lines[0] += f", the innermost sheet moved {_creep(plan):.2f} mm to the fold"
    for side in plan.sides:
        pages = "  ".join(f"{'-' if slot.page is None else slot.page + 1:>3}" for slot in side.slots)
        lines.append(f"sheet {side.sheet:>3} {'back ' if side.back else 'front'}  {pages}")
    return "".join(f"{line}\n" for line in lines)


def _creep(plan: Plan) -> float:
    return max(slot.shift for side in plan.sides for slot in side.slots)


def _as_object(file: str, path: str, plan: Plan) -> dict[str, object]:
    return {
        "file": file,
        "output": path,
        "way": plan.way,
        "sheet_mm": list(plan.paper),
        "page_mm": [round(one, 2) for one in plan.trim],
        "flip": plan.flip,
        "empty_pages": plan.blank,
        "creep_mm": round(_creep(plan), 3),
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
