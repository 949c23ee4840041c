"""Every page of a figure check: its first example has the finding, its second one has not."""

import re

import pytest

from booklet import pipeline
from booklet.diagnostics.codes import codes, help_text, message, page, severity
from booklet.figures.checks import CHECKS, CODES


def examples(code):
    return re.findall(r"^```\n(.*?)^```$", page(code).text, re.DOTALL | re.MULTILINE)


def findings(text):
    return pipeline.understand(text.encode(), "example.md").problems


@pytest.mark.parametrize("code", CODES)
def test_page(code):
    assert code in codes()
    bad, good = examples(code)
    found = [problem for problem in findings(bad) if problem.code == code]
    assert found, f"the first example of {code} does not have it"
    for problem in found:
        for sentence in (message(problem), help_text(problem)):
            assert "{" not in sentence and sentence.strip()
            assert not re.search(r"\b(safe|verified|passed|compliant)\b", sentence.replace("safety", ""))
    assert code not in [problem.code for problem in findings(good)], f"the second example of {code} still has it"


@pytest.mark.parametrize("code", CODES)
def test_examples_are_sound_otherwise(code):
    for text in examples(code):
        wrong = [problem.code for problem in findings(text) if severity(problem) == "error" and problem.code != code]
        assert wrong == []


def test_each_code_belongs_to_one_check():
    assert len(CODES) == len(set(CODES)) == sum(len(module.CODES) for module in CHECKS)
