"""Whole parts in every language, as blogs print them, through the whole check: every line is a line, has its total, and raises no alarm."""

from __future__ import annotations

import pytest

from booklet.diagnostics.codes import severity
from booklet.pipeline import understand
from tests.notation.cases import FOLDER, Case, cases
from tests.notation.test_cases import language_of

STEMS = sorted(path.stem for path in FOLDER.glob("*.txt") if path.stem.endswith(("-blogs", "-letters")))
TELLS = 3  # lines that are enough to know a language by
KNOWN = 0.7  # share of the parts: `R1: 6 KS` is Slovak and Czech, `Rd 3: (ks, inc) x 6` has one word that is not English


def _file(case: Case, language: str) -> str:
    declared = f"language: {language}\n" if language else ""
    return f"---\ntitle: Ball\n{declared}hook: 3 mm\nmade as: decoration\n---\n\n## Ball\n\n" + "\n".join(case.lines) + "\n"


@pytest.mark.parametrize("stem", STEMS)
def test_every_line_has_its_total_and_nothing_is_said_against_it(stem: str) -> None:
    wrong = []
    for case in cases(stem):
        text = _file(case, language_of(stem))
        found = understand(text.encode(), "ball.md")
        first = text.count("\n") - len(case.lines) + 1
        by_line = {line.line: line for line in found.graph.settled}
        for at, (words, made) in enumerate(zip(case.lines, case.made, strict=True)):
            line = by_line.get(first + at)
            if made is not None and (line is None or line.total != made):
                wrong.append(f"{stem}.txt:{case.line}: {words}: makes {line and line.total}, not {made}")
        told = [problem.code for problem in found.problems if severity(problem) != "note"]
        if told:
            wrong.append(f"{stem}.txt:{case.line}: {case.lines[0]} …: {told}")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("stem", [stem for stem in STEMS if stem.endswith("-blogs")])
def test_a_pattern_without_a_language_is_known_by_its_words(stem: str) -> None:
    long = [case for case in cases(stem) if len(case.lines) > TELLS]
    known = [case for case in long if understand(_file(case, "").encode(), "ball.md").language.tag == language_of(stem)]
    assert len(known) >= KNOWN * len(long), [case.lines[0] for case in long if case not in known]


def _slips() -> list[tuple[str, tuple[str, ...], int]]:
    rows = (FOLDER.parent / "slips.txt").read_text("utf-8").splitlines()
    cells = [row.split("\t") for row in rows if row and not row.startswith("#")]
    return [(tag, tuple(lines.split(" // ")), int(wrong)) for tag, lines, wrong in cells]


@pytest.mark.parametrize(("tag", "lines", "wrong"), _slips(), ids=lambda value: str(value)[:24])
def test_a_slip_is_told_once_and_at_its_line(tag: str, lines: tuple[str, ...], wrong: int) -> None:
    case = Case("slip", "-", lines, None, (), 0)
    text = _file(case, tag)
    first = text.count("\n") - len(lines) + 1
    found = understand(text.encode(), "ball.md")
    assert [problem.span.line - first + 1 for problem in found.problems if severity(problem) == "error"] == [wrong]


LETTERS = (
    ("fr", "1. 7 ms (7)", "2. 7 A (14)", "3. 1ms 1A x7 (21)", "4. 1ms 1D x7 (14)"),
    ("de", "R1: 7 fM in MR", "R2: 7 Z (14)", "R3: (1 fM, 1 Z) x 7 (21)", "R4: (1 fM, 1 A) x 7 (14)"),
    ("pt-BR", "C1: AM 7pb", "C2: 7A (14)", "C3: (1pb, 1A)*7 (21)", "C4: (1pb, 1D)*7 (14)"),
    ("sk", "R1: 7 KS [7]", "R2: V x 7 [14]", "R3: (KS, V) x 7 [21]", "R4: (KS, A) x 7 [14]"),
)


@pytest.mark.parametrize(("tag", "lines"), [(tag, lines) for tag, *lines in LETTERS])
def test_letters_of_a_language_stand_for_shaping_where_no_yarn_has_them(tag: str, lines: list[str]) -> None:
    found = understand(_file(Case("letters", "-", tuple(lines), None, (), 0), tag).encode(), "ball.md")
    assert [line.total for line in found.graph.settled] == [7, 14, 21, 14]
