"""`booklet preflight`: finished PDFs in, what a print shop would object to out. Looking and judging are done in press."""

from __future__ import annotations

import click

from booklet.editions.edition import PRINTINGS


@click.command()
@click.argument("files", metavar="PDF...", nargs=-1, required=True)
@click.option("--for", "purpose", type=click.Choice(PRINTINGS), default="press", help="What it is to be used for; press if not given.")
@click.option("--ink", "most_ink", metavar="PERCENT", type=click.FloatRange(100, 400), default=300, help="The most ink on one spot; 300.")
@click.option("--strict", is_flag=True, help="Count warnings as errors in the exit status.")
@click.option("--json", "as_json", is_flag=True, help="Print facts and findings on stdout as objects, for programs.")
@click.pass_context
def preflight(ctx: click.Context, files: tuple[str, ...], purpose: str, most_ink: float, strict: bool, as_json: bool) -> None:
    """Look at a PDF, one of ours or anybody's, as a print shop does.

    Boxes, bleed, words near the knife, fonts, pictures, colours, ink, thin lines, pages, links. Exit status: 0 nothing wrong,
    1 errors, 2 it could not be looked at.
    """
    from booklet.cli.files import Refused, read_pdf
    from booklet.cli.terminal import Progress, json_on_stdout, on_stdout
    from booklet.press.bounded import facts_of
    from booklet.press.facts import Unreadable
    from booklet.press.judge import judge
    from booklet.press.report import as_object, as_text
    from booklet.reports.cells import harmless

    objects, grave = [], {"error", "warning"} if strict else {"error"}
    wrong = False
    with Progress() as progress:
        for file in files:
            progress(f"looking at {file}")
            try:
                facts = facts_of(read_pdf(file))
            except Unreadable as fault:
                raise Refused(f"{file} cannot be looked at: {fault}.") from fault
            found = judge(facts, purpose, most_ink)
            wrong = wrong or any(one.severity in grave for one in found)
            objects.append(as_object(file, purpose, facts, found))
            if not as_json:
                on_stdout("".join(f"{harmless(line)}\n" for line in as_text(file, facts, found).splitlines()))
    if as_json:
        json_on_stdout(objects)
    ctx.exit(1 if wrong else 0)
