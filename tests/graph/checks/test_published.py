"""Lines of published patterns, recomputed: what each takes and makes, and the three that do not close.

Sources (read by others, facts only): pear, https://dzen.ru/a/YqgIC2B8CTURTRXl ; monkey, http://www.taynayamagiya.ru/ ;
mushroom, https://www.bomuldskys.dk/free-pattern-mushroom ; German beanie, https://expydoc.com/doc/9023886/ ; Swedish heart
cactus, https://amigurumipasvenska.blogspot.com/2010_01_31_archive.html ; guinea pig, https://studylibde.com/doc/9177774/ ;
Dutch rule, https://hethaakbeest.be/waar-moet-ik-mijn-meerdering-haken/
"""

import pytest

from booklet import pipeline
from booklet.diagnostics.codes import severity
from booklet.reports.json import check_json

CLOSING = [
    # source, stitches before, words, stitches after
    ("pear 1", 0, "6 sc in MR", 6),
    ("pear 2", 6, "6 inc", 12),
    ("pear 3", 12, "(sc, inc) x 6", 18),
    ("pear 4", 18, "(2 sc, inc) x 6", 24),
    ("pear 5", 24, "(3 sc, inc) x 6", 30),
    ("pear 6", 30, "2 sc, inc, (4 sc, inc) x 5, 2 sc", 36),
    ("pear 7", 36, "(5 sc, inc) x 6", 42),
    ("pear 8", 42, "3 sc, inc, (6 sc, inc) x 5, 3 sc", 48),
    ("pear 15", 48, "(6 sc, dec) x 6", 42),
    ("pear 17", 42, "(5 sc, dec) x 6", 36),
    ("pear 19", 36, "(4 sc, dec) x 6", 30),
    ("pear 21", 30, "(3 sc, dec) x 6", 24),
    ("pear 29", 24, "(2 sc, dec) x 6", 18),
    ("pear 30", 18, "(sc, dec) x 6", 12),
    ("pear 31", 12, "6 dec", 6),
    ("monkey 9", 48, "(15 sc, inc) x 3", 51),
    ("monkey 10", 51, "(16 sc, inc) x 3", 54),
    ("monkey 21", 54, "(16 sc, dec) x 3", 51),
    ("monkey 22", 51, "(15 sc, dec) x 3", 48),
    ("mushroom cap 6", 24, "(11 sc, inc) x 2", 26),
    ("guinea pig 7", 15, "inc, 4 sc, dec, sc, dec, 4 sc, inc", 15),
    ("Swedish cactus 5", 18, "(inc, 2 sc) x 6", 24),
    ("Dutch rule 5", 24, "(3 sc, inc) x 6", 30),
    ("Dutch rule 23", 132, "(21 sc, inc) x 6", 138),
]

NOT_CLOSING = [
    # source, stitches before, words as published, what they take, what they make, printed total, multiplier that closes
    ("mushroom stem 6", 18, "(4 sc, dec) x 6", 36, 30, 15, 3),
    ("mushroom stem 8", 15, "(3 sc, dec) x 6", 30, 24, 12, 3),
    ("mushroom stem 10", 12, "(2 sc, dec) x 6", 24, 18, 9, 3),
]


def understood(before, words, total):
    start = f"Rnd 1: {before} sc in MR ({before})\n" if before else ""
    text = f"## Piece\nWorked in a spiral.\n{start}Rnd {2 if before else 1}: {words} ({total})\n"
    return text, pipeline.understand(text.encode(), "published.md")


@pytest.mark.parametrize(("source", "before", "words", "after"), CLOSING)
def test_published_lines_close(source, before, words, after):
    _, read = understood(before, words, after)
    assert [problem.code for problem in read.problems if severity(problem) == "error"] == []
    line = check_json(read)["parts"][0]["rounds"][-1]
    assert (line["available"] or 0, line["consumed"], line["total"], line["stated"]) == (before, before, after, after)


@pytest.mark.parametrize(("source", "before", "words", "takes", "makes", "printed", "times"), NOT_CLOSING)
def test_published_lines_that_do_not_close_are_caught(source, before, words, takes, makes, printed, times):
    text, read = understood(before, words, printed)
    errors = [problem for problem in read.problems if severity(problem) == "error"]
    assert [problem.code for problem in errors] == ["round-does-not-close"]  # one slip, one error
    values = dict(errors[0].values)
    assert values["consumed"] == takes
    assert values["available"] == before
    assert (errors[0].help, values["fit"]) == ("missing-times", times)
    (edit,) = errors[0].edits
    assert (edit.text, text.splitlines()[edit.span.line - 1][edit.span.column - 1]) == ("3", "6")
    line = check_json(read)["parts"][0]["rounds"][-1]
    # What the words make is not what is printed, but the printed total is right: the next line goes on from it.
    assert (line["total"], line["stated"], line["carried"]) == (makes, printed, printed)


# The German beanie closes only if its starting chain counts as a stitch: (inc, 1) x 7, inc on 16 uses 15 places without it.
BEANIE = [
    (16, "(hdc inc, hdc) x 7, hdc inc", 24),
    (24, "(hdc inc, 2 hdc) x 7, hdc inc, hdc", 32),
    (32, "(hdc inc, 3 hdc) x 7, hdc inc, 2 hdc", 40),
]


@pytest.mark.parametrize(("before", "words", "after"), BEANIE)
def test_the_beanie_closes_only_with_a_counting_chain(before, words, after):
    def problems(counting):
        text = f"## Hat\nRnd 1: {before} hdc in MR, join ({before})\nRnd 2: ch 2 ({counting}), {words}, join ({after})\n"
        return [p.code for p in pipeline.understand(text.encode(), "beanie.md").problems if severity(p) == "error"]

    assert problems("counts as hdc") == []
    assert problems("does not count as st") == ["round-does-not-close"]
