"""The values of `check --json`: keys in the promised order, numbers of the example, the same bytes on every run.

`json/acorn.json` was made by running and then read; `UPDATE=1` makes it anew.
"""

import json
import os
from pathlib import Path

from booklet import pipeline
from booklet.reports.json import check_json

HERE = Path(__file__).parent
ACORN = HERE.parents[1] / "examples" / "acorn" / "acorn.md"
KEYS = ["file", "title", "language", "terms", "problems", "parts", "variants"]
PROBLEM = ["code", "severity", "line", "column", "end_column", "part", "round", "message", "help", "mend"]
MEND = ["line", "column", "end_line", "end_column", "text"]
PART = ["name", "make", "worked", "stitches", "rounds"]
ROUND = [
    "line", "kind", "label", "first", "last", "available", "consumed", "total", "stated", "stated_unit", "carried", "counts",
]  # fmt: skip


def read(text, file="acorn.md"):
    return check_json(pipeline.understand(text.encode(), file))


def test_the_acorn():
    made = json.dumps(read(ACORN.read_text("utf-8")), indent=1, ensure_ascii=False) + "\n"
    golden = HERE / "json" / "acorn.json"
    if os.environ.get("UPDATE"):
        golden.write_text(made, "utf-8")
    assert golden.read_text("utf-8") == made
    assert made == json.dumps(read(ACORN.read_text("utf-8")), indent=1, ensure_ascii=False) + "\n"


def test_keys_and_their_order():
    made = read(ACORN.read_text("utf-8").replace("(18)", "(19)", 1))
    assert list(made) == KEYS
    (error,) = [problem for problem in made["problems"] if problem["severity"] == "error"]
    assert list(error) == PROBLEM
    assert list(error["mend"][0]) == MEND
    assert list(made["parts"][0]) == PART
    assert all(list(line) == ROUND for part in made["parts"] for line in part["rounds"])


def test_the_numbers_of_the_range():
    """By hand: 6 + 12 + 18 + 4 x 18 + 12 + 6 = 126 stitches, and the range stands for rounds 4 to 7 of 18."""
    nut = read(ACORN.read_text("utf-8"))["parts"][0]
    assert (nut["name"], nut["make"], nut["worked"], nut["stitches"]) == ("Nut", 1, "spiral", 126)
    row = nut["rounds"][3]
    assert (row["first"], row["last"], row["available"], row["consumed"], row["total"], row["stated"]) == (4, 7, 18, 18, 18, 18)
    assert row["counts"] == {"single_crochet": 18}


def test_a_line_that_was_not_understood():
    made = read("## Ball\nRnd 1: 6 sc in MR (6)\nRnd 2: whatever seems good (12)\nRnd 3: (sc, inc) x 6 (18)\n")
    second, third = made["parts"][0]["rounds"][1:]
    assert (second["total"], second["stated"], second["carried"]) == (None, 12, 12)
    assert (third["available"], third["consumed"], third["total"]) == (12, 12, 18)
    assert [problem["code"] for problem in made["problems"] if problem["severity"] == "error"] == ["not-understood"]


def test_a_starting_chain_is_a_line_without_number():
    made = read("## Ear\nCh 8.\nRow 1: sc in 2nd ch from hook and in each ch across (7)\n")
    start, row = made["parts"][0]["rounds"]
    assert (start["kind"], start["first"], start["last"]) == ("start", None, None)
    assert (row["kind"], row["first"], row["total"]) == ("row", 1, 7)


def test_the_next_line_shows_which_number_was_the_slip():
    """After a wrong total the count goes on from the number with which the next line closes."""
    lines = "## Ball\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\nRnd 3: (sc, inc) x 6 ({})\nRnd 4: {}\n"
    for stated, after, carried in ((19, "(2 sc, inc) x 6 (24)", 18), (21, "(2 sc, inc) x 7 (28)", 21)):
        made = read(lines.format(stated, after))
        assert made["parts"][0]["rounds"][2]["carried"] == carried
        assert len([problem for problem in made["problems"] if problem["severity"] == "error"]) == 1


def test_variants_hold_what_differs():
    text = (
        "---\ntitle: Ball\nlanguage: en-US\n---\n\n## Ball\nRnd 1: 6 sc in MR (6)\n"
        "Either (shape: round): Rnd 2: inc x 6 (12)\nOr (shape: slim): Rnd 2: sc around (6)\n\n## Knob\nRnd 1: 6 sc in MR (6)\n"
    )
    made = read(text)
    assert [variant["choices"] for variant in made["variants"]] == [{"shape": "slim"}]
    for variant in made["variants"]:
        assert list(variant) == ["size", "choices", "parts"]
        assert [part["name"] for part in variant["parts"]] == ["Ball"]
