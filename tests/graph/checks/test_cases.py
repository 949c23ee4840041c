"""The plain text cases of tests/cases/checks.

Every case has its findings at its places and no other error; its neighbour has none of them."""

import re
from pathlib import Path
from typing import NamedTuple

import pytest

from booklet import pipeline
from booklet.diagnostics.codes import codes, help_text, message, page, severity
from booklet.graph.checks import CHECKS, CODES
from booklet.reports.frame import lines_of

FOLDER = Path(__file__).parents[2] / "cases" / "checks"


class Finding(NamedTuple):
    code: str
    place: str  # line:column
    help: str  # "" where the case does not say
    mended: str  # the line after the mend, "" where the case does not say


class Case(NamedTuple):
    name: str
    sentence: str
    bad: str
    finds: tuple[Finding, ...]
    good: str


def cases() -> list[Case]:
    return [_case(path) for path in sorted(FOLDER.glob("*.txt"))]


def _case(path: Path) -> Case:
    sentence, rest = path.read_text("utf-8").split("--- has\n")
    bad, rest = rest.split("--- finds\n")
    finds, good = rest.split("--- has not\n")
    return Case(path.stem, sentence.strip(), bad, tuple(_finding(row) for row in finds.splitlines() if row.strip()), good)


def _finding(row: str) -> Finding:
    head, *more = (cell.strip() for cell in row.split(" | "))
    code, place = head.split()
    return Finding(code, place, *more, *[""] * (2 - len(more)))


CASES = cases()
OF_EVERY_PART = {"total-missing", "start-missing"}  # notes that the small patterns of the cases give beside their point


def found(text):
    problems = pipeline.understand(text.encode(), "case.md").problems
    return [problem for problem in problems if problem.code in CODES]


def mended(problem, text):
    lines = lines_of(text)
    assert problem.edits, f"{problem.code} offers no mend"
    for edit in sorted(problem.edits, key=lambda edit: -edit.span.column):
        row = lines[edit.span.line - 1]
        lines[edit.span.line - 1] = row[: edit.span.column - 1] + edit.text + row[edit.span.end_column - 1 :]
    return lines[problem.edits[0].span.line - 1]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_what_the_case_has(case):
    problems = found(case.bad)
    wanted = sorted((one.code, one.place) for one in case.finds)
    kept = [p for p in problems if p.code not in OF_EVERY_PART - {one.code for one in case.finds}]
    assert sorted((p.code, f"{p.span.line}:{p.span.column}") for p in kept) == wanted
    for one in case.finds:
        problem = next(p for p in problems if p.code == one.code)
        if one.help:
            assert help_text(problem) == one.help
        if one.mended:
            assert mended(problem, case.bad) == one.mended


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_what_its_neighbour_has_not(case):
    problems = found(case.good)
    assert not {p.code for p in problems} & {one.code for one in case.finds}
    assert not [message(p) for p in problems if severity(p) != "note"]


@pytest.mark.parametrize("case", [case for case in CASES if any(one.mended for one in case.finds)], ids=lambda case: case.name)
def test_the_mend_mends(case):
    """The mended file has the finding no more, and no error at all."""
    lines = lines_of(case.bad)
    for problem in found(case.bad):
        if severity(problem) == "error" and problem.edits:
            lines[problem.edits[0].span.line - 1] = mended(problem, case.bad)
    assert not [message(p) for p in found("\n".join(lines)) if severity(p) == "error"]


def test_every_case_has_a_sentence():
    assert all(case.sentence.endswith((".", "!")) and "\n" not in case.sentence for case in CASES)


def fences(code):
    return re.findall(r"^```\n(.*?)^```$", page(code).text, re.MULTILINE | re.DOTALL)


@pytest.mark.parametrize("code", CODES)
def test_the_page_shows_the_finding_and_its_mend(code):
    bad, good = fences(code)
    assert code in {p.code for p in found(bad)}
    assert code not in {p.code for p in found(good)}


@pytest.mark.parametrize("code", CODES)
def test_the_sentences_of_a_page_are_filled(code):
    for problem in [p for text in (case.bad for case in CASES) for p in found(text)] + found(fences(code)[0]):
        assert "{" not in message(problem) + help_text(problem), problem.code
        assert problem.help in page(problem.code).helps


def test_codes_are_those_of_the_checks():
    assert len(set(CODES)) == len(CODES)
    assert set(CODES) <= set(codes())
    folder = Path(CHECKS[0].__file__).parent
    modules = {path.stem for path in folder.glob("*.py") if not path.stem.startswith("_")}
    assert modules == {module.__name__.rpartition(".")[2] for module in CHECKS}
    for module in CHECKS:
        assert re.search(r"^(Bad|Noted)", module.__doc__, re.MULTILINE), module.__name__
        assert re.search(r"^(Good|Not noted)", module.__doc__, re.MULTILINE), module.__name__
