"""Foreign words in a page from right to left: what belongs together stays together, and nothing else is touched."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from booklet import pipeline
from booklet.editions.discover import layout, layouts
from booklet.editions.edition import Edition
from booklet.outputs.html_isolated import CLOSE, OPEN, isolated

ACORN = Path(__file__).parents[2] / "examples/acorn/acorn.md"


def marked(text: str) -> str:
    return isolated(f"<body>{text}</body>").removeprefix("<body>").removesuffix("</body>").replace(OPEN, "[").replace(CLOSE, "]")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("כותנה chestnut, 100%", "כותנה [chestnut], 100%"),
        ("סיבוב 0.34 N·m, משיכה 50 N, 10 שניות", "סיבוב [0.34 N·m], משיכה [50 N], 10 שניות"),
        ("4 in·lbf (0.45 N·m)", "[4 in·lbf] ([0.45 N·m])"),
        ("2.7 × 2.2 ס״מ", "2.7 × 2.2 ס״מ"),
        ("eyes: safety", "[eyes: safety]"),
        ("Example Studio · עיצוב", "[Example Studio] · עיצוב"),
        ("https://example.org/acorn", "[https://example.org/acorn]"),
        ("<b title='x y'>A</b> &amp; לבן", "<b title='x y'>[A]</b> &amp; לבן"),
        ("<style>b { color: red }</style>ב", "<style>b { color: red }</style>ב"),
        ("סיבובים 5 ו 6", "סיבובים 5 ו 6"),
        ("", ""),
    ],
)
def test_runs(text: str, told: str):
    # Source of the two marks: Unicode Standard Annex 9, directional isolates (LRI, PDI).
    assert marked(text) == told


@pytest.mark.parametrize("name", [name for name in layouts() if name in ("a4", "card-dl", "leaflet-dl", "phone")])
def test_a_hebrew_page_has_only_balanced_marks_and_the_same_words(name: str):
    understood = pipeline.understand(ACORN.read_bytes(), str(ACORN))
    shared = pipeline.Shared()

    def made(tag: str) -> str:
        return pipeline.set_pages(understood, Edition((tag,), ""), layout(name), ACORN.parent, shared)[0]

    page = made("he")
    assert page.count(OPEN) == page.count(CLOSE) > 5
    assert not re.search(rf"<[^>]*[{OPEN}{CLOSE}][^>]*>", page[page.index("<body") :])
    assert OPEN not in made("de")
