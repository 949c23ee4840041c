"""`booklet shape`: a wished form and size in, rounds ready to paste on stdout out. The counts are found in figures."""

from __future__ import annotations

import click

KINDS = ("ball", "egg", "cone", "tube", "capsule", "disc", "oval")


@click.command()
@click.argument("kind", type=click.Choice(KINDS))
@click.option("--width", metavar="LENGTH", required=True, help="Outside width: 6 cm, 2½ in.")
@click.option("--height", metavar="LENGTH", default="", help="Outside height of an egg, cone, tube or capsule.")
@click.option("--length", metavar="LENGTH", default="", help="The longer way across an oval.")
@click.option("--gauge", metavar="WORDS", default="", help="'24 sc x 26 rnds = 10 cm'; estimated from the hook if not given.")
@click.option("--hook", metavar="MM", default="", help="The hook: 2.5 mm. One of the two is needed.")
@click.option("--name", metavar="NAME", default="", help="Heading of the part; the form if not given.")
@click.option("--language", metavar="TAG", default="en-US", show_default=True, help="Language of the rounds.")
@click.option("--terms", type=click.Choice(["US", "UK"]), help="Term system of English rounds.")
@click.option("--json", "as_json", is_flag=True, help="Print counts, sizes and lines on stdout as an object, for programs.")
def shape(
    kind: str,
    width: str,
    height: str,
    length: str,
    gauge: str,
    hook: str,
    name: str,
    language: str,
    terms: str | None,
    as_json: bool,
) -> None:
    """Write the rounds of a ball, egg, cone, tube, capsule, disc or oval of a wished size.

    Prints a part that can be pasted into a pattern. Increases and decreases are spread evenly and shifted in every second round. Exit
    status: 0 done, 2 it cannot be done at this gauge.
    """
    from booklet import pipeline
    from booklet.cli.choose import one_of
    from booklet.cli.files import Refused
    from booklet.cli.lengths import length as read_length
    from booklet.cli.terminal import json_on_stdout, on_stderr, on_stdout
    from booklet.reports.wished import made_json, made_words
    from booklet.tables.language import printable

    if not gauge and not hook:
        raise Refused("Give --gauge '24 sc x 26 rnds = 10 cm', or --hook 2.5mm for an estimate.")
    across = read_length("--width", width, 2, 5000)
    other = read_length("--length" if kind == "oval" else "--height", (length or height), 2, 5000) if length or height else 0.0
    if kind in ("egg", "cone", "tube", "capsule", "oval") and not other:
        raise Refused(f"A {kind} needs {'--length' if kind == 'oval' else '--height'} as well.")
    tag = one_of("language", language, printable())
    try:
        made = pipeline.wished(kind, across, other, gauge, hook, name or kind.capitalize(), tag, terms or "")
    except ValueError as fault:
        raise Refused(_WHY.get(str(fault), f"--gauge {gauge!r} is not understood: write it as 24 sc x 26 rnds = 10 cm.")) from fault
    if as_json:
        json_on_stdout(made_json(made))
        return
    on_stdout(made.text)
    on_stderr(made_words(made))


_WHY = {
    "small": "That is too small for this gauge: a round has at least four stitches.",
    "large": "That is too large: at most 300 rounds of 3,000 stitches.",
    "low": "That height cannot be worked: it is lower than the rounds allow, or than the form is wide.",
    "hook": "--hook takes a size such as 2.5 mm.",
}
