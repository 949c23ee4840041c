"""A small book by hand, with one of everything that a layout can meet."""

from __future__ import annotations

from dataclasses import replace

from booklet.pages.book import (
    Abbreviation,
    Abbreviations,
    Alternative,
    Book,
    Caution,
    Choice,
    Colophon,
    Colour,
    Cover,
    Direction,
    Entry,
    Fact,
    Finding,
    Heading,
    Item,
    Materials,
    Part,
    Photo,
    Picture,
    Prose,
    Ring,
    Round,
    Rounds,
    Safety,
    Section,
    Steps,
    YarnRow,
)
from booklet.pages.colour import accent
from booklet.tables.language import page_words

CHESTNUT = Colour("A", "chestnut", "#7a4a2b")
OAT = Colour("B", "", "#c9c4bc")
PICTURE = Picture("photos/nut.jpg", "A brown nut", "The *nut*, before it is closed.")


def nut() -> Part:
    return Part(
        anchor="part-1",
        number=1,
        title="Nut",
        make="make 2",
        differs=("second not fastened off",),
        size="about 2.4 × 3.1 cm",
        stitches="126 stitches",
        colours=(CHESTNUT, OAT),
        outline=None,
        blocks=(
            Direction("With A. Worked in a spiral."),
            Rounds(
                (
                    Round("Rnd 1", ("1",), "6 sc in MR", "(6)", "#7a4a2b"),
                    Round("Rnds 2–3", ("2", "3"), "sc around", "(6)", marked="(7)"),
                    Round("Rnds 4–20", tuple(map(str, range(4, 21))), "sc around", "(6)", choice="ears: long"),
                )
            ),
            Heading("The narrow end"),
            Choice((Alternative("Either · eyes: safety", (Direction("Place them."),)), Alternative("Or", (Prose("Sew *them*."),)))),
            Photo(PICTURE),
            Prose("Some **words** & signs <here>."),
        ),
    )


def book() -> Book:
    words = page_words("en-US")
    return Book(
        language="en-US",
        title="Nut & Shell",
        subtitle="A <small> thing",
        designer="Example Studio",
        keywords=("crochet",),
        date="2026-11-24",
        words=words,
        accent=accent([("#7a4a2b", 3.0), ("", 1.0)]),
        cover=Cover(None, (Ring("#7a4a2b", 1.0, 6), Ring("#c9c4bc", 2.0, 12)), ("Easy", "3 cm tall")),
        contents=(Entry("part-1", "Nut", "make 2"), Entry("safety", "About safety")),
        glance=(Fact("Level", "Easy", "plain"), Fact("Hook", "2.5 mm")),
        materials=Materials(
            (YarnRow(CHESTNUT, "Nutty", "100% cotton", "about 4 m", "1 ball", "eyes: yarn"), YarnRow(OAT, "", "", "", "")),
            (Item("2.5 mm hook"), Item("2 safety eyes", "eyes: safety")),
            "Computed.",
        ),
        abbreviations=Abbreviations("US terms.", (Abbreviation("sc", "single crochet"),), ("(18) is a total.",)),
        notes=(Section("section-1", "intro", "", (Prose("Welcome."),)), Section("section-2", "notes", "Before", (Prose("Mind."),))),
        overview=None,
        parts=(nut(),),
        finishing=(
            Section(
                "section-3",
                "assembly",
                "Assembly",
                (Steps(((Direction("Sew."), Photo(PICTURE)), (Prose("Weave in."),)), True), Steps(((Prose("a"),),), False)),
            ),
        ),
        safety=Safety("3+", "Meant for ages 3+.", (Caution("Small parts.", False), Caution("WARNING: X", True, ("US",))), "Standing."),
        colophon=Colophon((Fact("Version", "1.0"),), "Recomputed.", "Yours, with a [link](https://example.org)."),
        proof=None,
    )


def proof() -> Book:
    return replace(book(), proof=(Finding("error", "Error", "line 3, Nut", "wrong", "mend it"),))
