"""Every line of tests/cases/lines comes out as its file says: right lines without a word, wrong ones caught with the mend that closes."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.tables.language import load, tags
from tests.notation.cases import FOLDER, Case, cases, failure, run

ROWS = [
    line
    for line in (Path(__file__).parent / "rows.txt").read_text("utf-8").split("\n")
    if line and not line.startswith("#")
]
FILES = sorted(path.stem for path in FOLDER.glob("*.txt") if path.stem != "mistakes")
AT_LEAST = 5  # lines for every row of the survey


def language_of(stem: str) -> str:
    """`en-US-rough` is read in en-US."""
    return max((tag for tag in tags() if stem == tag or stem.startswith(f"{tag}-")), key=len)


@pytest.mark.parametrize("stem", FILES)
def test_right_lines_are_counted_and_raise_no_alarm(stem: str) -> None:
    language = load(language_of(stem))
    wrong = []
    for case in cases(stem):
        fault = failure(case, run(case, language))
        if fault:
            wrong.append(f"{stem}.txt:{case.line}: from {case.have}: {' // '.join(case.lines)}: {fault}")
    assert not wrong, "\n".join(wrong)


def test_every_row_of_the_survey_has_its_lines() -> None:
    found = [case.row for case in cases("en-US")]
    assert [row for row in ROWS if found.count(row) < AT_LEAST] == []
    assert sorted(set(found) - set(ROWS)) == []


@pytest.mark.parametrize("case", cases("mistakes"), ids=lambda case: f"line {case.line}")
def test_mistakes_are_caught(case: Case) -> None:
    last = run(case, load("en-US"))[-1]
    assert last.fault, case.lines
    if case.made[-1] is not None:
        assert last.total == case.made[-1]
    if case.used is not None:
        assert last.consumed == case.used
    if case.mend != "none":
        assert f"{last.fits[0][0]} {last.fits[0][1]}" == case.mend, last.fits


def test_one_slip_is_told_once() -> None:
    """Whatever the author went on from, the lines behind a wrong one are right."""
    language = load("en-US")
    for case in cases("mistakes"):
        stated = run(case, language)[-1].stated
        for total in {stated, run(case, language)[-1].total} - {None}:
            longer = case._replace(lines=(*case.lines, f"Rnd 90: {total} sc ({total})", f"Rnd 91: sc around ({total})"))
            assert [line.fault for line in run(longer, language)][-2:] == ["", ""], longer
