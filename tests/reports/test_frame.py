"""Frames as people see them. The files in `frames/` were made by running and then read; `UPDATE=1` makes them anew."""

import os
from pathlib import Path

import pytest

from booklet.diagnostics.diagnostic import Edit, diagnostic
from booklet.diagnostics.span import START, Span
from booklet.reports.frame import frame, in_order, lines_of, report, summary

FRAMES = Path(__file__).parent / "frames"

TEXT = """---
title: Acorn
---

## Nut (make 1)

Rnd 1: 6 sc in MR (6)
Rnd 2: inc x 6 (12)
Rnd 3: (sc, inc) x 6 (19)
\tRnd 4: 編み目 (4 sc, dec) x 6 (15)
Rnd 5: 6 sv (18)
"""

TOTAL = diagnostic(
    "total-differs", Span(9, 22, 9, 26), edits=(Edit(Span(9, 22, 9, 26), "(18)"),), part="Nut", round="3",
    label="Rnd 3", computed=18, stated=19, fit=18,
)  # fmt: skip
CLOSING = diagnostic(
    "round-does-not-close", Span(10, 9, 10, 28), edits=(Edit(Span(10, 27, 10, 28), "3"),), help="missing-times",
    label="Rnd 4", available=18, consumed=36, difference=18, fit=3,
)  # fmt: skip
READ = diagnostic("repeat-unmarked", Span(8, 8, 8, 15), label="Rnd 2", read_as="(inc) around")
WHOLE = diagnostic("yarn-unused", START, yarn="C", colour="mustard")
TABLE = diagnostic("yarn-unused", Span(4, 1, 4, 5), yarn="C", file="shared/terms/US.tsv")
TWO_LINES = diagnostic("not-understood", Span(9, 8, 10, 5), label="Rnd 3", word="(sc", carried="(19)", help="expected", expected="a stitch")
ADDED = diagnostic("total-missing", Span(8, 1, 8, 20), edits=(Edit(Span(8, 20, 8, 20), "\nRnd 3: 12 sc (12)"),), label="Rnd 2", computed=12)
ESCAPES = diagnostic("abbreviation-unknown", Span(11, 8, 11, 12), help="near", word="\x1b[31msv", near="sc")

CASES = {
    "total": TOTAL, "closing": CLOSING, "read-as": READ, "whole-file": WHOLE, "table": TABLE,
    "two-lines": TWO_LINES, "added-line": ADDED, "escapes": ESCAPES,
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_frame(name):
    shown = frame(CASES[name], lines_of(TEXT), "acorn.md")
    _compare(name, shown)
    assert "\x1b" not in shown


def test_report_of_a_file():
    _compare("report", report(list(CASES.values()), TEXT, "acorn.md"))


def test_colour_changes_no_letter():
    import re

    plain = report(list(CASES.values()), TEXT, "acorn.md")
    coloured = report(list(CASES.values()), TEXT, "acorn.md", colour=True)
    assert coloured != plain
    assert re.sub(r"\x1b\[[\d;]*m", "", coloured) == plain


def test_at_most_so_many_and_errors_first():
    many = [TOTAL, *[diagnostic("yarn-unused", Span(2, 1, 2, 5), yarn=str(n)) for n in range(50)]]
    shown = report(many, TEXT, "acorn.md", most=3)
    assert shown.count("-->") == 3
    assert "error[total-differs]" in shown
    assert shown.endswith("1 error, 50 warnings in acorn.md (3 are shown)\n")


def test_summary_counts():
    assert summary([], "a.md") == "nothing to report in a.md"
    assert summary([TOTAL], "a.md") == "1 error in a.md"
    assert summary([TOTAL, CLOSING, WHOLE, READ, READ], "a.md") == "2 errors, 1 warning, 2 notes in a.md"


def test_in_the_order_of_the_file():
    assert [found.span.line for found in in_order([CLOSING, READ, TOTAL])] == [8, 9, 10]


def test_lines_end_at_line_feeds_and_returns_only():
    assert lines_of("a\x0bb\x0cc\u2028d\re\r\nf\ng") == ["a\x0bb\x0cc\u2028d", "e", "f", "g"]


def _compare(name, shown):
    file = FRAMES / f"{name}.txt"
    if os.environ.get("UPDATE"):
        FRAMES.mkdir(exist_ok=True)
        file.write_text(shown, "utf-8")
    assert file.read_text("utf-8") == shown
