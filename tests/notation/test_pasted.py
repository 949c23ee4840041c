"""Patterns as they are pasted, without a list of yarns, with letters for stitches, with sizes beside totals: read and counted."""

from __future__ import annotations

import re

import pytest

from booklet.diagnostics.codes import severity
from booklet.pipeline import Understood, understand
from booklet.tables.language import load
from tests.notation.cases import FOLDER, Case, cases

_FUZZED = "2段目：増し目を7回（14目）, Varv, 7, fm, genom, båda, lagren, (7)*(7), :V5, (2"


def _read(body: str, head: str = "") -> Understood:
    return understand(f"---\nlanguage: en-US\n{head}---\n\n## Ball\n{body}".encode(), "test.md")


def _codes(found: Understood) -> list[str]:
    return [problem.code for problem in found.problems]


def _totals(found: Understood) -> list[int | None]:
    return [line.total for line in found.graph.settled]


def test_colours_of_a_pattern_without_yarns_are_no_error() -> None:
    body = "Rnd 1: 6 sc in MR (6)\nRnd 2: change to D, inc x 6 (12)\n"
    assert "yarn-unknown" not in _codes(_read(body))
    assert "yarn-unknown" in _codes(_read(body, "yarns:\n  A: DK, white\n"))


def test_letters_are_stitches_where_nothing_else_is_meant_and_that_is_told() -> None:
    found = _read("R1: 6x in MR (6)\nR2: 6v (12)\nR3: (x, v)*6 (18)\nR4: (x, a)*6 (12)\n")
    assert _totals(found) == [6, 12, 18, 12]
    assert "reading-chosen" in _codes(found)
    assert "not-understood" not in _codes(found)


def test_letters_stay_what_they_are_beside_words() -> None:
    found = _read("R1: 6 sc in MR (6)\nR2: inc x 6 (12)\nR3: (sc, inc) x 6 (18)\nR4: (a sc, dec) x 6 (12)\n")
    assert _totals(found) == [6, 12, 18, 12]
    assert "reading-chosen" not in _codes(found)


def test_a_bracket_behind_a_number_may_be_the_total_of_all_sizes() -> None:
    found = _read("Rnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\nRnd 3: (sc, inc) x 6 (18)\n", "sizes: [S, M]\n")
    for graph in (found.graph, *found.variants):
        assert [line.total for line in graph.settled] == [6, 12, 18]
        assert [line.fault for line in graph.settled] == ["", "", ""]


def test_a_bracket_behind_a_number_may_be_the_other_size() -> None:
    found = _read("Rnd 1: 6 (8) sc in MR\nRnd 2: inc x 6 (8)\nRnd 3: sc around\n", "sizes: [S, M]\n")
    assert [[line.total for line in graph.settled] for graph in (found.graph, *found.variants)] == [[6, 12, 12], [8, 16, 16]]


def test_a_last_number_without_a_meaning_is_no_total() -> None:
    # A fuzzer's line: what stands at the end looks like a total and has no number that could be one.
    found = _read("Rnd 1: 21 sc in MR (21)\n", "")
    assert _totals(found) == [21]
    nl = understand(f"---\nlanguage: nl\n---\n\n## Bal\n{_FUZZED}\n".encode(), "test.md")
    assert nl.problems  # told, and the run goes on


def test_a_total_that_no_round_has_costs_nothing() -> None:
    found = _read("Rnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 = 211000000\n")
    assert [line.stated for line in found.graph.settled] == [6, None]
    assert found.graph.settled[0].carried == 6


LABEL = re.compile(r"^\W*(?:(?:r|rnd|rnds|round|rounds|rd|row|rows|step)[\s.#]*)?(\d+)", re.I)
APART = {"numbering-gap", "yarn-unknown", "yarn-not-used"}  # of the round that stands before the line, not of the line


@pytest.mark.parametrize("stem", sorted(path.stem for path in FOLDER.glob("en-*-pasted*.txt")))
def test_lines_of_many_hands_are_lines_and_raise_no_alarm(stem: str) -> None:
    """The reader may understand what the file's reader takes for prose: so each line is put through the whole check."""
    wrong = [found for case in cases(stem) if (found := _alarm(case, stem[:5]))]
    assert not wrong, "\n".join(wrong)


def _alarm(case: Case, tag: str) -> str:
    numbered = LABEL.match(case.lines[0])
    name, _, number = case.have.rpartition(" ")
    head, before = "", ""
    if "=" in name:
        head = f"## {name.partition('=')[2]} (make 2)\nRnd 1: {number} sc in MR ({number})\n\n"
    elif name == "ch":
        before = f"Ch {number}\n\n"
    elif case.have != "-":
        at = max(1, int(numbered[1]) - 1) if numbered else 2
        before = f"Rnd {at}: {number} {load(tag).names['single_crochet'].abbr} in MR ({number})\n\n"
    body = "\n\n".join(case.lines)
    text = f"---\nlanguage: {tag}\n---\n\n{head}## Body\n\n{before}{body}\n"
    found = understand(text.encode(), "test.md")
    first = text[: text.index(case.lines[0])].count("\n") + 1
    told = [
        problem.code
        for problem in found.problems
        if severity(problem) != "note" and problem.span.line >= first and problem.code not in APART
    ]
    line = found.graph.settled[-1]
    made = line.carried if line.kind == "start" else line.total
    missed = line.line < text.count("\n") or (case.made[-1] is not None and made != case.made[-1])
    return f"{tag}:{case.line}: {case.lines[-1]}: makes {made}, {told}" if told or missed else ""
