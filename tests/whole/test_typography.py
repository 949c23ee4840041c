"""What a book designer measures with a ruler, measured on finished PDFs of every layout that holds a whole booklet."""

from __future__ import annotations

import re
import sys
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from booklet.editions.discover import MM_PER_POINT, Layout, layout, papers
from booklet.editions.edition import Edition
from tests.built import built

sys.path.insert(0, str(Path(__file__).parent))
from letters import Line, pages

EXAMPLES = Path(__file__).parents[2] / "examples"
SMALLEST_PT = 6.0  # labels in drawings; common practice, no source
# Cards and the phone's page are no books: their own tests measure them.
BOOKS = [name for name in papers() if layout(name).width_mm >= 145 and layout(name).height_mm >= 200 and name != "phone"]


@cache
def set_(name: str, paper: str) -> list[list[Line]]:
    return pages(built(name, Edition(("en-US",), "US", units="both", layout=paper)).data)


def running(line: Line, paper: Layout) -> bool:
    """A running head or a page number: outside the text's height."""
    return line.base < paper.margins.top or line.base > paper.height_mm - paper.margins.bottom + 0.5


def inner_pages(name: str, paper: str) -> list[tuple[int, list[Line]]]:
    """Numbers and lines of the pages between the first and the last, without running heads."""
    made = set_(name, paper)
    return [(number, [line for line in lines if not running(line, layout(paper))]) for number, lines in enumerate(made[1:-1], 2)]


def is_heading(line: Line) -> bool:
    return "Display" in line.face and line.size >= 13


def goes_on(line: Line, above: list[Line]) -> bool:
    """Is it the second line of a heading?"""
    step = 1.5 * line.size * MM_PER_POINT
    return any(is_heading(other) and abs(other.left - line.left) < 0.5 and 0 < line.base - other.base < step for other in above)


each = pytest.mark.parametrize(("name", "paper"), [(name, paper) for name in ("harbour-otter/otter", "acorn/acorn") for paper in BOOKS])


@each
def test_the_text_has_the_size_that_the_layout_says(name: str, paper: str) -> None:
    sizes: dict[float, int] = {}
    for _, lines in inner_pages(name, paper):
        for line in lines:
            sizes[line.size] = sizes.get(line.size, 0) + len(line.text)
    most = max(sizes, key=lambda size: sizes[size])
    assert most == pytest.approx(layout(paper).body_pt, abs=0.05)
    # 9 to 11 points for books; 18 for large print (RNIB and APH guidance; from memory).
    assert 9 <= most <= 11 or most >= 18
    assert min(sizes) >= SMALLEST_PT


@each
def test_no_type_stands_in_the_margins(name: str, paper: str) -> None:
    page = layout(paper)
    for number, lines in inner_pages(name, paper):
        turned = page.two_sided and number % 2 == 0
        left, right = (page.margins.outer, page.margins.inner) if turned else (page.margins.inner, page.margins.outer)
        if not page.two_sided:
            left = min(left, 15.0)  # single sheets have a hanging column in their left margin
        for line in lines:
            # An italic letter's room may lie a hair beyond its ink.
            assert line.left >= left - 0.4, (number, line)
            assert line.right <= page.width_mm - right + 0.8, (number, line)


@each
def test_no_heading_stands_at_the_foot_of_a_page(name: str, paper: str) -> None:
    for number, lines in inner_pages(name, paper):
        if all(is_heading(line) for line in lines):
            continue  # a page for the reader's own notes
        for at, line in enumerate(lines):
            if is_heading(line) and not goes_on(line, lines[:at]):
                # A hanging heading stands beside its first line.
                below = [other for other in lines if other.base > line.base - 1 and not is_heading(other)]
                assert len({round(other.base) for other in below}) >= 2, (number, line.text)


@each
def test_a_round_and_its_total_stand_on_one_line_of_the_page(name: str, paper: str) -> None:
    found = 0
    for number, lines in inner_pages(name, paper):
        bold = [line for line in lines if "Bold" in line.face and re.match(r"(Rnds?|Rows?) \d", line.text) and line.size < 19]
        totals = [line for line in lines if re.fullmatch(r"\(\d+\)", line.text.strip()) and "Medium" in line.face]
        for total in totals:
            # The label stands at the left of it, on the same baseline.
            assert any(abs(label.base - total.base) < 0.3 and label.right < total.left for label in bold), (number, total)
            found += 1
    assert found > 5


@each
def test_type_is_dark_enough(name: str, paper: str) -> None:
    """WCAG 2.2, success criterion 1.4.3: 4.5 to 1 for text; white letters stand on black signs only."""
    for number, lines in inner_pages(name, paper):
        for line in lines:
            if line.ink != (255, 255, 255):
                assert contrast(line.ink) >= 4.5, (number, line)


def contrast(ink: tuple[int, int, int]) -> float:
    """Contrast ratio to white by the formula of WCAG 2.2 (relative luminance)."""
    linear = [c / 255 / 12.92 if c / 255 <= 0.04045 else ((c / 255 + 0.055) / 1.055) ** 2.4 for c in ink]
    return 1.05 / (0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2] + 0.05)


@each
def test_lines_of_a_paragraph_are_one_line_of_the_grid_apart(name: str, paper: str) -> None:
    page = layout(paper)
    step = page.line_pt * MM_PER_POINT
    steps = []
    for _, lines in inner_pages(name, paper):
        body = [line for line in lines if line.face == "Literata" and abs(line.size - page.body_pt) < 0.06]
        for a, b in pairwise(body):
            if abs(a.left - b.left) < 0.1 and 0.1 < b.base - a.base < 1.2 * step:
                steps.append(b.base - a.base)
    assert steps and all(found == pytest.approx(step, abs=0.12) for found in steps)
