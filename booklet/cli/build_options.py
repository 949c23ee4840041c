"""The options of `booklet build` as one list; an option is added by adding its line. What they mean is decided elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

from booklet.editions.discover import FORMS
from booklet.editions.edition import PRINTINGS, ROUNDS_IN

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]

OPTIONS: tuple[Decorator, ...] = (
    click.argument("files", metavar="FILE...", nargs=-1, required=True),
    click.option("-o", "--output", metavar="DIR", default="", help="Folder for the booklets; the current one if not given."),
    click.option("--layout", "layouts", metavar="NAME", multiple=True, help="a5, card-a6 …; a4 or letter if not given. Repeatable."),
    click.option("--language", "languages", metavar="TAG[+TAG]...", multiple=True, help="The pattern's own if not given. Repeatable."),
    click.option("--rounds-in", type=click.Choice(ROUNDS_IN), default=ROUNDS_IN[0], help="Which languages of a card have the rounds."),
    click.option("--terms", type=click.Choice(["US", "UK"]), multiple=True, help="Term system of English editions. Repeatable."),
    click.option("--units", type=click.Choice(["metric", "imperial", "both"]), help="Units; the language's own if not given."),
    click.option("--market", type=click.Choice(["US", "EU", "UK", "CA", "AU", "NZ"]), help="Whose cautions are printed."),
    click.option("--format", "forms", type=click.Choice(FORMS), multiple=True, help="The layout's own if not given. Repeatable."),
    click.option("--print", "printing", type=click.Choice(PRINTINGS), default=PRINTINGS[0], help="What it is for."),
    click.option("--size", metavar="NAME", default="", help="One of the pattern's sizes."),
    click.option("--choose", metavar="KEY=VALUE", multiple=True, help="Print one of the pattern's alternatives only."),
    click.option("--reader", type=click.Choice(["first-timer", "some", "none"]), default="some", help="How much the reader is told."),
    click.option("--symbols", metavar="NAME", default="us", help="Symbol set of the charts: us or jis; us if not given."),
    click.option("--left-handed", is_flag=True, help="Mirror the charts."),
    click.option("--house", metavar="FILE", help="House file; house.yaml beside the pattern if not given."),
    click.option("--message-numbers", is_flag=True, help="Print the numbers of a translator's messages beside the words."),
    click.option("--test-copy", "tester", metavar="NAME", default="", help="A copy for a tester: marked, wide margins, a form to fill in."),
    click.option("--proof", is_flag=True, help="Build in spite of errors, marked as a proof."),
    click.option("--strict", is_flag=True, help="Refuse what has warnings or is not wholly translated."),
    click.option("--jobs", type=click.IntRange(1, 64), metavar="N", help="How many at a time; as many as there are cores if not given."),
    click.option("--json", "as_json", is_flag=True, help="Print findings and paths on stdout as objects, for programs."),
)


def options(command: Callable[..., Any]) -> Callable[..., Any]:
    """All of them, in the order in which --help shows them."""
    for option in reversed(OPTIONS):
        command = option(command)
    return command
