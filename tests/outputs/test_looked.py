"""What a book designer would object to is seen on the laid-out pages: lone lines, long lines, tables without their head.

Editors' checklists ask for all three; the number of letters is common practice, no source.
"""

from __future__ import annotations

import pytest

from booklet import pipeline
from booklet.diagnostics.codes import message, severity
from booklet.editions.edition import Edition
from booklet.fitting import laid_out
from booklet.outputs.pdf import render
from tests.pages.test_compose import made

WORDS = "A maker reads these lines with a hook in one hand and yarn in the other, and loses her place where they are long. "


def seen(body: str, style: str = "") -> list[tuple[str, int]]:
    """What is found on pages of nine lines of 12 points."""
    base = "@page { size: 100mm 60mm; margin: 10mm } html { font: 10pt/12pt 'Literata' } body, p { margin: 0 }"
    page = f"<!doctype html><html lang=en><head><title>t</title><style>{base} {style}</style></head><body>{body}</body></html>"
    return [(one.code, one.page) for one in render(page, {}).looked()]


def test_a_lone_line_is_seen_where_the_rules_allow_it():
    text = f"<div style='height: 96pt'></div><p>{WORDS * 3}</p>"  # one line of the page is left
    assert ("lone-line", 1) in seen(text, "p { orphans: 1; widows: 1 }")
    assert "lone-line" not in [code for code, _ in seen(text, "p { orphans: 2; widows: 2 }")]


def test_long_lines_are_told_once_with_the_longest():
    wide = "@page { size: 260mm 100mm } p { orphans: 2; widows: 2 }"
    found = seen(f"<p>{WORDS * 3}</p><p>{WORDS * 4}</p>", wide)
    assert found == [("long-lines", 1)]
    assert seen(f"<p>{WORDS * 3}</p>", "p { orphans: 2; widows: 2 }") == []
    assert seen("<p>" + "word " * 21 + "</p>", wide) == []  # a single line


ROWS = "".join(f"<tr><td>{number}</td></tr>" for number in range(14))
TABLE = f"<table><thead><tr><th>Round</th></tr></thead><tbody>{ROWS}</tbody></table>"


def test_a_table_that_goes_on_without_its_head_is_seen():
    assert seen(TABLE) == []
    assert seen(TABLE, "thead { display: table-row-group }") == [("table-without-head", 2), ("table-without-head", 3)]


@pytest.mark.parametrize("name", ["a5", "a4", "large-print"])
def test_our_own_layouts_have_none_of_it(name):
    from booklet.editions.discover import layout

    rendered, found = laid_out(made(), layout(name), {})
    assert rendered.page_count > 2
    assert found == ()


def test_a_layout_that_saves_paper_says_that_its_lines_are_long(tmp_path):
    text = f"---\ntitle: Nut\nlanguage: en-US\nhook: 3 mm\n---\n\n{WORDS * 4}\n\n## Nut\n\nRnd 1: 6 sc in MR (6)\n"
    understood = pipeline.understand(text.encode(), "nut.md")
    built = pipeline.build(understood, Edition(("en-US",), "US", layout="ink-saving"), tmp_path)
    (one,) = [problem for problem in built.problems if problem.code == "long-lines"]
    assert severity(one) == "note"
    assert "ink-saving" in message(one)


PART = "## {}\n\nRnd 1: 6 sc in MR (6)\nRnd 2: inc x 6 (12)\nRnd 3: (sc, inc) x 6 (18)\nRnd 4: (2 sc, inc) x 6 (24)\nRnds 5-8: sc around (24)\n\n"


@pytest.mark.parametrize(("parts", "wanted"), [(1, False), (16, True)])
def test_single_sheets_have_contents_from_eight_pages_on(tmp_path, parts, wanted):
    import pypdfium2

    text = "---\ntitle: Nuts\nlanguage: en-US\nhook: 3 mm\n---\n\nWelcome.\n\n" + "".join(PART.format(f"Nut {n}") for n in range(1, parts + 1))
    built = pipeline.build(pipeline.understand(text.encode(), "nuts.md"), Edition(("en-US",), "US", layout="a4"), tmp_path)
    document = pypdfium2.PdfDocument(built.data)
    first = "".join(document[number].get_textpage().get_text_bounded() for number in (0, 1))
    document.close()
    assert (built.pages >= 8) == wanted
    assert ("Contents" in first) == wanted
    assert ("Nut 16" in first) == wanted  # the last of the parts stands far behind
