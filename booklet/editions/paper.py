"""An edition in, the settings of its layout out, with a wide margin for notes where it is a test copy; nothing is printed here."""

from __future__ import annotations

from dataclasses import replace

from booklet.editions.discover import Layout, layout, layouts
from booklet.editions.edition import Edition
from booklet.tables.language import load
from booklet.tables.reader import TableFault
from booklet.tables.territories import FILE, territory

NOTES_MM = 42.0  # room beside the text for a pencil: some six words a line; a guess
LEAST_TEXT_MM = 84.0  # narrower lines of rounds break after every second stitch; a guess


def paper(edition: Edition) -> Layout:
    """The layout that an edition is printed with. KeyError and TableFault as `discover.layout`."""
    made = layout(edition.layout)
    return noted(made) if edition.tester and takes_notes(made) else made


def usual(tag: str, market: str = "") -> str:
    """The layout of an edition where none is named: the paper of its market, else of the language's territory, else of its settings."""
    region = market or next((part for part in tag.split("-")[1:] if len(part) == 2 and part.isalpha()), "")
    if not region:
        return load(tag).settings.get("paper", territory("").layout)
    found = territory(region)
    if found.layout not in layouts():
        raise TableFault(FILE, found.line, f"no layout {found.layout!r}")
    return found.layout


def has_form(made: Layout) -> bool:
    """Can a test copy be made in it? A card has no room for the form; on a screen and in plain text it is filled in there."""
    return not made.card_sides


def takes_notes(made: Layout) -> bool:
    """Has it pages with margins that can be written on? A card and a screen have not."""
    return not made.card_sides and not made.screen


def noted(made: Layout) -> Layout:
    """The layout with its outer margin widened for notes; what is drawn becomes narrower with the text."""
    most = made.width_mm - made.margins.inner - LEAST_TEXT_MM
    wide = replace(made, margins=made.margins._replace(outer=max(made.margins.outer, min(NOTES_MM, most))))
    room = wide.text_mm[0]

    def narrowed(box: tuple[float, float]) -> tuple[float, float]:
        return min(box[0], room), box[1]

    return replace(wide, chart_mm=narrowed(made.chart_mm), photo_mm=narrowed(made.photo_mm), step_mm=narrowed(made.step_mm))
