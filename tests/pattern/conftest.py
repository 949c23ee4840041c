"""A pattern from a few lines of text."""

import pytest

from booklet.pattern.resolve import resolve
from booklet.source.read import read, read_house

HEAD = "title: Ball\nlanguage: en-US\nterms: US"
ROUNDS = "\n## Ball (make 1)\n\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\n"


class Resolved:
    def __init__(self, text, house=None):
        source, first = read(text.encode(), "x.md")
        self.pattern, second = resolve(source, read_house(house.encode(), "house.yaml")[0] if house else None)
        self.problems = (*first, *second)
        self.codes = [problem.code for problem in self.problems]


@pytest.fixture
def head():
    return lambda text, house=None: Resolved(f"---\n{HEAD}\n{text}\n---\n{ROUNDS}", house)


@pytest.fixture
def body():
    return lambda text, more="": Resolved(f"---\n{HEAD}\n{more}\n---\n\n{text}\n")


@pytest.fixture
def text():
    return Resolved
