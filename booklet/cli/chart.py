"""`booklet chart`: a pattern in, its charts out as SVG or PNG files, or as an object for programs. They are drawn elsewhere."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from booklet.editions.edition import Edition
    from booklet.pipeline import Chart, Understood

LEAST_MM, MOST_MM = 10.0, 3000.0  # of --width: a stamp, and what a plotter can print


@click.command()
@click.argument("file")
@click.argument("parts", metavar="[PART]...", nargs=-1)
@click.option("-o", "--output", metavar="DIR", default="", help="Folder for the charts; the current one if not given.")
@click.option("--format", "form", type=click.Choice(["svg", "png"]), default="svg", help="svg if not given; png is made at 300 dpi.")
@click.option("--width", metavar="MM", type=click.FloatRange(LEAST_MM, MOST_MM), help="Width of every chart; its own size if not given.")
@click.option("--language", metavar="TAG", default="", help="Of the description; the pattern's own if not given.")
@click.option("--symbols", metavar="NAME", default="us", help="Symbol set: us or jis; us if not given.")
@click.option("--left-handed", is_flag=True, help="Mirror the charts.")
@click.option("--size", metavar="NAME", default="", help="One of the pattern's sizes.")
@click.option("--choose", metavar="KEY=VALUE", multiple=True, help="Take one of the pattern's alternatives.")
@click.option("--house", metavar="FILE", help="House file; house.yaml beside the pattern if not given.")
@click.option("--json", "as_json", is_flag=True, help="Print what would be drawn on stdout as an object; no file is written.")
@click.pass_context
def chart(
    ctx: click.Context,
    file: str,
    parts: tuple[str, ...],
    output: str,
    form: str,
    width: float | None,
    house: str | None,
    as_json: bool,
    **settings: object,
) -> None:
    """Draw the stitches of a pattern's parts, for use elsewhere.

    FILE is a pattern; with PARTs, only these are drawn. Prints the path of each file that was written, one a line.
    Exit status: 0 nothing wrong, 1 the pattern has errors, 2 not done.
    """
    from booklet import pipeline
    from booklet.cli.files import house_file, read_input
    from booklet.cli.terminal import json_on_stdout, on_stderr
    from booklet.diagnostics.codes import severity
    from booklet.reports.frame import summary

    understood = pipeline.understand(read_input(file), file, house=house_file(file, house))
    edition = _edition(understood, settings)
    made = pipeline.charts(understood, edition, _chosen(understood, parts), width)
    wrong = any(severity(found) == "error" for found in understood.problems)
    if as_json:
        json_on_stdout(pipeline.charts_as_object(made))
    else:
        _say_small(made)
        _write(made, edition, file, output, form)
    if wrong and not as_json:
        on_stderr(f"{summary(understood.problems, file)}: see `booklet check`; these charts rest on it\n")
    ctx.exit(1 if wrong else 0)


def _edition(understood: Understood, settings: dict[str, object]) -> Edition:
    from booklet.cli.choose import choices, one_of, printed
    from booklet.editions.edition import Edition
    from booklet.tables.language import load, printable
    from booklet.tables.symbols import symbol_sets

    pattern, size = understood.pattern, str(settings["size"] or "")
    own = understood.language
    tag = one_of("language", str(settings["language"]), printable()) if settings["language"] else printed(own.tag)
    main = load(tag)
    return Edition(
        (tag,),
        own.terms if tag == own.tag else main.terms,
        units=main.settings.get("units", "metric"),
        choices=choices(settings["choose"], pattern.choices),  # type: ignore[arg-type]
        size=one_of("size", size, pattern.sizes) if size else "",
        left_handed=bool(settings["left_handed"]),
        symbols=one_of("symbol set", str(settings["symbols"]), symbol_sets()),
        layout="chart",
    )


def _chosen(understood: Understood, names: tuple[str, ...]) -> tuple[int, ...]:
    """The indices of the parts that were asked for, all if none was; each once, in the order of the file."""
    from booklet.cli.choose import one_of
    from booklet.cli.files import Refused

    known = [part.name for part in understood.graph.parts]
    if not known:
        raise Refused("The pattern has no part with rounds, so there is nothing to draw.")
    wanted = {one_of("part", name, known) for name in names}
    return tuple(i for i, name in enumerate(known) if not wanted or name in wanted)


def _say_small(made: tuple[Chart, ...]) -> None:
    """A chart is as wide as was asked for; where it cannot be worked from in print, its reader is told."""
    from booklet.cli.terminal import on_stderr

    for one in made:
        if one.drawing.clear_mm > one.drawing.width_mm + 0.1:
            on_stderr(f"{one.title}: symbols are lower than 3 mm at this width; in print it needs {one.drawing.clear_mm:.0f} mm\n")


def _write(made: tuple[Chart, ...], edition: Edition, file: str, output: str, form: str) -> None:
    """Write every chart under a name of its own; nothing is written where one of them cannot be drawn."""
    from booklet import pipeline
    from booklet.cli.files import Refused, output_folder, write_whole
    from booklet.cli.names import output_name
    from booklet.cli.terminal import Progress, on_stdout

    stem = Path(file).stem if file != "-" else "pattern"
    drawn: list[tuple[str, bytes]] = []
    with Progress() as progress:
        for name, one in zip(_names(made), made, strict=True):
            progress(f"drawing {one.title}")
            try:
                data = pipeline.chart_png(one) if form == "png" else pipeline.chart_svg(one, name).encode("utf-8")
            except pipeline.NotDrawn as fault:
                raise Refused(f"{one.title} cannot be drawn: {fault}.") from fault
            whole = output_name(stem, edition, form, terms=edition.terms, units=edition.units)
            drawn.append((whole.replace(".chart", f".chart.{name}", 1), data))
    folder = output_folder(output or ".")
    for name, data in drawn:
        write_whole(folder / name, data)
        on_stdout(f"{folder / name}\n")


def _names(made: tuple[Chart, ...]) -> list[str]:
    """A name for each chart: its part, and a number where the part has several charts."""
    import re

    plain = [re.sub(r"[^\w]+", "-", one.drawing.part.casefold()).strip("-") or "part" for one in made]
    names, seen = [], dict.fromkeys(plain, 0)
    for name in plain:
        seen[name] += 1
        names.append(f"{name}-{seen[name]}" if plain.count(name) > 1 else name)
    return names
