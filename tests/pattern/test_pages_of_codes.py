"""Every code that the rooms source and pattern raise has a page, whose first example has it and whose second has it not."""

import re

import pytest

from booklet.diagnostics.codes import help_text, message, page
from booklet.pattern.resolve import resolve
from booklet.resources import folder
from booklet.source.read import read

_RAISED = re.compile(r"(?:diagnostic|_mend)\(\s*(?:rows,\s*)?\"([a-z-]+)\"|code = \"([a-z-]+)\"|else \"([a-z-]+)\"\n")
_FENCED = re.compile(r"^```\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def raised() -> list[str]:
    rooms = folder("shared").parent / "booklet"
    texts = [path.read_text("utf-8") for room in ("source", "pattern") for path in (rooms / room).glob("*.py")]
    return sorted({next(filter(None, found)) for text in texts for found in _RAISED.findall(text)})


def found(text: str) -> list:
    source, first = read(text.encode(), "example.md")
    return [*first, *resolve(source)[1]]


def test_all_codes_are_found_in_the_rooms():
    assert {"empty-file", "hash-in-value", "sign-at-start", "unknown-key", "too-many-choices"} <= set(raised())


@pytest.mark.parametrize("code", raised())
def test_the_example_has_it_and_the_mended_one_has_not(code):
    examples = _FENCED.findall(page(code).text)
    if not examples:
        assert code in ("empty-file", "file-too-large", "not-text")
        return
    bad, good = examples
    problems = [problem for problem in found(bad) if problem.code == code]
    assert problems, "the first example has to have it"
    assert code not in [problem.code for problem in found(good)], "the mended example must not have it"
    for problem in problems:
        for sentence in (message(problem), help_text(problem)):
            assert "{" not in sentence or "{" in str(problem.values), sentence
        assert message(problem)


@pytest.mark.parametrize("code", raised())
def test_its_mend_mends_it(code):
    examples = _FENCED.findall(page(code).text)
    problems = [problem for problem in found(examples[0]) if problem.code == code and problem.edits] if examples else []
    if problems:
        mended = apply(examples[0], problems[-1].edits)
        assert len([problem for problem in found(mended) if problem.code == code]) < len(
            [problem for problem in found(examples[0]) if problem.code == code]
        )


def apply(text: str, edits) -> str:
    lines = text.split("\n")
    starts = [0]
    for line in lines:
        starts.append(starts[-1] + len(line) + 1)
    for edit in sorted(edits, reverse=True):
        span = edit.span
        start, end = starts[span.line - 1] + span.column - 1, starts[span.end_line - 1] + span.end_column - 1
        text = text[:start] + edit.text + text[end:]
    return text
